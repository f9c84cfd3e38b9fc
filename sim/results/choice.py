"""Which line types suit a scenario: every type with what it failed at or what its run gave; frozen, plain SI."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from sim.results.comparison import Figures
from sim.results.model import ElementResult, Finding
from sim.results.sorted_by import SortedBy


class State(StrEnum):
    """What became of a type, in the order in which a page shows them."""

    UNFIT = "out without a run"
    OUT = "out by its run"
    NOT_RUN = "not run"
    NOT_FINISHED = "not finished"
    NOT_JUDGED = "not judged"
    REMAINS = "within all limits"


RANKED = (State.NOT_FINISHED, State.NOT_JUDGED, State.REMAINS)
"""Those that may suit, for all that is known."""


@dataclass(frozen=True)
class HookStretch:
    """How far the stretch of lines lets a performer's hook down: hanging, and when pulled hardest.

    hanging_m: under the performer's weight alone, by the types' slow curves, where the performer hangs at the start, or
    else at the end of the planned move; None where it hangs at neither. most_m: when the lines of the performer are
    pulled hardest in any case, under the tensions of that moment, by the curves that are run. case: that case.
    line: the one that bears most of it.
    """

    performer: str
    line: str
    hanging_m: float | None
    most_m: float
    case: str


@dataclass(frozen=True)
class Candidate:
    """One type in one size in the place of the lines that are chosen for.

    why: what it failed at without a run, or why it was not run, finished or judged, in sentences.
    outside: the findings that put it out, the least margin first. figures: the worst over all cases, of the whole rig.
    line: the weakest of the lines as it was judged. line_margin: its least design factor over what is asked, less
    one; None where nothing is asked. mass_kg: of the lines that are out at rest. ends: where -> how made fast there.
    effort: the greatest that any of its ends takes. evidence: what wants evidence. remarks: what else has to be known.
    """

    name: str
    type: str
    size: str
    state: State
    why: tuple[str, ...] = ()
    outside: tuple[Finding, ...] = ()
    diameter_m: float | None = None
    figures: Figures = field(default_factory=Figures)
    line_margin: float | None = None
    line: ElementResult | None = None
    stretch: HookStretch | None = None
    mass_kg_per_m: float | None = None
    mass_kg: float | None = None
    D_to_d: float | None = None
    ends: Mapping[str, str] | None = None
    effort: str = ""
    visibility: str = ""
    evidence: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def margin(self) -> float | None:
        """The least margin of the whole rig, below 0 outside."""
        least = self.figures.least_margin
        return least.margin if least else None


@dataclass(frozen=True)
class Choice:
    """All types for the lines that are chosen for together. asked: what the scenario asks of them, in sentences."""

    title: str
    lines: tuple[str, ...]
    asked: tuple[str, ...]
    candidates: tuple[Candidate, ...]

    @property
    def remaining(self) -> int:
        """How many types are within all limits."""
        return sum(1 for each in self.candidates if each.state is State.REMAINS)


def in_order(candidates: Iterable[Candidate], by: SortedBy, efforts: tuple[str, ...]) -> list[Candidate]:
    """Out without a run first, then out by their run with the least margin first; those that remain by what is asked.

    Equal ones stay in the order of the catalogue. efforts: from the easiest to the hardest.
    """
    states, remaining = list(State), _keys(efforts)[by]

    def rank(each: Candidate) -> tuple[int, float, float]:
        margin = -1.0 if each.margin is None else each.margin
        if each.state is State.OUT:
            return states.index(each.state), margin, 0.0
        if each.state in RANKED:
            return states.index(each.state), remaining(each), -margin
        return states.index(each.state), 0.0, 0.0

    return sorted(candidates, key=rank)


def _keys(efforts: tuple[str, ...]) -> Mapping[SortedBy, Callable[[Candidate], float]]:
    """Numbers that are the smaller the better."""
    last = float("inf")

    def known(value: float | None) -> float:
        return last if value is None else value

    return {
        SortedBy.MARGIN: lambda each: -each.margin if each.margin is not None else last,
        SortedBy.STRETCH: lambda each: known(each.stretch.most_m if each.stretch else None),
        SortedBy.WEIGHT: lambda each: known(each.mass_kg_per_m),
        SortedBy.THIN: lambda each: known(each.diameter_m),
        SortedBy.ENDS: lambda each: efforts.index(each.effort) if each.effort in efforts else last,
        SortedBy.EVIDENCE: lambda each: float(len(each.evidence)),
    }
