"""Slings with legs: where a figure shows the whole load and where one leg's, in words."""

from __future__ import annotations

from sim.results.model import ElementResult, Outcome, Result
from sim.results.shown import Units, shown

_LESS = 0.999
"""A judged force below this part of the whole load is one leg's."""


def largest_N(element: ElementResult) -> float:
    """The largest force an element is judged on: of its working and its emergency load."""
    return max(element.working_N, element.emergency_N or 0.0)


def judged_by_leg(result: Result, name: str) -> bool:
    """Whether a fitting is judged on one leg: its judged force is less than the load its cases show on it."""
    element = result.elements.get(name)
    if element is None or element.kind != "hardware":
        return False
    cases = [case for case in result.cases.values() if case.outcome is not Outcome.FAILED]
    whole_N = max((case.peaks[name].force_N for case in cases if name in case.peaks), default=0.0)
    return largest_N(element) < _LESS * whole_N


def whole_load_note(result: Result, name: str, units: Units) -> str:
    """What to add to a curve of a whole load where the element is judged on one leg; '' for any other."""
    if not judged_by_leg(result, name):
        return ""
    return f"whole load; one leg at most {shown(largest_N(result.elements[name]), 'N', units)}"


def judged_force(result: Result, name: str, units: Units) -> str:
    """The largest force an element is judged on, as text; for a sling with legs that of one leg, said so."""
    text = shown(largest_N(result.elements[name]), "N", units)
    return f"{text} in one leg" if judged_by_leg(result, name) else text
