"""What was chosen to be drawn, out of a history or a sweep: the columns of some elements and performers."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from sim.results.model import Floats, Result, SweepTable, Trace


def things_of(result: Result) -> list[str]:
    """All that can be chosen by name: elements as judged, then what else a case has a force of, then performers."""
    names = [*result.elements]
    for case in result.cases.values():
        names += [name for name in case.peaks if not _is_span(name, case.peaks)]
    for case in result.cases.values():
        names += case.performers
    return list(dict.fromkeys(names))


def chosen_of_trace(trace: Trace, things: Collection[str]) -> Trace:
    """The columns of these elements and performers; all, where none is named."""
    return replace(trace, columns=_chosen(trace.columns, things)) if things else trace


def chosen_of_sweep(table: SweepTable, things: Collection[str]) -> SweepTable:
    """The columns of these elements, performers and drives; all, where none is named."""
    return replace(table, columns=_chosen(table.columns, things)) if things else table


def _chosen(columns: Mapping[str, Floats], things: Collection[str]) -> dict[str, Floats]:
    return {column: values for column, values in columns.items() if _of_any(column.partition(":")[2], things)}


def _of_any(whose: str, things: Collection[str]) -> bool:
    """Whether a column's name belongs to one of them: it is its name, or the name of a line and one of its spans."""
    return any(whose == name or whose.startswith(f"{name}:") for name in things)


def _is_span(name: str, among: Collection[str]) -> bool:
    return any(name.startswith(f"{other}:") for other in among)
