"""Slings with legs: where a figure shows the whole load and where one leg's, in words."""

from __future__ import annotations

from sim.results.model import ElementResult, Outcome, Result
from sim.results.shown import Asked, shown

_LESS = 0.999
"""A judged force below this part of the whole load is one leg's."""


def largest_N(element: ElementResult) -> float:
    """The largest force an element is judged on: of its working and its emergency load."""
    return max(element.working_N, element.emergency_N or 0.0)


def leg_share(result: Result, name: str) -> float | None:
    """What one leg bears of the load on a sling that is judged by its leg; None for anything else.

    Read off the result: the largest force it is judged on over the largest load its cases show on it.
    """
    element = result.elements.get(name)
    if element is None or element.kind not in ("hardware", "sling"):
        return None
    cases = [case for case in result.cases.values() if case.outcome is not Outcome.FAILED]
    whole_N = max((case.peaks[name].force_N for case in cases if name in case.peaks), default=0.0)
    return largest_N(element) / whole_N if largest_N(element) < _LESS * whole_N else None


def whole_load_note(result: Result, name: str) -> str:
    """What to add to a curve of a whole load where the element is judged on one leg; '' for any other."""
    share = leg_share(result, name)
    return "" if share is None else f"whole load; one leg bears {share:.0%} of it"


def judged_force(result: Result, name: str, units: Asked) -> str:
    """The largest force an element is judged on, as text; for a sling with legs that of one leg, said so."""
    text = shown(largest_N(result.elements[name]), "N", units)
    return text if leg_share(result, name) is None else f"{text} in one leg"
