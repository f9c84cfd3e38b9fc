"""What is stored in a line at break and in the runs, and how its end flies back; wire beside fibre."""

from __future__ import annotations

import math

from sim.results.lines import Basis, Beside, Recoil
from sim.results.model import ElementResult
from sim.scenario.model import Line as Spec
from sim.strength.asked import basis_of
from sim.strength.catalogue import LineData, find
from sim.strength.recoil import beyond_its_fibre, energy_J_per_m, snap_back_m_s

AREA = Basis("energy", "area under the load-stretch curve as run, straight on beyond its last point", "computed")
WAVE = Basis("speed of the parted end", "tension over the line's impedance (longitudinal waves), no losses", "computed")
WIRE, FIBRE = "7x19 galvanised", "aramid copolymer 12-strand"
"""What a line is held beside: both have a strength in proportion to the square of the diameter."""


def breaks_at(spec: Spec, element: ElementResult | None, data: LineData) -> tuple[float, Basis] | None:
    """Where the line breaks (N): what it states, else what its type has; nothing taken off. None where nobody says."""
    known = data.sources.get("breaking_strength_N")
    if spec.allowed_force is None and element is not None and element.breaking_strength_N is not None:
        own = known is not None and element.breaking_strength_N == known.value
        status = known.status if own and known else "stated"
        return element.breaking_strength_N, Basis("breaking strength", element.strength_origin, status)
    return (known.value, Basis("breaking strength", known.source, known.status)) if known else None


def recoil(
    spec: Spec, data: LineData, mass_kg_per_m: float, found: tuple[float, Basis], length_m: float, peak_N: float
) -> Recoil:
    """The figures of a line that breaks at what was found, `length_m` of it out, `peak_N` the greatest force on it."""
    strength_N, whence = found
    claimed = not beyond_its_fibre(data.stretch, strength_N, data.material)
    per_metre = energy_J_per_m(data.stretch, strength_N) if claimed else None
    said = find(spec.type).recoil if isinstance(spec.type, str) else None
    words = (basis_of("how it recoils", said),) if said else ()
    known = data.sources.get("stretch")
    return Recoil(
        breaking_strength_N=strength_N,
        energy_at_break_J_per_m=per_metre,
        energy_at_break_J=None if per_metre is None else per_metre * length_m,
        peak_force_N=peak_N,
        energy_at_peak_J=energy_J_per_m(data.stretch, peak_N) * length_m,
        snap_back_speed_m_s=snap_back_m_s(data.stretch, mass_kg_per_m, strength_N) if claimed else None,
        says=said.says if said else "",
        basis=(whence, _stretch_basis(data), AREA, WAVE, *words),
        energy_at_break_low_J_per_m=per_metre * known.low / known.value if known and per_metre is not None else None,
        energy_at_break_high_J_per_m=per_metre * known.high / known.value if known and per_metre is not None else None,
        beside=_beside(data.textile, strength_N),
    )


def _beside(textile: bool, strength_N: float) -> Beside | None:
    """Wire beside a fibre line of the same strength, and the other way round; None where it is not made so strong."""
    entry = find(WIRE if textile else FIBRE)
    family = entry.families[-1]
    diameter_m = math.sqrt(strength_N / family.strength.at(1.0).value)
    if not family.has(diameter_m):
        return None
    line = entry.at(diameter_m)
    return Beside(
        type=entry.name,
        diameter_m=diameter_m,
        energy_at_break_J_per_m=energy_J_per_m(line.stretch, strength_N),
        snap_back_speed_m_s=snap_back_m_s(line.stretch, line.mass_kg_per_m, strength_N),
    )


def _stretch_basis(data: LineData) -> Basis:
    known = data.sources.get("stretch")
    if known is None:
        return Basis("load-stretch curve", "as the scenario states it", "stated")
    return Basis("load-stretch curve", known.source, known.status)
