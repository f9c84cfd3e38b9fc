"""How fast the solver is, as ratios within one run. Not part of the suite: pytest -m benchmark tests/benchmarks -s."""

from __future__ import annotations

import time

import numpy as np
import pytest

import sim
from sim.dynamics.run import ready, run
from tests.benchmarks.lsoda import lsoda_run
from tests.benchmarks.measures import DEMO, starts
from tests.benchmarks.waves import WAVES

pytestmark = pytest.mark.benchmark
END_S = 6.0
WITHIN = 1e-4


def _best(call, times: int) -> float:
    best = np.inf
    for _ in range(times):
        start = time.perf_counter()
        call()
        best = min(best, time.perf_counter() - start)
    return best


def test_planned_move_against_lsoda(benchmark, capsys):
    """The lamplighter's drop, planned move, 1 kHz traces, peaks within 0.01 %, against LSODA at rtol 1e-6."""
    rig = sim.build_rig(sim.read_file(DEMO))
    of, case = ready(rig), sim.planned_case(rig)
    exact = run(of, case, 1e-9, None, END_S)
    tolerance = 1e-4
    raw = run(of, case, tolerance, 1000.0, END_S)
    forces = np.array([c.column.startswith(("force_N", "tension_N", "g:")) for c in of.columns])
    error = np.abs(raw.peak[forces] / exact.peak[forces] - 1.0).max()
    assert error < WITHIN
    own = _best(lambda: run(of, case, tolerance, 1000.0, END_S), 100)
    benchmark.pedantic(lambda: run(of, case, tolerance, 1000.0, END_S), rounds=50, iterations=1)
    bare = _best(lambda: run(of, case, tolerance, None, END_S), 100)
    library = lsoda_run(of, case, END_S)  # once before, so that nothing is compiled inside the measurement
    theirs = _best(lambda: lsoda_run(of, case, END_S), 3)
    theirs_error = np.abs(library.peak[forces] / exact.peak[forces] - 1.0).max()
    with capsys.disabled():
        print(
            f"\nplanned move: {1e3 * own:.2f} ms warm at tolerance {tolerance:g} ({raw.evaluations} evaluations, "
            f"{raw.events} events, {raw.steps} steps; {1e3 * bare:.2f} ms without traces, "
            f"{1e9 * bare / raw.evaluations:.0f} ns per evaluation all told), peaks within {100 * error:.4f} %\n"
            f"LSODA: {1e3 * theirs:.0f} ms ({library.evaluations} evaluations, {library.restarts} restarts), "
            f"peaks within {100 * theirs_error:.4f} %; ratio {theirs / own:.0f}"
        )


def test_hundred_elements(capsys):
    """A line of 100 elements, 5 s."""
    rig = sim.build_rig(sim.read_text(WAVES, "waves"))
    of, case = ready(rig), sim.planned_case(rig)
    raw = run(of, case, 1e-6, 1000.0)
    took = _best(lambda: run(of, case, 1e-6, 1000.0), 3)
    with capsys.disabled():
        print(f"\n100 elements, 5 s: {took:.2f} s ({raw.evaluations} evaluations), energy out by {raw.residual:.1e}")


def test_start_and_compilation(tmp_path, capsys):
    """Starting the command and reading a file; the first compilation; memory. Each in a process of its own."""
    found = starts(tmp_path)
    assert found.check_s < found.run_s < found.run_cold_s
    with capsys.disabled():
        print(
            f"\nstart and check a file: {found.check_cold_s:.2f} s, again {found.check_s:.2f} s\n"
            f"run of the demo: {found.run_cold_s:.1f} s cold, {found.run_s:.1f} s warm, so compilation "
            f"{found.run_cold_s - found.run_s:.1f} s; memory at most {found.run_cold_MB:.0f} and {found.run_MB:.0f} MB"
        )
