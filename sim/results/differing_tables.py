"""Two histories or two sweeps: each column once, by its largest difference at the instants that both have.

Nothing is interpolated: where two tables have other instants, those they share are compared and it is said how many.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from sim.results.difference import FIRST, SECOND, Difference, Kind, Level, level_of
from sim.results.differing import Found
from sim.results.field_words import column_in_words, column_unit
from sim.results.model import Floats

SAME_INSTANT_S = 1e-9
_PLACES = ("x_m", "y_m", "height_m", "body_height_m")
"""Coordinates of one place: what is nearly nothing in one of them is measured against the largest of all."""


@dataclass(frozen=True)
class Table:
    """A history or a sweep: instants (n,) and named columns (n,). path: where it stands; said: that in words."""

    path: tuple[str, str]
    said: str
    time_s: Floats
    columns: Mapping[str, Floats]


def compare_tables(first: Table, second: Table, claimed: float, found: Found) -> None:
    """Add what differs between two tables of the same place. claimed: the relative accuracy their runs claim."""
    one, other, common = _common(first.time_s, second.time_s)
    path = first.path
    if len(common) < max(len(first.time_s), len(second.time_s)):
        found.differences.append(_instants(first, second, len(common), claimed))
    for column in dict.fromkeys((*first.columns, *second.columns)):
        words = f"{first.said} / {column_in_words(column)}"
        if column not in first.columns or column not in second.columns:
            only = FIRST if column in first.columns else SECOND
            found.differences.append(
                Difference(Kind.CURVE, (*path, column), words, None, None, Level.DIFFERENT, only=only)
            )
        elif len(common):
            a, b = first.columns[column][one], second.columns[column][other]
            _add(found, (*path, column), words, (common, a, b), _scale(first, column), claimed)


def _common(first: Floats, second: Floats) -> tuple[np.ndarray, np.ndarray, Floats]:
    """The rows of both at the instants that both have, and those instants."""
    if len(first) == len(second) and np.array_equal(first, second):
        every = np.arange(len(first))
        return every, every, first
    steps = [np.round(times / SAME_INSTANT_S).astype(np.int64) for times in (first, second)]
    _, one, other = np.intersect1d(steps[0], steps[1], return_indices=True)
    return one, other, first[one]


def _scale(table: Table, column: str) -> float:
    """What a coordinate is measured against beside its own size: the other coordinates of the same."""
    kind, _, whose = column.partition(":")
    if kind not in _PLACES:
        return 0.0
    beside = [table.columns[f"{each}:{whose}"] for each in _PLACES if f"{each}:{whose}" in table.columns]
    return max((float(np.abs(each[np.isfinite(each)]).max(initial=0.0)) for each in beside), default=0.0)


def _add(
    found: Found, path: tuple[str, ...], words: str, values: tuple[Floats, Floats, Floats], scale: float, claimed: float
) -> None:
    times_s, first, second = values
    with np.errstate(invalid="ignore"):
        apart = np.abs(second - first)
    alike = (first == second) | (np.isnan(first) & np.isnan(second))
    apart = np.where(alike, 0.0, np.where(np.isfinite(apart), apart, np.inf))
    at = int(apart.argmax())
    finite = np.concatenate((first[np.isfinite(first)], second[np.isfinite(second)]))
    scale = max(scale, float(np.abs(finite).max(initial=0.0)))
    relative = float(apart[at]) / scale if scale else float(apart[at])
    level = level_of(relative, claimed)
    found.counts[level] += 1
    if level is not Level.EXACT:
        one, other = float(first[at]), float(second[at])
        found.differences.append(
            Difference(
                Kind.CURVE, path, words, one, other, level, column_unit(path[-1]), other - one, relative, claimed,
                at_s=float(times_s[at]),
            )
        )  # fmt: skip


def _instants(first: Table, second: Table, common: int, claimed: float) -> Difference:
    """That two tables do not have the same instants; a run that is at rest a trice later claims no more."""
    ends = [float(table.time_s[-1]) if len(table.time_s) else 0.0 for table in (first, second)]
    relative = abs(ends[1] - ends[0]) / max(*ends, SAME_INSTANT_S)
    level = level_of(max(relative, np.nextafter(0.0, 1.0)), claimed)
    said = [f"{len(table.time_s)} instants, {common} in both" for table in (first, second)]
    in_order = first.path[0] == "traces" and common >= min(len(first.time_s), len(second.time_s)) - 1
    words = f"{first.said} / instants"
    return Difference(
        Kind.CURVE, (*first.path, "time_s"), words, said[0], said[1], level if in_order else Level.DIFFERENT,
        relative=relative if in_order else None, claimed=claimed,
    )  # fmt: skip
