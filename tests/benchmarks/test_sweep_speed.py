"""How fast a sweep of stops is, against LSODA doing the same. Not part of the suite: pytest -m benchmark -s."""

from __future__ import annotations

import os
import resource
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

import sim
from sim.dynamics.run import ready, run
from sim.studies.one_stop import run_stops
from tests.benchmarks.lsoda import lsoda_run

pytestmark = pytest.mark.benchmark
DEMO = Path(__file__).parents[2] / "scenarios" / "lamplighters-drop.yaml"
TOLERANCE = 1e-4
CORES = os.cpu_count() or 1
WITHIN = 1e-4


def test_a_thousand_stops_against_lsoda(capsys):
    """A thousand instants of the lamplighter's power loss; LSODA on a few of them, at the same 0.01 %."""
    rig = sim.build_rig(sim.read_file(DEMO))
    of = ready(rig)
    stop = next(s for s in rig.stops if s.category == 0)
    forces = np.array([c.column.startswith(("force_N", "tension_N", "g:")) for c in of.columns])
    few = [0.7, 1.3, 1.9, 2.5, 4.0]
    cases = [sim.stop_case(rig, stop, t) for t in few]
    own = run_stops(of, stop, few, TOLERANCE)
    exact = [run(of, c, 1e-9, None) for c in cases]
    error = max(np.abs(a.peak[forces] / b.peak[forces] - 1.0).max() for a, b in zip(own, exact, strict=True))
    assert error < WITHIN
    lsoda_run(of, cases[0], 1.0, sample_s=np.inf)
    start = time.perf_counter()
    for raw, case in zip(own, cases, strict=True):
        lsoda_run(of, case, raw.end_s, sample_s=np.inf)
    theirs = (time.perf_counter() - start) / len(few)
    lines = []
    for count in (10, 100, 1000, 10_000):
        times = [float(t) for t in np.linspace(0.5, 6.0, count)]
        start = time.perf_counter()
        for k in range(0, count, 8):
            run_stops(of, stop, times[k : k + 8], TOLERANCE)
        each = (time.perf_counter() - start) / count
        lines.append(f"{count} stops: {each * count:.2f} s, {1e3 * each:.2f} ms each, {theirs / each:.0f} times LSODA")
    times = [float(t) for t in np.linspace(0.5, 6.0, 1000)]
    start = time.perf_counter()
    with ThreadPoolExecutor(CORES) as pool:
        list(pool.map(lambda k: run_stops(of, stop, times[k : k + 8], TOLERANCE), range(0, len(times), 8)))
    whole = time.perf_counter() - start
    lines.append(f"1000 stops on {CORES} threads: {whole:.2f} s, {theirs * len(times) / whole:.0f} times LSODA")
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    with capsys.disabled():
        print(f"\nLSODA: {1e3 * theirs:.0f} ms a stop; peaks of ours within {100 * error:.4f} %; one thread")
        print("\n".join(lines), f"\nmemory at most {memory:.0f} MB")
