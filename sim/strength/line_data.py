"""A line of one type and one diameter, in SI: what everything that asks for a line's numbers is given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from sim.strength.fibres import Fibre
from sim.strength.laws import Sourced

Condition = Literal["new", "bedded"]
Stiffness = Literal["static", "dynamic"]
Curve = tuple[tuple[float, float], ...]


class StretchError(ValueError):
    """A stretch curve that does not rise: force and strain must both grow from point to point."""


@dataclass(frozen=True)
class LineData:
    """A line of one type and diameter, in SI.

    stretch: (force N, strain) from (0, 0) on, rising; linear beyond the last point, no force in compression.
    damping_ratio: of the performer's bounce on the longest hang, while that is small; damping_time_s goes before it
    where given. damping_limit: the most that damping ever is of the elastic tension, 0 to 1.
    bending_loss: fraction of the tension lost per 180 degrees of wrap, bearing apart. line_friction: on a bar, mu.
    fibre: the material in generic words; textile is False for wire. material: what the catalogue knows of it, None
    where it does not know it. breaking_strength_N is the type's own: a certificate in the scenario goes before it.
    D_to_d_strength, D_to_d_life: the least tread over line diameter for strength, and for a useful life in bending.
    terminated_by: the words of its terminations, empty where the type does not say.
    `sources` holds range, source and status of each number by field name.
    """

    name: str
    diameter_m: float
    breaking_strength_N: float | None
    mass_kg_per_m: float
    stretch: Curve
    damping_ratio: float | None
    bending_loss: float | None
    line_friction: float | None
    fibre: str
    textile: bool
    notes: tuple[str, ...]
    sources: Mapping[str, Sourced]
    condition: str = "bedded"
    stiffness: str = "dynamic"
    damping_time_s: float | None = None
    damping_limit: float = 1.0
    D_to_d_strength: float | None = None
    D_to_d_life: float | None = None
    terminated_by: tuple[str, ...] = ()
    material: Fibre | None = None
    record: str = ""
    """The user's own file the type was read from; empty for ours."""


def rising(stretch: Curve, of: str) -> Curve:
    """The curve with (0, 0) before it, checked. Raises StretchError naming the first point that does not rise."""
    points = tuple((float(force), float(strain)) for force, strain in stretch if (force, strain) != (0.0, 0.0))
    if not points:
        raise StretchError(f"{of}: no stretch point")
    before = (0.0, 0.0)
    for force, strain in points:
        if not (force > before[0] and strain > before[1]):
            raise StretchError(
                f"{of}: stretch does not rise from {before[1]:.4%} at {before[0]:g} N to {strain:.4%} at {force:g} N"
            )
        before = (force, strain)
    return ((0.0, 0.0), *points)
