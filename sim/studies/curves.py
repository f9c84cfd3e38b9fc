"""What a sweep found: every figure against the stop instant, for each pairing of ends; and what is worst in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from sim.results.journal import Row
from sim.results.model import Floats, SweepTable
from sim.strength.elements import Element
from sim.strength.left import strength_left_N
from sim.studies.ends import AS_STATED, Ends

LOW_IS_WORSE = ("clearance_m", "lowest_height_m")
# A change too small to matter where the figure itself may be nearly nothing: metres of clearance, seconds of slack.
LEAST_THAT_MATTERS = {"clearance_m": 1e-4, "slack_s": 1e-4}
WATCHED = ("peak_g", "force_N", "clearance_m", "slack_s")
# An element is given a case of its own where it sees this much more than in any other named case.
CLEARLY_MORE = 1.001


@dataclass(frozen=True)
class Worst:
    """Where something is worst: the stop instant (s) and the ends of spreads."""

    time_s: float
    ends: Ends = AS_STATED


@dataclass(frozen=True, eq=False)
class Curves:
    """Figures of a sweep. times_s: (n,) in order. values: column to (ends, n), NaN where a run gave none.

    causes: why a run did not finish, by ends and row; empty where it did.
    """

    name: str
    times_s: Floats
    ends: tuple[Ends, ...]
    values: Mapping[str, Floats]
    causes: tuple[tuple[str, ...], ...]

    @property
    def finished(self) -> np.ndarray:
        """(ends, n), True where the run finished."""
        return np.array([[not cause for cause in row] for row in self.causes]).reshape(len(self.ends), -1)

    def badness(self, column: str) -> Floats:
        """(ends, n): the figure turned so that greater is worse; -inf where the run did not finish."""
        values = self.values[column]
        turned = -values if _kind(column) in LOW_IS_WORSE else values
        return np.where(self.finished & np.isfinite(values), turned, -np.inf)

    def columns(self, *kinds: str) -> list[str]:
        """The columns of these kinds: 'peak_g', 'force_N', 'clearance_m', 'slack_s' and so on."""
        return [column for column in self.values if _kind(column) in kinds]

    def table(self) -> SweepTable:
        """One row per instant: of every figure the worst of all ends, and every cause."""
        with np.errstate(invalid="ignore"):
            columns = {
                name: np.fmin.reduce(v) if _kind(name) in LOW_IS_WORSE else np.fmax.reduce(v)
                for name, v in self.values.items()
            }
        return SweepTable(self.name, self.times_s, columns, tuple(map(self._cause, range(len(self.times_s)))))

    def _cause(self, row: int) -> str:
        found = [(ends, causes[row]) for ends, causes in zip(self.ends, self.causes, strict=True) if causes[row]]
        return "; ".join(cause if ends == AS_STATED else f"{ends}: {cause}" for ends, cause in found)


def curves(name: str, rows: Mapping[Ends, Mapping[float, Row]]) -> Curves:
    """The figures of all runs of a sweep: every one of these ends at every one of its instants."""
    times = np.array(sorted({t for of in rows.values() for t in of}))
    columns = dict.fromkeys(c for of in rows.values() for row in of.values() for c in row.values)
    values = {
        c: np.array([[of[t].values.get(c, np.nan) for t in times.tolist()] for of in rows.values()]) for c in columns
    }
    causes = tuple(tuple(of[t].cause for t in times.tolist()) for of in rows.values())
    return Curves(name, times, tuple(rows), values, causes)


def worst_of(found: Curves, elements: Iterable[Element] = ()) -> dict[str, Worst]:
    """What to report: worst force, worst g, worst clearance, worst slack, each at its own instant and ends; and, where
    an element or a span sees clearly more elsewhere than in any of those, worst for that element.

    Worst force is the largest force over what can bear it there, after reductions (so the nearest to failure, not the
    largest), or the largest force of any line where no strength is known.
    """
    if not found.finished.any():
        return {}
    force = {c.removeprefix("force_N:"): found.badness(c) for c in found.columns("force_N")}
    left_N = strength_left_N(elements, force)
    use = {n: f / left_N[n] for n, f in force.items() if left_N.get(n, 0.0) > 0.0}
    use = use or {n: f for n, f in force.items() if ":" in n} or force
    groups = {"worst force": list(use.values())}
    for what, kind in (("worst g", "peak_g"), ("worst clearance", "clearance_m"), ("worst slack", "slack_s")):
        groups[what] = [found.badness(c) for c in found.columns(kind)]
    picked = {what: at for what, group in groups.items() if (at := _worst(group)) is not None}
    if "worst slack" in picked and max(b[picked["worst slack"]] for b in groups["worst slack"]) <= 0.0:
        del picked["worst slack"]
    for name, bad in sorted(force.items(), key=lambda x: (":" in x[0], -x[1].max())):
        if bad.max() > CLEARLY_MORE * max(bad[at] for at in picked.values()):
            picked[f"worst for {name.replace(':', ', ')}"] = _at(bad)
    return {what: Worst(float(found.times_s[i]), found.ends[e]) for what, (e, i) in picked.items()}


def _worst(group: list[Floats]) -> tuple[int, int] | None:
    """(ends, row) of the largest value in any of the columns; None where there is none."""
    if not group or not np.isfinite(top := np.max(np.array(group), axis=0)).any():
        return None
    return _at(top)


def _at(badness: Floats) -> tuple[int, int]:
    e, i = np.unravel_index(int(badness.argmax()), badness.shape)
    return int(e), int(i)


def _kind(column: str) -> str:
    return column.partition(":")[0]
