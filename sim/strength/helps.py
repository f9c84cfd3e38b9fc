"""Which one change would help the weakest element most: every change is judged anew by the same rules and forces.

Forces stay as they were run: an end, a bend or an angle changes what an element can bear, and hardly what it sees.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sim.results.model import CaseResult
from sim.results.verdict import deciding_load
from sim.scenario.model import Scenario
from sim.strength.elements import judge_element, weakest
from sim.strength.judge import Judgement, judge
from sim.strength.prepare import StrengthError, prepare
from sim.strength.remedies import Change, other_details, stronger_parts

# A change that leaves the design factor less than this times what it was is no help: a twentieth is wanted of another
# detail before a stronger part is passed over for it.
LEAST_OF_DETAILS, LEAST_OF_STRENGTH = 1.05, 1.01


def most_helpful_change(scenario: Scenario, cases: Mapping[str, CaseResult], found: Judgement) -> str:
    """A sentence on the change that helps the weakest element most; '' where nothing is asked of it or nothing helps.

    Another end, pin, sheave, drum or leg angle comes before a stronger part, which always helps.
    """
    name = found.weakest
    if name is None or (before := found.elements[name].margin) is None:
        return ""
    for kind, least in ((other_details, LEAST_OF_DETAILS), (stronger_parts, LEAST_OF_STRENGTH)):
        tried = [(m, change) for change in kind(scenario, name) for m in _margin_after(change, cases, name)]
        best = max(tried, key=lambda each: each[0], default=None)
        if best is not None and 1.0 + best[0] > least * (1.0 + before):
            return _sentence(found, name, best[1], judge(best[1].scenario, cases))
    return ""


def _margin_after(change: Change, cases: Mapping[str, CaseResult], name: str) -> Iterator[float]:
    """The element's margin after a change, where it can be made at all."""
    try:
        ready = prepare(change.scenario)
    except StrengthError:
        return
    (element,) = (each for each in ready.elements if each.name == name)
    if (m := judge_element(element, cases).margin) is not None:
        yield m


def _sentence(found: Judgement, name: str, change: Change, after: Judgement) -> str:
    kind = deciding_load(found.elements[name]) or "emergency"
    old, new = (getattr(x.elements[name].design_factor, kind) for x in (found, after))
    asked = getattr(found.elements[name].required, kind)
    short = f", still less than the {asked:g} asked for" if asked is not None and new < asked else ""
    then = weakest(after.elements)
    next_one = f"; then {then} is the weakest" if then not in (None, name) else ""
    return (
        f"{name}: {change.words} would help most, a design factor of {new:.1f} instead of {old:.1f} for the {kind} load"
        f"{short}{next_one}."
    )
