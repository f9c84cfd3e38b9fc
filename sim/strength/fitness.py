"""What a line type fails at in a rig before anything is run: heat, ends that cannot be, sheaves, sizes.

No force is needed for these, so they are told without a run; everything else a type is asked is for the runs to say.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from sim.scenario.model import Line, Scenario, Sheave, Winch
from sim.strength.bends import falls_short
from sim.strength.line_data import LineData
from sim.strength.line_type import LineType
from sim.strength.sizes import Size, sizes_in_words, sizes_within
from sim.strength.surroundings import heat
from sim.strength.terminations import HELD
from sim.strength.words import NEEDS_EVIDENCE


@dataclass(frozen=True)
class Unfit:
    """Why a type is out without a run."""

    what: Literal["heat", "end", "size", "D:d"]
    says: str


@dataclass(frozen=True)
class Tread:
    """The smallest diameter a line is bent over, and where."""

    at: str
    diameter_m: float
    written: str


def smallest_tread(scenario: Scenario, line: Line) -> Tread | None:
    """The smallest tread on a line's way, of sheaves, bars and drums; None where none is stated."""
    treads = []
    for at in line.route:
        part = scenario.sheaves.get(at) or scenario.drives.get(at)
        diameter = (
            part.tread_diameter if isinstance(part, Sheave) else part.drum_diameter if isinstance(part, Winch) else None
        )
        if diameter is not None:
            treads.append(Tread(at, diameter.m, diameter.text))
    return min(treads, key=lambda tread: tread.diameter_m, default=None)


def too_hot(scenario: Scenario, line: Line, data: LineData) -> Iterator[Unfit]:
    """Heat over the limit in use, over what takes all strength, or beyond what is known; at every place that has one.

    A temperature that nobody stated counts for nothing, a stated one at the hot end of its spread.
    """
    around = scenario.environment.temperature
    places = [(at, temperature.high_si, True) for at, temperature in line.temperature_at.items()]
    if around.origin != "default":
        places.insert(0, ("", around.high_si, False))
    told = set()
    for at, degC, at_only in places:
        hot = heat(data.material, degC, at, at_only)
        why = hot.out or hot.gap
        if why and why not in told:
            told.add(why)
            left = f"; {hot.reduction.factor:.0%} of its strength would be left" if hot.reduction else ""
            weak = f" ({NEEDS_EVIDENCE})" if _heat_needs_evidence(data) else ""
            yield Unfit("heat", f"{why}{left}{weak}")


def _heat_needs_evidence(data: LineData) -> bool:
    material = data.material
    if material is None:
        return True
    known = (material.limit_degC.sourced(), material.out_above_degC.sourced())
    return any(each.needs_evidence for each in known)


def ends_not_made(line: Line, entry: LineType) -> Iterator[Unfit]:
    """Ends that only what holds them allows, and that the type is not made with: wire is not held by hand."""
    for at, word in line.terminations.items():
        if word in HELD and word not in entry.terminated_by:
            yield Unfit("end", f"the end at {at} is '{word}', and this type is not made so")


def too_sharp(data: LineData, tread: Tread | None, size: str) -> Unfit | None:
    """A smallest tread that falls short of the D:d that is the least for the type; None where it suffices.

    size: the line's, in words. Nothing is said where no tread is stated, or no least D:d is known.
    """
    least = data.D_to_d_strength
    if tread is None or least is None or not data.diameter_m:
        return None
    ratio = tread.diameter_m / data.diameter_m
    if not falls_short(ratio, least):
        return None
    known = data.sources["D_to_d_strength"]
    weak = f"; {NEEDS_EVIDENCE}" if known.needs_evidence else ""
    return Unfit(
        "D:d",
        f"D:d is {ratio:.3g} at {size} over {tread.at} ({tread.written}), and {least:g} is the least "
        f"({known.source}{weak})",
    )


def size_for(scenario: Scenario, line: Line, entry: LineType, bound: Size) -> tuple[Size | None, tuple[Unfit, ...]]:
    """The thickest size of a type within a bound that the smallest tread on the line's way allows, and why none is.

    Where no size is allowed, the failure is that of the thinnest.
    """
    within = sizes_within(entry, bound)
    if not within:
        says = f"not made in {bound.written} or thinner: the catalogue has {sizes_in_words(entry)}"
        return None, (Unfit("size", says),)
    tread = smallest_tread(scenario, line)
    for size in reversed(within):
        if too_sharp(entry.at(size.diameter_m), tread, size.written) is None:
            return size, ()
    thinnest = within[0]
    words = f"{thinnest.written}, its thinnest," if len(within) > 1 else thinnest.written
    failed = too_sharp(entry.at(thinnest.diameter_m), tread, words)
    return None, (failed,) if failed else ()
