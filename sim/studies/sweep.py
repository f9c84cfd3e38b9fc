"""A stop at every instant: from the first move's start until the motion has died down, closest around the worst."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from sim.dynamics.run import ready, run
from sim.results.journal import KeepsRuns, Row
from sim.results.model import SweepTable
from sim.rig.rig import Rig
from sim.rig.stop import StopOrder
from sim.strength.elements import Element
from sim.studies.cases import case_before, happening
from sim.studies.curves import LEAST_THAT_MATTERS, WATCHED, Curves, Worst, curves, worst_of
from sim.studies.ends import AS_STATED, Ends
from sim.studies.instants import CLOSER_S, CLOSEST_S, GRID_S, closer, first_instant, plain_instants, settled
from sim.studies.many import Many, Workers, run_many
from sim.studies.one_stop import SWEEP_TOLERANCE, Stop, StopWork, stop_rows, stop_work

Tell = Callable[[str, int, int], None]


@dataclass(frozen=True)
class Sweep:
    """The table of a sweep, the worst found in it (what is worst to when and at which ends), and all its curves."""

    table: SweepTable
    worst: Mapping[str, Worst]
    curves: Curves


@dataclass(frozen=True)
class How:
    """How a sweep's runs are made. workers: see `sim.studies.many`; journal: where finished runs are kept, if at all;
    tell(what, done, total): who is told; grid_s: the plain grid; closest: whether to look closer around the worst."""

    workers: Workers = None
    journal: KeepsRuns | None = None
    tell: Tell = field(default=lambda what, done, total: None)
    grid_s: float = GRID_S
    closest: bool = True


def sweep(
    rig: Rig,
    stop: StopOrder,
    elements: Sequence[Element] = (),
    how: How | None = None,
    rigs: Mapping[Ends, Rig] | None = None,
) -> Sweep:
    """Stop the rig at every instant of its planned move.

    elements: what can fail, see `worst_of`. rigs: the rig at the ends of its spreads, run instead of the rig as stated.
    A failed run keeps its cause in its row. Where and in which order runs are made changes nothing.
    """
    how = how or How()
    rigs = rigs or {AS_STATED: rig}
    runs = _Runs(stop, {ends: stop_work(at, stop) for ends, at in rigs.items()}, how)
    end_s = max(run(ready(at), case_before(at, stop), SWEEP_TOLERANCE, None).end_s for at in rigs.values())
    first_s = first_instant(rig, stop)
    runs.at(plain_instants(rig, first_s, end_s, how.grid_s), f"{stop.name}, every instant")
    for step_s in (*CLOSER_S, *CLOSEST_S) if how.closest else ():
        runs.at(_closer(runs.curves(), step_s, first_s), f"{stop.name}, around the worst")
    found = runs.curves()
    table = replace(found.table(), happens=happening(stop))
    return Sweep(table, worst_of(found, elements), found)


def stop_at_ends(
    rigs: Mapping[Ends, Rig], stop: StopOrder, time_s: float, elements: Sequence[Element], how: How
) -> dict[str, Worst]:
    """The worst ends of a stop at its one instant: what is worst, to when and at which ends."""
    runs = _Runs(stop, {ends: stop_work(at, stop) for ends, at in rigs.items()}, how)
    runs.at([time_s], f"{stop.name}, at the ends of spreads")
    return worst_of(runs.curves(), elements)


def _closer(found: Curves, step_s: float, first_s: float) -> list[float]:
    """New instants around the worst of every watched figure, taken as the worst of all ends."""
    new: list[float] = []
    for column in found.columns(*WATCHED):
        badness = np.max(found.badness(column), axis=0)
        least = LEAST_THAT_MATTERS.get(column.partition(":")[0], 0.0)
        if step_s in CLOSER_S or not settled(badness, least):
            new += closer(found.times_s, badness, step_s, first_s, least)
    return sorted(set(new))


class _Runs:
    """The runs of one sweep: those made, those the journal has already, and making more of them."""

    def __init__(self, stop: StopOrder, works: Mapping[Ends, StopWork], how: How) -> None:
        self.stop, self.works, self.how = stop, works, how
        self.rows: dict[Ends, dict[float, Row]] = {ends: {} for ends in works}
        self._ends = {work: ends for ends, work in works.items()}

    def at(self, times_s: Sequence[float] | np.ndarray, what: str) -> None:
        """Make the runs at these instants, at all ends."""
        times = [float(t) for t in times_s]
        journal = self.how.journal
        known = {} if journal is None else journal.rows
        for ends in self.works:
            names = {t: (self.stop.name, str(ends), t) for t in times}
            self.rows[ends].update({t: known[name] for t, name in names.items() if name in known})
        missing = [(work, t) for ends, work in self.works.items() for t in times if t not in self.rows[ends]]
        total, told = len(times) * len(self.works), len(times) * len(self.works) - len(missing)

        def done(stops: Sequence[Stop], rows: Sequence[Row]) -> None:
            nonlocal told
            new = dict(zip(((self._ends[work], t) for work, t in stops), rows, strict=True))
            for (ends, t), row in new.items():
                self.rows[ends][t] = row
            if journal is not None:
                journal.add({(self.stop.name, str(ends), t): row for (ends, t), row in new.items()})
            told += len(stops)
            self.how.tell(what, told, total)

        def lost(stop: Stop, cause: str) -> None:
            nonlocal told
            self.rows[self._ends[stop[0]]][stop[1]] = Row({}, cause)
            told += 1
            self.how.tell(what, told, total)

        run_many(Many(stop_rows, done, lost), missing, self.how.workers)

    def curves(self) -> Curves:
        """All figures so far."""
        return curves(self.stop.name, self.rows)
