"""A scenario's line as an element: every end and every sheave it passes is a place where it can fail."""

from __future__ import annotations

from dataclasses import dataclass, field

from sim.results.model import Factors, Reduction
from sim.scenario.kinds import Length
from sim.scenario.model import Line, Scenario, Sheave, Winch
from sim.scenario.quantity import ASSUMED, DEFAULT
from sim.strength.bends import NoBendValue, bend, bend_of_single_wire, groove, too_small
from sim.strength.catalogue import LineData
from sim.strength.elements import Element, Place
from sim.strength.eyes import end_on_a_pin
from sim.strength.own import line_data
from sim.strength.splices import SpliceTooShort
from sim.strength.stated import Stated, required_of, stated
from sim.strength.surroundings import Surroundings
from sim.strength.terminations import IN_A_GRAB, UnknownTermination, termination
from sim.strength.words import NEEDS_EVIDENCE


@dataclass
class _Found:
    """What turns up while the places of one line are built."""

    gaps: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    assumptions: list[str] = field(default_factory=list)
    out: list[str] = field(default_factory=list)
    """Why nothing of its strength counts."""

    def sentences(self, name: str, places: tuple[Place, ...]) -> list[str]:
        """The assumptions, with one sentence for each reduction that needs evidence, wherever it acts."""
        acting: dict[tuple[str, float, str], list[str]] = {}
        for each in (reduction for place in places for reduction in place.reductions if reduction.needs_evidence):
            acting.setdefault((each.what, each.factor, each.source), []).append(each.at)
        return self.assumptions + [
            f"{name}: {what} {_where(at, places)} leaves {factor:.0%}, {source}; {NEEDS_EVIDENCE}."
            for (what, factor, source), at in acting.items()
        ]


def _where(at: list[str], places: tuple[Place, ...]) -> str:
    return "all along it" if len(at) == len(places) > 1 else f"at {' and '.join(at)}"


def line_element(scenario: Scenario, name: str, asked: Factors) -> tuple[Element | None, list[str], list[str]]:
    """(element, faults of the file, assumptions) of one line. No element where its type or size is unknown."""
    line = scenario.lines[name]
    try:
        data = line_data(line, name)
    except (KeyError, ValueError) as error:
        return None, [f"{name}: {error}"], []
    found = _Found()
    if data.record:
        found.assumptions.append(
            f"{name}: {data.name} is a record of your own ({data.record}); the result folder keeps it."
        )
    what = stated(line, asked) or _own_strength(data, required_of(line, asked), name, found)
    if what.allowed_only:  # a force that must not be exceeded stands for itself; nothing is taken from it
        places = (Place("", tuple(span_keys(name, line))),)
    else:
        places = _places(scenario, name, line, data, found)
    element = Element(
        name=name,
        kind="line",
        places=places,
        fallback=name,
        breaking_strength_N=what.strength_N,
        strength_origin=what.origin,
        required=what.required,
        gap=", ".join(found.gaps),
        remark=what.remark,
        out="; ".join(found.out),
        unproven=what.unproven,
    )
    return element, found.faults, found.sentences(name, places)


def span_keys(name: str, line: Line) -> list[str]:
    """The keys of a line's spans in peaks and static forces: '<line>:<from> -> <to>'."""
    return [f"{name}:{here} -> {there}" for here, there in zip(line.route, line.route[1:], strict=False)]


def _own_strength(data: LineData, required: Factors, name: str, found: _Found) -> Stated:
    """The type's own strength, where the line has no certificate. Its wire or fibre source is said."""
    strength = data.breaking_strength_N
    if strength is None:
        return Stated(None, "", required)
    source = data.sources["breaking_strength_N"]
    if source.status == "stated":
        return Stated(
            strength, f"the type's own, {source.source}", required, unproven=source.source in (ASSUMED, DEFAULT)
        )
    origin = f"catalogue, {source.status}"
    found.assumptions.append(f"{name} has no certificate: {data.name} {strength / 1000:.1f} kN, {origin}.")
    return Stated(strength, f"{origin}: {source.source}", required, unproven=source.needs_evidence)


def _places(scenario: Scenario, name: str, line: Line, data: LineData, found: _Found) -> tuple[Place, ...]:
    """Every place of the route, and every span that the file gives a temperature of its own."""
    spans, last = span_keys(name, line), len(line.route) - 1
    here = Surroundings(scenario, name, line, data, found.gaps, found.out, found.faults)
    places = []
    for i, at in enumerate(line.route):
        ends = _end(scenario, name, at, data, found) if i in (0, last) else []
        reductions = (*ends, *_bend(scenario, name, at, data, found), *here.reductions(at))
        kind = "termination" if i in (0, last) else "bend"
        places.append(Place(at, tuple(spans[max(i - 1, 0) : i + 1]), reductions=reductions, kind=kind))
    for key in spans:
        span = key.removeprefix(f"{name}:")
        if span in line.temperature_at:
            places.append(Place(span, (key,), reductions=tuple(here.reductions(span)), kind="span"))
    here.check_places({*line.route, *(key.removeprefix(f"{name}:") for key in spans)})
    return tuple(places)


def _end(scenario: Scenario, name: str, at: str, data: LineData, found: _Found) -> list[Reduction]:
    """What an end takes; where hardware states the pin it lies on, with the bend over it."""
    ends = scenario.lines[name].terminations
    if at not in ends:
        found.gaps.append(f"no termination stated at {at}")
        return []
    pin = _pin(scenario, name, at)
    if ends[at] == IN_A_GRAB and not _has_grab(scenario, name, at):
        found.gaps.append(f"no hardware of kind rope grab holds it at {at}")
    try:
        if pin is not None:
            return end_on_a_pin(ends[at], at, pin.m, data)
        return [termination(ends[at], at, data.fibre, data.textile, data.terminated_by)]
    except UnknownTermination as error:
        found.faults.append(f"{name}, end at {at}: {error}")
    except SpliceTooShort as error:
        found.gaps.append(f"{error}, at {at}")
    except NoBendValue as error:
        found.gaps.append(f"{error} at {at}")
    return []


def _has_grab(scenario: Scenario, name: str, at: str) -> bool:
    pieces = scenario.hardware.values()
    return any(each.kind == "rope grab" and (each.holds, each.end) == (name, at) for each in pieces)


def _pin(scenario: Scenario, name: str, at: str) -> Length | None:
    """The pin that a line's end lies on, where a piece of hardware states it."""
    pieces = scenario.hardware.values()
    return next(
        (each.pin_diameter for each in pieces if each.pin_diameter and (each.holds, each.end) == (name, at)), None
    )


def _bend(scenario: Scenario, name: str, at: str, data: LineData, found: _Found) -> list[Reduction]:
    """The bend over a sheave, a bar or a drum, and the groove it lies in. What is not known of it is said."""
    part = scenario.sheaves.get(at) or scenario.drives.get(at)
    if isinstance(part, Sheave):
        tread, fit = part.tread_diameter, part.groove
    elif isinstance(part, Winch):
        tread, fit = part.drum_diameter, part.groove
    else:
        return []
    held = groove(fit, at, data.fibre, data.textile)
    reductions = [held] if held else []
    if tread is None or not data.diameter_m:
        missing = "diameter at which it is bent" if tread is None else "diameter of the line"
        found.assumptions.append(f"{name} at {at}: no reduction for the bend, the {missing} is not stated.")
        return reductions
    try:
        if data.material is not None and data.material.single_wire:
            bent = bend_of_single_wire(tread.m, data, at)
        else:
            bent = bend(tread.m, data.diameter_m, at, data.fibre, data.textile)
    except NoBendValue as error:
        found.gaps.append(f"{error} at {at}")
        return reductions
    short = too_small(tread.m / data.diameter_m, data)
    found.assumptions += [f"{name} over {at}: {short}"] if short else []
    return [bent, *reductions]
