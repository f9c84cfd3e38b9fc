"""What heat, water and wear take from a line's strength, wherever it is."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from itertools import pairwise

from sim.results.model import Reduction
from sim.scenario.model import Line, Scenario
from sim.scenario.water import is_wet
from sim.strength.catalogue import LineData
from sim.strength.fibres import Fibre, fibres
from sim.strength.laws import Sourced


@dataclass(frozen=True)
class Heat:
    """What a temperature means for a line: a reduction; or why it cannot be judged; or why nothing is left of it."""

    reduction: Reduction | None = None
    gap: str = ""
    out: str = ""


def heat(material: Fibre | None, temperature_degC: float, at: str, at_only: bool = True) -> Heat:
    """The reduction by temperature at a place (degC). Where the material is unknown the weakest of all holds.

    at_only: the temperature is that of the place, not that of the surroundings everywhere.

    Above the limit in use there is a reduction and a gap: it cannot be judged. Above the temperature at which no
    strength is counted the line is out.
    """
    candidates = [material] if material else list(fibres().values())
    named = f"{temperature_degC:g} degC{f' at {at}' if at_only else ''}"
    gone = [each for each in candidates if temperature_degC > each.out_above_degC.value]
    if gone and material:
        limit = gone[0].out_above_degC
        return Heat(out=f"{material.name} has no strength that counts above {limit.value:g} degC, and it is {named}")
    left = {each.name: each.strength_left.at(temperature_degC) for each in candidates}
    known = {name: found for name, found in left.items() if found is not None}
    if len(known) < len(candidates):
        what = f"the strength of {material.name}" if material else "the strength of a line of unknown fibre"
        return Heat(gap=f"nothing is known of {what} at {named}")
    found = min(known.values(), key=lambda each: each.value)
    # Strength is tested at room temperature: that nothing is taken for it there is no claim that wants evidence.
    claimed = found.needs_evidence and found.value < 1.0
    reduction = Reduction(f"temperature {temperature_degC:g} degC", at, found.value, found.source, claimed)
    limits = {each.name: each.limit_degC.value for each in candidates}
    lowest = min(limits, key=lambda name: limits[name])
    if temperature_degC > limits[lowest]:
        what = lowest if material else f"a line of unknown fibre, which may be {lowest},"
        return Heat(reduction, gap=f"{what} is not for use above {limits[lowest]:g} degC, and it is {named}")
    return Heat(reduction)


def wet(material: Fibre | None, at: str) -> Reduction:
    """The reduction of a line wet through. Where the material is unknown the weakest of all holds."""
    candidates = [material] if material else list(fibres().values())
    weakest = min(candidates, key=lambda each: each.wet_strength.value)
    return _reduction("wet", at, weakest.wet_strength.sourced())


def wear(share: float, origin: str, at: str) -> Reduction:
    """The reduction a scenario allows for wear, as a share of the strength; a claim of its author, sourced or not."""
    return Reduction("wear allowance", at, 1.0 - share, origin, origin == "assumed")


def breaking_length_m(breaking_strength_N: float, mass_kg_per_m: float, gravity_m_s2: float) -> float:
    """Length at which a line parts under its own weight (m): strength / (mass per length x gravity). Statics."""
    return breaking_strength_N / (mass_kg_per_m * gravity_m_s2)


@dataclass
class Surroundings:
    """What heat, water and wear take from one line, place by place; what cannot be judged is added to the lists."""

    scenario: Scenario
    name: str
    line: Line
    data: LineData
    gaps: list[str]
    out: list[str]
    faults: list[str]

    def reductions(self, at: str) -> list[Reduction]:
        """Those that act at a place or in a span. Nothing is taken for a temperature that nobody stated."""
        material = self.data.material
        found: list[Reduction] = []
        degC, local = self._hottest(at)
        if degC is not None:
            hot = heat(material, degC, at, at_only=local)
            found += [hot.reduction] if hot.reduction else []
            self.gaps += [hot.gap] if hot.gap and hot.gap not in self.gaps else []
            self.out += [hot.out] if hot.out and hot.out not in self.out else []
        if is_wet(self.scenario, self.name):
            found.append(wet(material, at))
        worn = self.line.wear_allowance
        if worn is not None and worn.high_si < 1.0:
            found.append(wear(worn.high_si, worn.origin, at))
        return found

    def _hottest(self, at: str) -> tuple[float | None, bool]:
        """How hot the line is there (degC) and whether it is so there only; None where nobody stated it.

        An end and a sheave are as hot as the hottest span beside them, unless their own temperature is stated: a splice
        in a hot span is a hot splice.
        """
        stated, around = self.line.temperature_at, self.scenario.environment.temperature
        spans = (f"{here} -> {there}" for here, there in pairwise(self.line.route) if at in (here, there))
        local = [stated[at]] if at in stated else [stated[span] for span in spans if span in stated]
        found = [each.high_si for each in local]
        if around.origin != "default" and at not in stated:
            found.append(around.high_si)
        hottest = max(found, default=None)
        return hottest, hottest in [each.high_si for each in local]

    def check_places(self, known: set[str]) -> None:
        """Faults of the file: a temperature at a place the line does not pass, wear that leaves nothing."""
        for at in self.line.temperature_at:
            if at not in known:
                near = ", ".join(difflib.get_close_matches(at, known, n=2, cutoff=0.4) or sorted(known))
                self.faults.append(f"{self.name}: temperature_at '{at}' is no place of its route; nearest: {near}")
        if self.line.wear_allowance is not None and self.line.wear_allowance.high_si >= 1.0:
            self.faults.append(f"{self.name}: wear_allowance {self.line.wear_allowance.text} leaves nothing")


def _reduction(what: str, at: str, found: Sourced) -> Reduction:
    return Reduction(what, at, found.value, found.source, found.needs_evidence)
