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
class Beside:
    """The same of another type in the size that has the same strength: wire beside fibre, fibre beside wire."""

    type: str
    diameter_m: float
    energy_at_break_J_per_m: float
    snap_back_speed_m_s: float


@dataclass(frozen=True)
class Recoil:
    """What is stored in a line and let go when it parts.

    energy_at_break_J_per_m: area under the load-stretch curve as run, up to the break, per unstretched metre; low and
    high: at the ends of the curve's stated range, None where it has none. energy_at_break_J: over the longest length
    out. energy_at_peak_J: at the greatest force of any case, all along it.
    snap_back_speed_m_s: of the parted end at the break, without air and friction, so at most. None at break: the curve
    led on to there stretches more than its fibre can.
    says: how this kind of line recoils, in words.
    """

    breaking_strength_N: float
    energy_at_break_J_per_m: float | None
    energy_at_break_J: float | None
    peak_force_N: float
    energy_at_peak_J: float
    snap_back_speed_m_s: float | None
    says: str
    basis: tuple[Basis, ...]
    energy_at_break_low_J_per_m: float | None = None
    energy_at_break_high_J_per_m: float | None = None
    beside: Beside | None = None


@dataclass(frozen=True)
class SpanAtRest:
    """One span before anything moves: the straight way, its rise, the tension of its middle, and how it sags.

    sag_m: of the catenary at the middle, square to the straight way; None where the span is slack.
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
    out_share: mass of all line that is out, over the performer's: what the performer drags along where it all runs.
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
    out_share: float | None = None


@dataclass(frozen=True)
class BendsAt:
    """What happens to a line at one sheave, bar, device or drum in the planned move.

    bends: of the piece of line that is bent most of all. run_over_m: line that comes onto it, to and fro added.
    relative_life: bends a wire rope lasts over this D:d, over what it lasts at the D:d it wants; None: no figure.
    """

    name: str
    bends: int
    run_over_m: float
    D_to_d: float | None = None
    relative_life: float | None = None


@dataclass(frozen=True)
class Bends:
    """How often a line is bent, where it is bent most; and when it is worn out, if its bending life is stated.

    per_move: of the planned move as written, there alone or there and back. not_counted: places nobody can follow.
    retire: when such a line is taken out of use, in words.
    """

    per_move: int
    per_thousand_moves: int
    places: tuple[BendsAt, ...]
    not_counted: tuple[str, ...]
    moves_per_season: int | None
    per_season: int | None
    life_bends: int | None
    moves_in_life: float | None
    seasons_in_life: float | None
    retire: str
    basis: tuple[Basis, ...]


@dataclass(frozen=True)
class Creep:
    """How much a line goes on lengthening while the performer hangs at rest, over all line that is out.

    tension_N, load_percent: at rest, and in percent of the breaking strength. first_hour_m, first_day_m: counted from a
    minute after the load came on. None: no figure, or the load is above what the figure is for.
    """

    tension_N: float
    load_percent: float | None
    per_decade_percent: float | None
    first_hour_m: float | None
    first_day_m: float | None
    says: str
    basis: tuple[Basis, ...]


@dataclass(frozen=True)
class Spin:
    """What a line does to turn whoever hangs at its end, at rest.

    on: the performer, or the junction of a bridle. free: no other line keeps it from turning. hang_m: the longest span
    there in the planned move.
    swivel: the swivel at that end, empty where there is none: what hangs there then stands still and the line unlays.
    torque_Nm: while held from turning. turns: of a free end over the whole hang. None: no figure.
    """

    on: str
    free: bool
    hang_m: float
    tension_N: float
    torque_Nm: float | None
    turns: float | None
    says: str
    basis: tuple[Basis, ...]
    swivel: str = ""


@dataclass(frozen=True)
class Heat:
    """The hottest that is stated anywhere along a line, and what its material takes. None: nobody stated it.

    strength_left: the factor counted for it, as in the reductions.
    """

    hottest_degC: float | None
    at: str
    limit_degC: float | None
    margin_degC: float | None
    strength_left: float | None
    says: str
    basis: tuple[Basis, ...]


@dataclass(frozen=True)
class InWater:
    """A line and open water or spray. None: the material is unknown.

    soaked_kg_per_m: with all the water it can hold. weight_in_water_N_per_m: of a metre under water, less than nothing
    where it floats. wet: it counts as wet through, so it is run soaked and with wet_strength (a factor).
    under: places on its way that lie under the surface at the start.
    """

    floats: bool | None
    soaked_kg_per_m: float | None
    weight_in_water_N_per_m: float | None
    wet: bool
    wet_strength: float | None
    under: tuple[str, ...]
    says: str
    basis: tuple[Basis, ...]


@dataclass(frozen=True)
class LineFigures:
    """All of it for one line. A block is None where its figures cannot be had, and `missing` says why."""

    type: str
    recoil: Recoil | None
    own_weight: OwnWeight
    bends: Bends | None = None
    creep: Creep | None = None
    spin: Spin | None = None
    heat: Heat | None = None
    in_water: InWater | None = None
    missing: tuple[str, ...] = ()
