"""From a scenario to the elements that will be judged, before anything is run: its faults come to light here."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sim.results.model import Factors
from sim.scenario.model import LoweringHand, PullTeam, Scenario, Strength
from sim.scenario.water import is_wet, surface_m
from sim.strength.elements import Element, Place
from sim.strength.fittings import fitting_elements
from sim.strength.holding import holding_elements
from sim.strength.limits import Limits
from sim.strength.lines import line_element
from sim.strength.own import line_data
from sim.strength.plausible import doubts
from sim.strength.stated import Stated, asked_of, required_of, stated
from sim.strength.unlikely import unlikely
from sim.strength.water import soaked_kg_per_m
from sim.strength.words import DOUBTFUL


class StrengthError(ValueError):
    """A scenario whose strengths cannot be judged as written; `sentences` say why, each complete."""

    def __init__(self, sentences: list[str]) -> None:
        super().__init__("\n".join(sentences))
        self.sentences = sentences


@dataclass(frozen=True)
class Prepared:
    """What will be judged. held: performers that something holds at first whose strength is not in the file."""

    elements: tuple[Element, ...]
    limits: Limits
    performers: tuple[str, ...]
    held: tuple[str, ...]
    assumptions: tuple[str, ...]


def prepare(scenario: Scenario) -> Prepared:
    """The elements and limits of a scenario.

    Raises StrengthError with every fault found: an unknown line type or termination (listing the known ones), a size
    the catalogue does not have, sling legs that cannot bear, a strength, mass or stretch that the material cannot have.
    """
    asked = asked_of(scenario.limits.design_factor)
    elements: list[Element] = []
    faults: list[str] = []
    assumptions: list[str] = []
    for name in scenario.lines:
        element, wrong, assumed = line_element(scenario, name, asked)
        elements += [element] if element else []
        faults += wrong
        assumptions += assumed
    for name, hardware in scenario.hardware.items():
        try:
            elements += fitting_elements(scenario, name, hardware, asked)
        except ValueError as error:
            faults.append(f"{name}: {error}")
    elements += _simple(scenario, asked)
    elements += holding_elements(scenario, asked)
    faults += _called_alike(elements)
    found = [*doubts(scenario), *unlikely(scenario)]
    faults += [str(doubt) for doubt in found if doubt.impossible]
    if faults:
        raise StrengthError(faults)
    return Prepared(
        elements=tuple(elements),
        limits=_limits(scenario),
        performers=tuple(scenario.performers),
        held=tuple(name for name, each in scenario.performers.items() if each.start == "held" and not each.held_by),
        assumptions=(
            *(f"{DOUBTFUL}{doubt}" for doubt in found),
            *_nothing_soft(scenario),
            *assumptions,
            *_surroundings(scenario),
        ),
    )


def _called_alike(elements: Iterable[Element]) -> Iterator[str]:
    """Names that the file gives and that the program makes (a harness, a brake) must not meet: one would be lost."""
    for name, times in Counter(element.name for element in elements).items():
        if times > 1:
            yield f"{times} elements would be called {name}; give the one in the file another name."


def _nothing_soft(scenario: Scenario) -> Iterator[str]:
    """A stiff line on a rigid harness: the forces computed are more than any that could be measured."""
    for who, performer in scenario.performers.items():
        ends = {who, *performer.harness.points}
        for name, line in scenario.lines.items():
            if not performer.harness.rigid or ends.isdisjoint((line.route[0], line.route[-1])):
                continue
            material = line_data(line, name).material
            if material is None or material.group != "conventional":
                yield (
                    f"Nothing soft lies between {name} and {who}, so peaks are an upper bound: fittings and harness "
                    "give (80 kg dropped 0.6 m on a sewn HMPE sling of 0.6 m read 16.7 kN in a published test, where "
                    "the fibre alone makes it about 45 kN)."
                )


def _limits(scenario: Scenario) -> Limits:
    limits = scenario.limits
    return Limits(
        clearance_m=limits.clearance.m if limits.clearance else None,
        g_load=limits.g_load,
        landing_speed_m_s=limits.landing_speed.m_s if limits.landing_speed else None,
        g_filtered=limits.g_filter == "CFC 60",
    )


def _surroundings(scenario: Scenario) -> Iterator[str]:
    """What may be taken from a strength and nothing was taken for."""
    yield "The weight of a line is in the force at the upper end of each span; nothing is taken for it a second time."
    wet = [name for name in scenario.lines if is_wet(scenario, name)]
    if scenario.environment.temperature.origin != "default" or wet:
        yield "Heat and water are counted for lines only; nothing is taken for them from other parts."
    for name in wet:
        data = line_data(scenario.lines[name], name)
        soaked = soaked_kg_per_m(data)
        if soaked is None:
            yield f"{name}: of a material nobody stated, so the water it carries is not in its weight."
        elif soaked > data.mass_kg_per_m:
            yield (
                f"{name}: wet through, it is run with {1000.0 * soaked:.3g} g/m instead of "
                f"{1000.0 * data.mass_kg_per_m:.3g}, all the water it can hold (common practice, no source); what "
                "water does to its stretch is not known."
            )
    level, floor = surface_m(scenario), scenario.floor
    if level is not None and (floor is None or floor.m < level):
        yield f"Clearance is measured from the water's surface at {level:g} m, which bears nobody in the runs."
    unworn = [name for name, line in scenario.lines.items() if line.wear_allowance is None]
    worn = f" and, of {', '.join(unworn)}, for wear" if unworn else ""
    yield f"Strengths are those of new parts: nothing is taken for age, light or past overload{worn}."


def _simple(scenario: Scenario, asked: Factors) -> Iterator[Element]:
    """Everything that bears one force and fails at one place."""
    for name, sheave in scenario.sheaves.items():
        yield _element(name, "sheave" if sheave.turns else "bar", sheave, asked)
    for name, drive in scenario.drives.items():
        if isinstance(drive, LoweringHand):
            yield _element(f"{name} device", "lowering device", drive.device, asked, fallback=name)
        # People let slip at their grip; they have a strength only where one is written.
        if not isinstance(drive, PullTeam | LoweringHand) or stated(drive, asked):
            yield _element(name, "drive", drive, asked)
    for name, performer in scenario.performers.items():
        yield _element(f"{name} harness", "harness", performer.harness, asked)
        for point, at in performer.harness.points.items():
            yield _element(point, "harness point", at, asked)
        if performer.held_by is not None:
            yield _element(f"what holds {name}", "release", performer.held_by, asked)
    for kind, parts in (
        ("mount", scenario.mounts),
        ("anchor", scenario.anchors),
        ("junction", scenario.junctions),
        ("counterweight", scenario.counterweights),
    ):
        for name, part in parts.items():
            yield _element(name, kind, part, asked)


def _element(name: str, kind: str, part: Strength, asked: Factors, fallback: str = "") -> Element:
    what = stated(part, asked) or Stated(None, "", required_of(part, asked))
    return Element(
        name=name,
        kind=kind,
        places=(Place("", (name,)),),
        fallback=fallback or name,
        breaking_strength_N=what.strength_N,
        strength_origin=what.origin,
        required=what.required,
        remark=what.remark,
        unproven=what.unproven,
    )
