"""The libraries' integrators over a problem: leg by leg between its corners, restarted where a contact ends its state.

SciPy: solve_ivp (RK45, DOP853, LSODA) and odeint, which is LSODA without Python between its steps. SUNDIALS: CVODE by
scikit-sundae, Adams or BDF, with its own root-finding. Each is asked for the states at 1 kHz (or as told), from which
peaks are read by the parabola through three samples.
"""

from __future__ import annotations

import importlib.util
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from importlib import import_module
from typing import Any

import numba
import numpy as np
from scipy.integrate import odeint, solve_ivp

from tests.benchmarks.equations.problem import Floats, Problem

HAS_CVODE = importlib.util.find_spec("sksundae") is not None
MOST_STEP_S = 0.05
# A rig that needs twenty restarts and takes hundreds chatters at this tolerance, and will not do.
MOST_RESTARTS = 400
# A relative tolerance that never decides: errors are weighed by the problem's scale alone.
LEAST_RTOL = 1e-12
Rates = Callable[[float, Floats], Floats]


@dataclass
class Found:
    """States (states, n) at times, and what it cost."""

    time_s: Floats
    y: Floats
    evaluations: int
    restarts: int


@dataclass(frozen=True)
class Method:
    """library: scipy, odeint or cvode; name: the method within it."""

    library: str
    name: str

    @property
    def words(self) -> str:
        of = {"scipy": "solve_ivp, ", "odeint": "", "cvode": "CVODE, "}[self.library]
        return of + self.name


SCIPY = (Method("scipy", "RK45"), Method("scipy", "DOP853"), Method("scipy", "LSODA"), Method("odeint", "odeint"))
CVODE = (Method("cvode", "Adams"), Method("cvode", "Adams, gmres"), Method("cvode", "BDF"))
Leg = Callable[[Problem, Rates, Floats, Floats, float, bool], tuple[Floats, Floats, list[int]]]


def _rates(problem: Problem, in_numpy: bool) -> Rates:
    if in_numpy:
        return problem.numpy_rates
    function, tables = problem.compiled()
    out = np.empty(len(problem.start))

    def rates(time_s: float, y: Floats) -> Floats:
        function(time_s, y, out, *tables)
        return out.copy()

    return rates


@cache
def _loop(function: Any) -> Any:
    @numba.njit
    def loop(times: int, time_s: float, y: Floats, out: Floats, tables: Any) -> None:
        for _ in range(times):
            function(time_s, y, out, *tables)

    return loop


def evaluation_s(problem: Problem, times: int = 20_000) -> float:
    """Seconds of one evaluation of the compiled rates, called from compiled code: the least of five."""
    function, tables = problem.compiled()
    problem.begin(0.0, problem.start.copy())
    loop, out, best = _loop(function), np.empty(len(problem.start)), np.inf
    loop(1, 0.0, problem.start, out, tables)
    for _ in range(5):
        start = time.perf_counter()
        loop(times, 0.0, problem.start, out, tables)
        best = min(best, time.perf_counter() - start)
    return best / times


def _scipy_leg(
    name: str, problem: Problem, rates: Rates, times: Floats, y: Floats, tolerance: float, in_numpy: bool
) -> tuple[Floats, Floats, list[int]]:
    events: list[Any] = []
    for i in range(problem.contacts):

        def margin(t: float, y: Floats, i: int = i) -> float:
            return float(problem.margins(t, y, in_numpy=in_numpy)[i])

        margin.terminal, margin.direction = True, -1.0  # pyright: ignore[reportFunctionMemberAccess]
        events.append(margin)
    leg: Any = solve_ivp(
        rates, (times[0], times[-1]), y, method=name, t_eval=None if events else times, rtol=LEAST_RTOL,
        atol=tolerance * problem.scale, events=events or None, dense_output=bool(events), max_step=MOST_STEP_S,
    )  # fmt: skip
    if not leg.success:
        raise RuntimeError(leg.message)
    if not events:
        return times, leg.y, []
    end_s = float(leg.t[-1])
    seen = np.append(times[times < end_s], end_s)
    return seen, leg.sol(seen), [i for i, hits in enumerate(leg.t_events) if len(hits)]


def _odeint_leg(
    name: str, problem: Problem, rates: Rates, times: Floats, y: Floats, tolerance: float, in_numpy: bool
) -> tuple[Floats, Floats, list[int]]:
    if problem.contacts:
        raise RuntimeError("odeint finds no events")
    found = odeint(
        rates, y, times, tfirst=True, rtol=LEAST_RTOL, atol=tolerance * problem.scale, hmax=MOST_STEP_S, mxstep=100_000
    )
    return times, np.asarray(found).T, []


def _cvode_leg(
    name: str, problem: Problem, rates: Rates, times: Floats, y: Floats, tolerance: float, in_numpy: bool
) -> tuple[Floats, Floats, list[int]]:
    module: Any = import_module("sksundae.cvode")  # in an extra of its own

    def fill(t: float, y: Floats, out: Floats) -> None:
        out[:] = rates(t, y)

    more: dict[str, Any] = {}
    if problem.contacts:

        def margins(t: float, y: Floats, out: Floats) -> None:
            out[:] = problem.margins(t, y, in_numpy=in_numpy)

        margins.terminal = [True] * problem.contacts  # pyright: ignore[reportFunctionMemberAccess]
        margins.direction = [-1] * problem.contacts  # pyright: ignore[reportFunctionMemberAccess]
        more = {"eventsfn": margins, "num_events": problem.contacts}
    # Two times would mean every step of its own: a third in between asks for these alone.
    asked = times if len(times) > 2 else np.array([times[0], 0.5 * (times[0] + times[-1]), times[-1]])
    method, _, linear = name.partition(", ")
    solver = module.CVODE(
        fill, method=method, linsolver=linear or "dense", rtol=LEAST_RTOL, atol=tolerance * problem.scale,
        max_step=MOST_STEP_S, max_num_steps=1_000_000, **more,
    )  # fmt: skip
    leg: Any = solver.solve(asked, y)
    if not leg.success:
        raise RuntimeError(leg.message)
    hits = [] if leg.i_events is None or not len(leg.i_events) else list(np.flatnonzero(leg.i_events[-1]))
    return np.asarray(leg.t), np.asarray(leg.y).T, [int(i) for i in hits]


LEGS: dict[str, Any] = {"scipy": _scipy_leg, "odeint": _odeint_leg, "cvode": _cvode_leg}


def solve(
    problem: Problem, method: Method, tolerance: float, sample_s: float, *, in_numpy: bool = False, count: bool = False
) -> Found:
    """The whole of a problem. count: count evaluations (one more call in Python for each, so never while timing)."""
    rates, calls = _rates(problem, in_numpy), 0

    def counting(time_s: float, y: Floats) -> Floats:
        nonlocal calls
        calls += 1
        return rates(time_s, y)

    leg: Leg = partial(LEGS[method.library], method.name)
    y, time_s, restarts = problem.start.copy(), 0.0, 0
    times: list[Floats] = []
    states: list[Floats] = []
    for corner in (*problem.corner_s, problem.end_s):
        while time_s < corner - 1e-12:
            problem.begin(time_s, y)
            inside = np.arange(int(time_s / sample_s) + 1, int(corner / sample_s) + 1) * sample_s
            asked = np.concatenate(([time_s], inside[(inside > time_s + 1e-9) & (inside < corner - 1e-9)], [corner]))
            seen, found, ended = leg(problem, counting if count else rates, asked, y, tolerance, in_numpy)
            y = np.array(found[:, -1])
            for contact in ended:
                problem.ended(contact, y)
            times.append(seen)
            states.append(found)
            time_s, restarts = float(seen[-1]), restarts + 1
            if restarts > MOST_RESTARTS:
                raise RuntimeError(f"no progress at {time_s} s")
    return Found(np.concatenate(times), np.concatenate(states, axis=1), calls, restarts)
