"""A performer: suspension point, harness strap, body of one or two masses."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Performer:
    """Names of the points that make one performer, and how far the body reaches below its own point.

    suspension: where lines end. body: what feels g; the same point for a rigid harness. strap: the harness line's name.
    """

    name: str
    suspension: str
    body: str
    strap: str | None
    body_below_m: float
    """From the body's own point to the lowest part of the body."""
    body_mass_kg: float
    weight_N: float
    start: str
