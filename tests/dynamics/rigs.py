"""Small helpers of these checks: rigs from text, columns by name, and runs that begin in motion."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

import sim
from sim.dynamics import orders as od
from sim.dynamics import tables as tb
from sim.dynamics.case_tables import with_case
from sim.dynamics.integrate import integrate
from sim.dynamics.run import Raw, Ready, begin, orders_for
from sim.dynamics.scales import event_rounding
from sim.rig.case import Case
from sim.rig.rig import Rig

G = 9.80665
DEMOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*.yaml"))


def built(text: str) -> Rig:
    """The rig a scenario text describes."""
    return sim.build_rig(sim.read_text(text, "check"))


def column(raw: Raw | Ready, name: str) -> int:
    """The number of a column. Raises StopIteration where there is none."""
    of = raw.ready if isinstance(raw, Raw) else raw
    return next(i for i, c in enumerate(of.columns) if c.column == name)


def peak(raw: Raw, name: str) -> float:
    """The peak kept for a column."""
    return float(raw.peak[column(raw, name)])


def history(raw: Raw, name: str) -> NDArray[np.float64]:
    """A column's samples."""
    return raw.samples[:, column(raw, name)]


def demo_cases(rig: Rig, instants: tuple[float, ...] = (1.2, 2.4)) -> list[Case]:
    """The planned move and every stop: at its own instant, or at a few of every instant."""
    cases = [sim.planned_case(rig)]
    for stop in rig.stops:
        times = instants if stop.time_s is None else (stop.time_s,)
        cases += [sim.stop_case(rig, stop, t) for t in times]
    return cases


def _more_boundaries(rig: Rig, orders: od.Orders, every_s: float) -> od.Orders:
    """Boundaries that release a point which is not held: nothing."""
    fixed = next(i for i, p in enumerate(rig.points) if p.start == "fixed")
    times = np.arange(every_s, orders.end_s, every_s)
    at = np.concatenate((orders.boundary_s, times))
    order = np.argsort(at, kind="stable")
    return orders._replace(
        boundary_s=at[order],
        boundary_what=np.concatenate((orders.boundary_what, np.full(len(times), od.BOUNDARY_RELEASE)))[order],
        boundary_index=np.concatenate((orders.boundary_index, np.full(len(times), fixed)))[order],
    )


class FromMotion:
    """What a run that began in motion, or with short steps, left: peaks, samples, log and the loop's counts."""

    def __init__(
        self,
        of: Ready,
        case: Case,
        tolerance: float,
        sample_rate_Hz: float,
        end_s: float,
        begin_with: Callable = lambda y, m: None,
        longest_step_s: float | None = None,
    ) -> None:
        """begin_with(y, model) changes the state of rest in place before the run starts.

        longest_step_s: a boundary at which nothing happens that often, so no step is longer.
        """
        m = with_case(of.start.model, of.rig, case)
        y, w = begin(of.rig, of.start, m)
        begin_with(y, m)
        orders = orders_for(of, case, sample_rate_Hz, end_s)
        if longest_step_s is not None:
            orders = _more_boundaries(of.rig, orders, longest_step_s)
        self.record = od.Record(
            samples=np.zeros((int(end_s * sample_rate_Hz) + 2, len(of.columns))),
            peak=np.array([-c.peak * np.inf if c.peak else 0.0 for c in of.columns]),
            peak_s=np.zeros(len(of.columns)),
            slack_s=np.zeros(len(of.rig.performers)),
            log=np.zeros((2000, 4)),
            counts=np.zeros(8, np.int64),
            audit=np.zeros(3 + tb.POWERS),
            final=np.zeros(len(y)),
        )
        rounding = event_rounding(of.start, tolerance)
        scratch = od.new_scratch(len(y), len(rounding), len(of.columns), len(of.rig.performers))
        integrate(y, 1.0 / (tolerance * of.scale), rounding, orders, self.record, scratch, m, w)
        self.of, self.counts, self.peak = of, self.record.counts, self.record.peak
        self.log = self.record.log[: int(self.counts[od.LOGGED])]
        self.samples = self.record.samples[: int(self.counts[od.SAMPLES])]
        self.time_s = np.arange(len(self.samples)) / sample_rate_Hz

    def peak_of(self, name: str) -> float:
        """The peak kept for a column."""
        return float(self.peak[column(self.of, name)])
