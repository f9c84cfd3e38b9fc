"""The single changes that could help an element: another end, pin, sheave, drum or leg angle; or a stronger part."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sim.scenario.kinds import Angle, Length
from sim.scenario.model import Hardware, Line, LoweringHand, Scenario, Winch
from sim.scenario.parts.part import Part
from sim.scenario.quantity import Quantity
from sim.strength.splices import HOW_WRITTEN
from sim.strength.terminations import HELD, terminations

WIDER, STRONGER = (1.5, 2.0), 1.5
_PARTS = ("lines", "sheaves", "hardware", "anchors", "junctions", "drives", "mounts", "counterweights")
_STRENGTHS = ("breaking_strength", "leg_breaking_strength", "working_load_limit", "allowed_force")


@dataclass(frozen=True)
class Change:
    """One change of a scenario, in words that follow the element's name."""

    words: str
    scenario: Scenario


def other_details(scenario: Scenario, name: str) -> Iterator[Change]:
    """Changes of how an element is used: what it is itself stays as it is."""
    line, fitting = scenario.lines.get(name), scenario.hardware.get(name)
    if line is not None:
        yield from _other_ends(scenario, name, line)
        yield from _other_pins(scenario, name, line)
        yield from _other_bends(scenario, line)
    if fitting is not None:
        yield from _other_angles(scenario, name, fitting)


def _other_ends(scenario: Scenario, name: str, line: Line) -> Iterator[Change]:
    for end, word in line.terminations.items():
        for other in (*terminations(), HOW_WRITTEN) if word not in HELD else ():
            if other != word and other not in HELD:
                changed = line.model_copy(update={"terminations": {**line.terminations, end: other}})
                yield Change(f"{other} instead of {word} at {end}", _with(scenario, "lines", name, changed))


def _other_pins(scenario: Scenario, name: str, line: Line) -> Iterator[Change]:
    for piece, part in scenario.hardware.items():
        if part.holds == name and part.end in line.route and part.pin_diameter is not None:
            yield from _wider(scenario, "hardware", piece, part, "pin_diameter", "a pin")


def _other_bends(scenario: Scenario, line: Line) -> Iterator[Change]:
    for place in line.route:
        sheave, drive = scenario.sheaves.get(place), scenario.drives.get(place)
        if sheave is not None and sheave.turns:
            yield from _wider(scenario, "sheaves", place, sheave, "tread_diameter", "a tread diameter")
            yield from _fitted(scenario, "sheaves", place, sheave, sheave.groove)
        if isinstance(drive, Winch):
            yield from _wider(scenario, "drives", place, drive, "drum_diameter", "a drum diameter")
            yield from _fitted(scenario, "drives", place, drive, drive.groove)


def _wider(scenario: Scenario, section: str, place: str, part: Part, key: str, what: str) -> Iterator[Change]:
    now: Length | None = getattr(part, key)
    for wide in [Length.of(times * now.m, now.origin) for times in WIDER] if now else []:
        changed = part.model_copy(update={key: wide})
        yield Change(f"{what} of {1e3 * wide.m:.0f} mm at {place}", _with(scenario, section, place, changed))


def _fitted(scenario: Scenario, section: str, place: str, part: Part, groove: str) -> Iterator[Change]:
    if groove != "fitted":
        changed = part.model_copy(update={"groove": "fitted"})
        yield Change(f"a fitted groove instead of a {groove} one at {place}", _with(scenario, section, place, changed))


def _other_angles(scenario: Scenario, name: str, part: Hardware) -> Iterator[Change]:
    """Legs at half their angle to the force."""
    for key in ("angle_between_legs", "leg_from_vertical", "leg_from_horizontal"):
        angle = getattr(part, key)
        if angle is not None:
            steeper = 0.5 * (math.pi / 2.0 + angle.rad) if key == "leg_from_horizontal" else 0.5 * angle.rad
            changed = part.model_copy(update={key: Angle.of(steeper, angle.origin)})
            yield Change("half the angle between its legs", _with(scenario, "hardware", name, changed))


def stronger_parts(scenario: Scenario, name: str) -> Iterator[Change]:
    """The element half as strong again, or half as much force of what has to hold."""
    for section in _PARTS:
        part = getattr(scenario, section).get(name)
        if part is not None:
            yield from _stronger(scenario, section, name, part)
    yield from _harness(scenario, name)
    for drive, spec in scenario.drives.items():
        if isinstance(spec, LoweringHand) and name == f"{drive} device":
            for device in _more(spec.device, _STRENGTHS):
                changed = spec.model_copy(update={"device": device})
                yield Change(f"{STRONGER:g} times the strength", _with(scenario, "drives", drive, changed))
        if isinstance(spec, Winch):
            yield from _holding(scenario, name, drive, spec)
    for piece, part in scenario.hardware.items():
        for called, key, what in (
            (f"{piece} slip", "slips_at", "a grab that slips at"),
            (f"{piece} on {part.holds}", "damages_at", "a grab that damages its line only at"),
        ):
            for changed in _more(part, (key,)) if name == called else ():
                yield Change(f"{what} {STRONGER:g} times the force", _with(scenario, "hardware", piece, changed))


def _harness(scenario: Scenario, name: str) -> Iterator[Change]:
    """A performer's harness, a point of it, or what holds the performer until the release."""
    for who, performer in scenario.performers.items():
        harness = performer.harness
        changed = list(_more(harness, _STRENGTHS)) if name == f"{who} harness" else []
        if name in harness.points:
            stronger = [{**harness.points, name: each} for each in _more(harness.points[name], _STRENGTHS)]
            changed = [harness.model_copy(update={"points": points}) for points in stronger]
        if name == f"what holds {who}" and performer.held_by is not None:
            for each in _more(performer.held_by, _STRENGTHS):
                held = performer.model_copy(update={"held_by": each})
                yield Change(f"{STRONGER:g} times the strength", _with(scenario, "performers", who, held))
        for each in changed:
            with_it = performer.model_copy(update={"harness": each})
            yield Change(f"{STRONGER:g} times the strength", _with(scenario, "performers", who, with_it))


def _holding(scenario: Scenario, name: str, drive: str, spec: Winch) -> Iterator[Change]:
    """All brakes of a winch, or its grip, with more force."""
    if name.startswith(f"{drive} brake"):
        brakes = tuple(each for brake in spec.brakes for each in _more(brake, ("force", "torque")))
        changed = spec.model_copy(update={"brakes": brakes})
        words = f"{STRONGER:g} times the force of the brakes (which stop harder: run it anew)"
        yield Change(words, _with(scenario, "drives", drive, changed))
    for changed in _more(spec, ("grip",)) if name == f"{drive} grip" else ():
        yield Change(f"{STRONGER:g} times the grip", _with(scenario, "drives", drive, changed))


def _stronger(scenario: Scenario, section: str, name: str, part: Part) -> Iterator[Change]:
    for changed in _more(part, _STRENGTHS):
        yield Change(f"{STRONGER:g} times the strength", _with(scenario, section, name, changed))


def _more(part: Part, keys: tuple[str, ...]) -> Iterator[Any]:
    """The part with a key that is written half as large again, its spread too."""
    for key in keys:
        value = getattr(part, key, None)
        if isinstance(value, Quantity):
            low, high = STRONGER * value.low_si, STRONGER * value.high_si
            yield part.model_copy(update={key: type(value)(STRONGER * value.si, low, high, "", value.origin)})


def _with(scenario: Scenario, section: str, name: str, part: Any) -> Scenario:
    elements: Mapping[str, Any] = getattr(scenario, section)
    return scenario.model_copy(update={section: {**elements, name: part}})
