"""Which one change would help the weakest element most: every change is judged anew by the same rules and forces.

Forces stay as they were run: an end, a bend or an angle changes what an element can bear, and hardly what it sees.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sim.results.model import CaseResult
from sim.results.verdict import deciding_load
from sim.scenario.kinds import Angle, Force, Length
from sim.scenario.model import Scenario
from sim.scenario.parts.part import Part
from sim.strength.elements import weakest
from sim.strength.judge import Judgement, judge
from sim.strength.prepare import StrengthError
from sim.strength.terminations import terminations

WIDER, STRONGER = (1.5, 2.0), 1.5
# A change that leaves the design factor less than this times what it was is no help.
LEAST = 1.01


@dataclass(frozen=True)
class _Change:
    words: str
    scenario: Scenario


def most_helpful_change(scenario: Scenario, cases: Mapping[str, CaseResult], found: Judgement) -> str:
    """A sentence on the change that helps the weakest element most; '' where nothing is asked of it or nothing helps.

    Another end, a wider sheave or a smaller leg angle comes before a stronger part, which always helps.
    """
    name = found.weakest
    if name is None or (before := found.elements[name].margin) is None:
        return ""
    for kind in (_details, _stronger):
        tried = [(m, change, after) for change in kind(scenario, name) for m, after in _tried(change, cases, name)]
        best = max(tried, key=lambda each: each[0], default=None)
        if best is not None and 1.0 + best[0] > LEAST * (1.0 + before):
            return _sentence(found, name, best[1], best[2])
    return ""


def _tried(change: _Change, cases: Mapping[str, CaseResult], name: str) -> Iterator[tuple[float, Judgement]]:
    """The margin after a change, where it can be made at all."""
    try:
        after = judge(change.scenario, cases)
    except StrengthError:
        return
    if (m := after.elements[name].margin) is not None:
        yield m, after


def _sentence(found: Judgement, name: str, change: _Change, after: Judgement) -> str:
    kind = deciding_load(found.elements[name]) or "emergency"
    old, new = (getattr(x.elements[name].design_factor, kind) for x in (found, after))
    then = weakest(after.elements)
    next_one = f"; then {then} is the weakest" if then not in (None, name) else ""
    return (
        f"{name}: {change.words} would help most, a design factor of {new:.1f} instead of {old:.1f} for the {kind} load"
        f"{next_one}."
    )


def _details(scenario: Scenario, name: str) -> Iterator[_Change]:
    line = scenario.lines.get(name)
    if line is not None:
        for end, word in line.terminations.items():
            for other in terminations():
                if other != word:
                    ends = {**line.terminations, end: other}
                    changed = line.model_copy(update={"terminations": ends})
                    yield _Change(f"{other} instead of {word} at {end}", _with(scenario, "lines", name, changed))
        for place in line.route:
            sheave = scenario.sheaves.get(place)
            if sheave is not None and sheave.turns and sheave.tread_diameter is not None:
                for times in WIDER:
                    wide = Length.of(times * sheave.tread_diameter.m, sheave.tread_diameter.origin)
                    changed = sheave.model_copy(update={"tread_diameter": wide})
                    words = f"a tread diameter of {1e3 * wide.m:.0f} mm at {place}"
                    yield _Change(words, _with(scenario, "sheaves", place, changed))
    fitting = scenario.hardware.get(name)
    if fitting is not None:
        for key in ("angle_between_legs", "leg_from_vertical"):
            angle = getattr(fitting, key)
            if angle is not None:
                changed = fitting.model_copy(update={key: Angle.of(0.5 * angle.rad, angle.origin)})
                yield _Change("half the angle between its legs", _with(scenario, "hardware", name, changed))


def _stronger(scenario: Scenario, name: str) -> Iterator[_Change]:
    """The part itself, or a performer's harness, half as strong again."""
    for section in ("lines", "sheaves", "hardware", "anchors", "junctions", "drives"):
        part = getattr(scenario, section).get(name)
        if part is not None:
            for key in ("breaking_strength", "leg_breaking_strength", "working_load_limit", "allowed_force"):
                if (changed := _more(part, key)) is not None:
                    yield _Change(f"{STRONGER:g} times the strength", _with(scenario, section, name, changed))
    who = name.removesuffix(" harness")
    performer = scenario.performers.get(who)
    if performer is not None and (harness := _more(performer.harness, "breaking_strength")) is not None:
        changed = performer.model_copy(update={"harness": harness})
        yield _Change(f"{STRONGER:g} times the strength", _with(scenario, "performers", who, changed))


def _more(part: Part, key: str) -> Any:
    value = getattr(part, key, None)
    if not isinstance(value, Force):
        return None
    return part.model_copy(update={key: Force.of(STRONGER * value.N, value.origin)})


def _with(scenario: Scenario, section: str, name: str, part: Any) -> Scenario:
    return scenario.model_copy(update={section: {**getattr(scenario, section), name: part}})
