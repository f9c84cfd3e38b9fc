"""Which events of a case are ruled and named, and which are only ticked, so that many do not drown a figure."""

from __future__ import annotations

from collections.abc import Sequence

from plots.panels import Row, Rule
from sim.results.model import CaseResult, Event, Outcome

_RARE = 4
"""A kind of event that happens more often than this is ticked only: what is rare tells the story of a run."""
_RULES = 10
_ROWS = 8
_TOGETHER = 0.01
"""Events of one kind closer than this part of the run share a rule: their names would only hide one another."""


def warnings_of(case: CaseResult) -> list[str]:
    """What has to be known of a case before its picture is believed."""
    said = (
        [] if case.outcome is Outcome.FINISHED else [f"{case.outcome.value}: {case.reason}. {case.remedy}".strip(" :.")]
    )
    if case.audit is not None and not case.audit.passed:
        said.append(f"Audit not passed: {case.audit.remark or 'the figures of this case are not to be relied on'}")
    return said


def ruled_and_ticked(case: CaseResult) -> tuple[list[Rule], list[Row]]:
    """The case's events, each either ruled and named through all panels, or ticked in a row below them.

    Ruled are the stop and the rarer kinds of event, at most ten moments; events at one moment share a rule. The other
    kinds get a row each in order of first happening; what exceeds eight rows shares the last.
    """
    kinds = _kinds(case.events)
    moments: dict[float, list[str]] = {}
    if case.stop_time_s is not None:
        at_s = round(case.stop_time_s, 6)
        told = [e.what for e in case.events if round(e.time_s, 6) == at_s]
        moments[at_s] = told if _says_so(told, case) else ["stop", *told]
    named: set[str] = set()
    for what in sorted((k for k in kinds if len(kinds[k]) <= _RARE), key=lambda k: len(kinds[k])):
        times = _together([round(e.time_s, 6) for e in kinds[what]], _TOGETHER * case.duration_s)
        if len(moments.keys() | times.keys()) > _RULES:
            continue
        named.add(what)
        for time_s, count in times.items():
            moments.setdefault(time_s, []).append(what if count == 1 else f"{what} ({count} times)")
    rules = [Rule(time_s, _joined(words)) for time_s, words in sorted(moments.items())]
    return rules, _rows({what: events for what, events in kinds.items() if what not in named})


def _together(times_s: Sequence[float], near_s: float) -> dict[float, int]:
    """Rising times as the first of each group that lies together, and how many different times are in it."""
    groups: dict[float, int] = {}
    first = None
    for time_s in dict.fromkeys(times_s):
        if first is None or time_s - first > near_s:
            first = time_s
        groups[first] = groups.get(first, 0) + 1
    return groups


def _rows(kinds: dict[str, list[Event]]) -> list[Row]:
    if len(kinds) <= _ROWS:
        return [_row(what, events) for what, events in kinds.items()]
    own = list(kinds)[: _ROWS - 1]
    others = [e for what, events in kinds.items() if what not in own for e in events]
    return [*(_row(what, kinds[what]) for what in own), _row(f"{len(kinds) - len(own)} other kinds", others)]


def _kinds(events: Sequence[Event]) -> dict[str, list[Event]]:
    kinds: dict[str, list[Event]] = {}
    for event in sorted(events, key=lambda e: e.time_s):
        kinds.setdefault(event.what, []).append(event)
    return kinds


def _row(what: str, events: Sequence[Event]) -> Row:
    times = tuple(e.time_s for e in events)
    return Row(what if len(times) == 1 else f"{what} ({len(times)} times)", times)


def _says_so(told: Sequence[str], case: CaseResult) -> bool:
    """Whether the events at the stop's instant say that it is one, or none of the drives was stopped then."""
    nothing_stops = bool(case.drives) and all(d.stopping_distance_m is None for d in case.drives.values())
    return any("stop" in what for what in told) or (bool(told) and nothing_stops)


def _joined(words: Sequence[str]) -> str:
    """Words for one moment, each once."""
    return ", ".join(dict.fromkeys(words))
