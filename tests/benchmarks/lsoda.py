"""The same compiled right-hand side, stepped from Python by SciPy's LSODA: the measure of the program's own loop.

It restarts at the same known times, finds mode changes on LSODA's own dense output and observes at the same rate. What
it shares with the program's loop are the equations and the rules by which modes change, nothing of the stepping.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import LSODA
from scipy.optimize import brentq

from sim.dynamics.boundary import cross_boundary
from sim.dynamics.case_tables import with_case
from sim.dynamics.modes import settle, switch
from sim.dynamics.observe import observe
from sim.dynamics.rhs import rhs
from sim.dynamics.run import Ready, begin, new_room, orders_for
from sim.dynamics.scales import event_rounding
from sim.rig.case import Case


@dataclass
class Stepped:
    """Peaks per column, number of evaluations and of restarts."""

    peak: NDArray[np.float64]
    evaluations: int = 0
    restarts: int = 0


class _Run:
    def __init__(self, of: Ready, case: Case, end_s: float, rtol: float, sample_s: float) -> None:
        self.m = with_case(of.start.model, of.rig, case)
        self.y, self.w = begin(of.rig, of.start, self.m)
        self.orders = orders_for(of, case, None, end_s)
        self.allowed = event_rounding(of.start, rtol)
        self.rtol, self.scale, self.sample_s = rtol, of.scale, sample_s
        self.dy, self.seen = np.zeros(len(self.y)), np.zeros(len(of.columns))
        self.want = np.array([c.peak for c in of.columns])
        self.out = Stepped(np.array([-w * np.inf if w else 0.0 for w in self.want]))
        self.log = np.zeros((1, 4))
        self.room = new_room(of)
        self.next_sample = 0.0

    def slope(self, t: float, y: NDArray) -> NDArray:
        self.out.evaluations += 1
        rhs(t, y, self.dy, self.m, self.w)
        return self.dy.copy()

    def look(self, t: float, y: NDArray) -> None:
        self.slope(t, y)
        observe(t, y, self.dy, self.seen, self.m, self.w)
        higher = self.want * self.seen > self.want * self.out.peak
        self.out.peak[higher & (self.want != 0)] = self.seen[higher & (self.want != 0)]

    def settle(self, t: float) -> None:
        settle(t, self.y, self.dy, self.allowed, self.log, 0, self.m, self.w)
        self.out.restarts += 1

    def fallen(self, t: float, y: NDArray) -> NDArray:
        """Event functions over what counts as zero; below -1 a mode has ended."""
        self.slope(t, y)
        return self.w.g / self.allowed

    def until(self, t: float, bound: float) -> float:
        """Step to the bound or to the first event; returns the time reached."""
        if bound - t < 1e-13:
            return bound
        atol: Any = self.rtol * self.scale  # one for each state, which LSODA takes
        solver: Any = LSODA(self.slope, t, self.y, bound, max_step=0.05, rtol=self.rtol, atol=atol)
        while solver.status == "running":
            before = self.fallen(solver.t, solver.y)
            solver.step()
            assert solver.status != "failed"
            inside, now = solver.dense_output(), self.fallen(solver.t, solver.y)
            ended = np.flatnonzero((now < -1.0) & (before >= -1.0))
            if len(ended):
                first, which = min((self._root(inside, solver.t_old, solver.t, int(q)), int(q)) for q in ended)
                self._samples(inside, first)
                self.y = np.array(inside(first))
                self.slope(first, self.y)
                switch(first, which, self.y, self.m, self.w)
                self.settle(first)
                return first
            self._samples(inside, solver.t)
            self.look(solver.t, solver.y)
        self.y = solver.y.copy()
        return bound

    def _root(self, inside, low: float, high: float, q: int) -> float:
        def value(t: float) -> float:
            return float(self.fallen(t, np.array(inside(t)))[q]) + 1.0

        if value(low) <= 0.0:
            return high
        root: Any = brentq(value, low, high, xtol=1e-10)
        return float(root)

    def _samples(self, inside, t: float) -> None:
        while self.next_sample <= t:
            self.look(self.next_sample, np.array(inside(max(self.next_sample, inside.t_old))))
            self.next_sample += self.sample_s

    def all(self) -> Stepped:
        t, b, count = 0.0, 0, len(self.orders.boundary_s)
        while True:
            while b < count and self.orders.boundary_s[b] <= t + 1e-12:
                cross_boundary(b, self.y, self.orders, self.room, self.m, self.w)
                b += 1
            self.settle(t)
            if t >= self.orders.end_s - 1e-12:
                return self.out
            bound = min(self.orders.boundary_s[b] if b < count else self.orders.end_s, self.orders.end_s)
            reached = t
            while reached < bound - 1e-12:
                reached = self.until(reached, bound)
            t = bound


def lsoda_run(of: Ready, case: Case, end_s: float, rtol: float = 1e-6, sample_s: float = 1e-3) -> Stepped:
    """Run a case with LSODA at a relative tolerance, absolute tolerances in the same proportion as the program's."""
    return _Run(of, case, end_s, rtol, sample_s).all()
