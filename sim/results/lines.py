"""What else a rigger asks of each line: figures beside the verdict. None of them judges.

A figure that nobody gave a number for is None, and its block says so in words.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Basis:
    """What a number or a law rests on: its source in words, and the status the catalogue gives it."""

    what: str
    source: str
    status: str


@dataclass(frozen=True)
class Recoil:
    """What is stored in a line and let go when it parts.

    energy_at_break_J_per_m: area under the load-stretch curve as run, up to the break, per unstretched metre; low and
    high: at the ends of the curve's stated range, None where it has none. energy_at_break_J: over the longest length
    out. energy_at_peak_J: at the greatest force of any case, all along it.
    snap_back_speed_m_s: of the parted end at the break, without air and friction, so at most.
    says: how this kind of line recoils, in words.
    """

    breaking_strength_N: float
    energy_at_break_J_per_m: float
    energy_at_break_J: float
    peak_force_N: float
    energy_at_peak_J: float
    snap_back_speed_m_s: float
    says: str
    basis: tuple[Basis, ...]
    energy_at_break_low_J_per_m: float | None = None
    energy_at_break_high_J_per_m: float | None = None


@dataclass(frozen=True)
class SpanAtRest:
    """One span before anything moves: the straight way, its rise, the tension of its middle, and how it sags.

    sag_m: vertical, at the middle of the span, of the catenary; None where the span is slack.
    line_in_sag_m: how much longer the hanging line is than the straight way.
    """

    name: str
    way_m: float
    rise_m: float
    tension_N: float
    sag_m: float | None
    line_in_sag_m: float | None


@dataclass(frozen=True)
class OwnWeight:
    """What a line weighs, how it sags, and what of it the performer bears.

    out_m, longest_out_m: unstretched, outside the drive, at rest and at its longest in the planned move.
    on_performer_N: half the weight of the spans that end on the performer (or on a block there), at rest.
    """

    mass_kg_per_m: float
    out_m: float
    longest_out_m: float
    out_kg: float
    performer: str | None
    on_performer_N: float | None
    on_performer_share: float | None
    spans: tuple[SpanAtRest, ...]
    basis: tuple[Basis, ...]


@dataclass(frozen=True)
class LineFigures:
    """All of it for one line. A block is None where its figures cannot be had, and `missing` says why."""

    type: str
    recoil: Recoil | None
    own_weight: OwnWeight
    missing: tuple[str, ...] = ()
