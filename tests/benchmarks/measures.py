"""What else is measured: starting and compiling, memory, a sweep of stops on one thread and on all."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np

import sim
from sim.dynamics.run import ready, run
from sim.studies.one_stop import run_stops
from tests.benchmarks.lsoda import lsoda_run

DEMO = Path(__file__).parents[2] / "scenarios" / "lamplighters-drop.yaml"
TOLERANCE = 1e-4
AT_ONCE = 8


@dataclass(frozen=True)
class Starts:
    """Seconds and megabytes of the command, each in a process of its own; cold: with an empty cache."""

    check_cold_s: float
    check_s: float
    run_cold_s: float
    run_s: float
    run_cold_MB: float
    run_MB: float


def starts(folder: Path) -> Starts:
    """Check and run the first demo, with nothing compiled and again."""
    env = {**os.environ, "STOPLOAD_CACHE": str(folder / "cache")}
    out = str(folder / "out")

    def timed(*words: str) -> tuple[float, float]:
        start = time.perf_counter()
        child = subprocess.Popen(
            [sys.executable, "-m", "sim.command", *words],
            env=env,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode not in (0, 1):  # 1: something outside its limit, which is no matter here
            raise RuntimeError(f"{words[0]} ended with {child.returncode}")
        return time.perf_counter() - start, used.ru_maxrss / 1024

    check_cold, _ = timed("check", str(DEMO))
    check, _ = timed("check", str(DEMO))
    cold, cold_MB = timed("run", str(DEMO), "--out", out, "--replace")
    warm, warm_MB = timed("run", str(DEMO), "--out", out, "--replace")
    return Starts(check_cold, check, cold, warm, cold_MB, warm_MB)


@dataclass(frozen=True)
class Sweeps:
    """Seconds of as many stops on one thread and on all, in turns, the least of each; LSODA's of one stop."""

    stops: int
    one_s: float
    all_s: float
    threads: int
    lsoda_s: float
    error: float


def sweeps(stops: int = 1000, rounds: int = 3) -> Sweeps:
    """The first demo's power loss at many instants; LSODA, over the same compiled equations, at a few."""
    rig = sim.build_rig(sim.read_file(DEMO))
    of = ready(rig)
    stop = next(s for s in rig.stops if s.category == 0)
    forces = np.array([c.column.startswith(("force_N", "tension_N", "g:")) for c in of.columns])
    few = [0.7, 1.3, 1.9, 2.5]
    cases = [sim.stop_case(rig, stop, t) for t in few]
    own = run_stops(of, stop, few, TOLERANCE)
    exact = [run(of, c, 1e-9, None) for c in cases]
    error = max(np.abs(a.peak[forces] / b.peak[forces] - 1.0).max() for a, b in zip(own, exact, strict=True))
    lsoda_run(of, cases[0], 1.0, sample_s=np.inf)
    start = time.perf_counter()
    for raw, case in zip(own, cases, strict=True):
        lsoda_run(of, case, raw.end_s, sample_s=np.inf)
    theirs = (time.perf_counter() - start) / len(few)
    times = [float(t) for t in np.linspace(0.5, 6.0, stops)]
    pieces = [times[k : k + AT_ONCE] for k in range(0, stops, AT_ONCE)]
    threads = os.cpu_count() or 1
    one, on_all = np.inf, np.inf
    with ThreadPoolExecutor(threads) as pool:
        for _ in range(rounds):
            start = time.perf_counter()
            for piece in pieces:
                run_stops(of, stop, piece, TOLERANCE)
            one = min(one, time.perf_counter() - start)
            start = time.perf_counter()
            list(pool.map(lambda piece: run_stops(of, stop, piece, TOLERANCE), pieces))
            on_all = min(on_all, time.perf_counter() - start)
    return Sweeps(stops, one, on_all, threads, theirs, float(error))
