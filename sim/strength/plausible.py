"""Data of a scenario held against what their material and size can be: what is impossible, what is doubtful, and why.

The bounds are physical: no line bears more per linear density than its yarn, weighs more than a solid bar of its
material, or is stiffer than its yarn laid straight. Beyond that a certificate is compared with the catalogue.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from sim.scenario.kinds import Share
from sim.scenario.model import Line, LineType, LoweringHand, Performer, Scenario
from sim.scenario.parts.part import Part
from sim.scenario.quantity import Quantity
from sim.strength.catalogue import LineData, find
from sim.strength.fibres import Fibre
from sim.strength.laws import Sourced
from sim.strength.own import line_data
from sim.strength.slips import (
    FORCE_SLIPS,
    MASS_SLIPS,
    STRETCH_SLIPS,
    WORKING_LOADS,
    inch_size_meant,
    likely,
    likely_mean,
    likely_size,
    says_mean,
)

N_PER_TEX = 1e6
"""One N/tex in N m/kg."""
_OFF = 0.03
"""A certificate may lie this far outside the catalogue's range without a word: rounding to a whole number does it."""
_YARN_OFF = 1.15
"""How far above the best yarn we know a line must be to be called impossible."""
_MOST_FILLED = {True: 0.98, False: 0.80}
"""Most of the circle that material fills, of textile lines and of wire rope."""


@dataclass(frozen=True)
class Doubt:
    """Something in the data of a scenario that cannot be (impossible) or is unlikely, in a whole sentence."""

    of: str
    impossible: bool
    says: str

    def __str__(self) -> str:
        return f"{self.of}: {self.says}"


def doubts(scenario: Scenario) -> Iterator[Doubt]:
    """What is impossible or doubtful in the strengths, masses, sizes and stretch of a scenario.

    Lines whose type or size is not known at all are left out: `prepare` tells those.
    """
    for name, line in scenario.lines.items():
        try:
            data = line_data(line, name)
        except (KeyError, ValueError):
            continue
        yield from (Doubt(name, impossible, says) for impossible, says in _line_doubts(line, data))
    yield from _means(scenario)


def _means(scenario: Scenario) -> Iterator[Doubt]:
    """Every breaking strength whose own words call it a mean; the minimum is meant everywhere."""
    for name, part in _with_strengths(scenario):
        for key in ("breaking_strength", "leg_breaking_strength"):
            strength = getattr(part, key, None)
            if strength is not None and says_mean(strength.origin):
                yield Doubt(
                    name,
                    False,
                    f"{key} {strength.text} is said to be a mean ({strength.origin}); the minimum is "
                    "meant: the mean less two standard deviations, or the maker's minimum.",
                )


def _with_strengths(scenario: Scenario) -> Iterator[tuple[str, Part]]:
    """Every part of a scenario that may state a strength, by the name it is told under."""
    for _, name, part in scenario.elements():
        yield name, part
        if isinstance(part, Line) and isinstance(part.type, LineType):
            yield name, part.type
        if isinstance(part, Performer):
            yield f"{name} harness", part.harness
            yield from part.harness.points.items()
            if part.held_by is not None:
                yield f"what holds {name}", part.held_by
        if isinstance(part, LoweringHand):
            yield f"{name} device", part.device


Found = tuple[bool, str]
"""Whether it is impossible, and the sentence."""


def _doubtful(says: str) -> Found:
    return False, says


def _found(impossible: bool, says: str) -> Found:
    return impossible, says


def _line_doubts(line: Line, data: LineData) -> Iterator[Found]:
    if isinstance(line.type, str):
        yield from _size(line, data)
        if data.record:
            yield from of_a_record(data)
        if line.breaking_strength is not None:
            yield from _certificate(line, data, line.breaking_strength)
        return
    if data.material is None:
        if data.fibre:
            yield _doubtful(
                f"fibre '{data.fibre}' is unknown to the catalogue; strength, mass and stretch were not checked."
            )
    else:
        mass, strength = line.type.mass_per_length, line.type.breaking_strength
        yield from _own_mass(data, data.material, mass.text)
        yield from _own_strength(data, data.material, f"{strength.text if strength else ''} at {mass.text}")
        yield from _own_stiffness(data, data.material)
    yield from _own_curve(line, line.type, data)


def of_a_record(data: LineData) -> Iterator[Found]:
    """A type read from a record in one size, against what its material can be: whether it is impossible, and why."""
    assert data.material is not None  # a record without a known fibre is not read
    mass = f"{1000.0 * data.mass_kg_per_m:.3g} g/m"
    strength = f"{_kN(data.breaking_strength_N or 0.0)} at {mass}"
    where, said = f"in the record {data.record.partition(',')[0]}", data.sources["breaking_strength_N"].source
    if says_mean(said):
        yield _doubtful(f"{where}, the strength is said to be a mean ({said}); the minimum is meant.")
    for check in (
        _own_mass(data, data.material, mass),
        _own_strength(data, data.material, strength),
        _own_stiffness(data, data.material),
    ):
        for impossible, says in check:
            yield _found(impossible, f"{where}, {says}")


def _size(line: Line, data: LineData) -> Iterator[Found]:
    """A metric size that is an inch size rounded: for wire it is not the same rope."""
    assert isinstance(line.type, str)
    assert line.diameter is not None
    meant = inch_size_meant(data.diameter_m)
    if meant and len(find(line.type).families) > 1:
        yield _doubtful(
            f"diameter {line.diameter.text} is no usual metric size; if {meant} is meant, write {meant}: inch cable "
            "is made oversize and has a strength of its own."
        )


def _certificate(line: Line, data: LineData, certificate: Quantity) -> Iterator[Found]:
    """The line's own strength against the catalogue's, and against all its material could bear."""
    assert isinstance(line.type, str)
    known, strength = data.sources["breaking_strength_N"], certificate.si
    if known.low * (1 - _OFF) <= strength <= known.high * (1 + _OFF):
        return
    meant = _what_was_meant(line.type, data, known, strength)
    most = _most_N(data)
    size = f"{data.diameter_m * 1000:.4g} mm"
    if most is not None and strength > most:
        yield _found(True, f"{certificate.text} is more than any {data.name} of {size} can bear ({_kN(most)}).{meant}")
        return
    than = "more" if strength > known.high else "less"
    yield _doubtful(
        f"{certificate.text} is {than} than the catalogue has for {data.name} of {size} "
        f"({_kN(known.low)} to {_kN(known.high)}, {known.status}).{meant}"
    )


def _what_was_meant(name: str, data: LineData, known: Sourced, strength: float) -> str:
    size = likely_size(find(name), data.diameter_m, strength)
    if size:
        return f" It is that of {size}: is the size right?"
    slip = likely(strength, known.low * (1 - _OFF), known.high * (1 + _OFF), FORCE_SLIPS)
    if not slip and strength < known.low:
        slip = likely(strength, known.low, known.high, WORKING_LOADS)
    if slip:
        return f" Likely: {slip}."
    if likely_mean(strength, known.high):
        return " Likely a mean of tests; the minimum is meant."
    return ""


def _most_N(data: LineData) -> float | None:
    """All the material could bear in this diameter, laid straight and packed as tight as lines are (N)."""
    fibre = data.material
    if fibre is None or not data.diameter_m:
        return None
    filled = 1.0 if fibre.single_wire else _MOST_FILLED[data.textile]
    kg_per_m = fibre.density_kg_m3 * filled * math.pi / 4.0 * data.diameter_m**2
    return _YARN_OFF * fibre.yarn_strength_N_per_tex.range[1] * N_PER_TEX * kg_per_m


def _own_mass(data: LineData, fibre: Fibre, text: str) -> Iterator[Found]:
    """Mass against a solid bar of the material."""
    if not data.diameter_m:
        return
    solid = fibre.density_kg_m3 * math.pi / 4.0 * data.diameter_m**2
    filled = data.mass_kg_per_m / solid
    if 0.35 <= filled <= 1.05:
        return
    size = f"{data.diameter_m * 1000:.4g} mm"
    slip = likely(data.mass_kg_per_m, 0.45 * solid, 0.95 * solid, MASS_SLIPS)
    meant = f" Likely: {slip}." if slip else ""
    if filled > 1.05:
        yield _found(
            True, f"{text} is more than a solid bar of {fibre.name} of {size} weighs ({1000 * solid:.3g} g/m).{meant}"
        )
    else:
        yield _found(
            filled < 0.15,
            f"{text} is only {filled:.0%} of what a solid bar of {fibre.name} of {size} weighs; lines have 40 to 90 %."
            f"{meant}",
        )


def _own_strength(data: LineData, fibre: Fibre, text: str) -> Iterator[Found]:
    """Strength per linear density against the yarn's."""
    if data.breaking_strength_N is None:
        return
    low, high = fibre.yarn_strength_N_per_tex.range
    specific = data.breaking_strength_N / data.mass_kg_per_m / N_PER_TEX
    if 0.15 * low <= specific <= high:
        return
    what = f"{text} is {specific:.3g} N/tex"
    slip = likely(specific, 0.3 * low, 0.8 * high, (*FORCE_SLIPS, *(WORKING_LOADS if specific < low else ())))
    meant = f" Likely: {slip}." if slip else ""
    if specific > high:
        yield _found(
            specific > _YARN_OFF * high, f"{what}; the yarn of {fibre.name} itself has at most {high:g}.{meant}"
        )
    else:
        yield _doubtful(f"{what}; a line of {fibre.name} has a third to two thirds of its yarn's {low:g}.{meant}")


def _own_stiffness(data: LineData, fibre: Fibre) -> Iterator[Found]:
    """Stiffness per linear density against the yarn's, over the steepest part of the curve."""
    low, high = fibre.yarn_modulus_N_per_tex.range
    steepest = max((f1 - f0) / (e1 - e0) for (f0, e0), (f1, e1) in pairwise(data.stretch))
    modulus = steepest / data.mass_kg_per_m / N_PER_TEX
    what = f"its stretch means EA of {_kN(steepest)}, {modulus:.3g} N/tex"
    if modulus > 1.1 * high:
        slip = likely(1.0 / modulus, 1.0 / high, 1.0 / (0.2 * low), STRETCH_SLIPS)
        meant = f" Likely: {slip}." if slip else ""
        yield _found(True, f"{what}; the yarn of {fibre.name} itself has at most {high:g}.{meant}")
    elif modulus < 0.03 * low:
        yield _doubtful(
            f"{what}, hardly anything beside the {low:g} of its yarn: is the stretch that at break, or ten times too "
            "large?"
        )


def _own_curve(line: Line, written: LineType, data: LineData) -> Iterator[Found]:
    """Points that contradict each other, and percentages that may have been meant of something else."""
    points = list((written.stretch or {}).items())
    slopes = [(f1 - f0) / (e1 - e0) for (f0, e0), (f1, e1) in pairwise(data.stretch)]
    for place, (before, after) in enumerate(pairwise(slopes)):
        (load0, strain0), (load1, strain1) = points[place], points[place + 1]
        both = f"stretch {strain0.text} at {load0.text} and {strain1.text} at {load1.text}"
        if after > 5.0 * before:
            yield _doubtful(
                f"{both} contradict each other: {after / before:.2g} times stiffer beyond. Is the same stretch given "
                "at two loads, one of another table?"
            )
        elif after < 0.5 * before:
            yield _doubtful(
                f"{both} contradict each other: lines stiffen with load, this one would soften. Are both of the same "
                "state, new or bedded?"
            )
    yield from _own_base(line, written)


def _own_base(line: Line, written: LineType) -> Iterator[Found]:
    """Percentages are of the type's own strength: said where the line's certificate is another."""
    certificate, own = line.breaking_strength, written.breaking_strength
    if certificate is None or own is None:
        return
    off = certificate.si / own.si
    if not 0.8 <= off <= 1.25:
        yield _doubtful(
            f"breaking_strength {certificate.text} of the line and {own.text} of its type are not those of one line."
        )
    elif abs(off - 1.0) > 0.1 and any(isinstance(load, Share) for load in written.stretch or {}):
        yield _doubtful(
            f"the loads in percent are of the type's {own.text}, not of the line's {certificate.text}; is that meant?"
        )


def _kN(force_N: float) -> str:
    return f"{force_N / 1000:.3g} kN"
