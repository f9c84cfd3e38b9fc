"""The solver is compiled once, in a process of its own, and what is compiled there is what every run uses."""

from __future__ import annotations

import itertools
import os
import shutil
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any, cast

import pytest

import sim
from sim.dynamics import compiling
from sim.dynamics.integrate import integrate
from sim.dynamics.run import ready, run
from tests.dynamics.rigs import DEMOS


def test_one_compiled_solver_serves_every_rig():
    for demo in DEMOS[:3]:
        rig = sim.build_rig(sim.read_file(demo))
        run(ready(rig), sim.planned_case(rig), 1e-4, None, end_s=0.05)
    assert len(cast(Any, integrate).overloads) == 1


_ELSEWHERE = """
import sys
import sim
from sim.dynamics.compiling import compile_here, is_compiled
from sim.dynamics.integrate import integrate
assert sim.__file__.startswith(sys.argv[1])
assert is_compiled()
compile_here()
assert (sum(integrate.stats.cache_hits.values()), sum(integrate.stats.cache_misses.values())) == (1, 0)
"""


def test_another_installation_of_the_same_finds_what_is_compiled(tmp_path: Path) -> None:
    compiling.compile_solver()
    for package in ("sim", "profiles", "plots"):
        shutil.copytree(Path(sim.__file__).parents[1] / package, tmp_path / package)
    env = {**os.environ, "PYTHONPATH": str(tmp_path)}
    subprocess.run([sys.executable, "-c", _ELSEWHERE, str(tmp_path)], env=env, cwd=tmp_path, check=True)


@pytest.mark.skipif(os.name != "posix", reason="needs locks on files")
def test_of_two_starts_at_once_one_compiles_and_the_other_waits(tmp_path: Path, monkeypatch) -> None:
    looks, both_here, done, made = itertools.count(1), threading.Event(), threading.Event(), []

    def is_compiled() -> bool:
        if next(looks) == 3:  # whoever compiles has looked twice
            both_here.set()
        return done.is_set()

    def compile_slowly() -> None:
        made.append(both_here.wait(timeout=600.0))
        done.set()

    monkeypatch.setattr(compiling, "CACHE_FOLDER", tmp_path)
    monkeypatch.setattr(compiling, "is_compiled", is_compiled)
    monkeypatch.setattr(compiling, "_compile_in_another_process", compile_slowly)
    starts = [threading.Thread(target=compiling.compile_solver) for _ in range(2)]
    for start in starts:
        start.start()
    for start in starts:
        start.join()
    assert made == [True]


_CODE = """
import sys
from pathlib import Path
from sim.dynamics.compiling import compile_solver, is_compiled
from sim.dynamics.jit import CACHE_FOLDER
assert not is_compiled()
compile_solver()
assert is_compiled()
before = sorted(CACHE_FOLDER.rglob("*.nb*"))
assert before
import sim
from sim.dynamics.run import ready, run
rig = sim.build_rig(sim.read_file(sys.argv[1]))
run(ready(rig), sim.planned_case(rig), 1e-4, 1000.0, end_s=0.05)
assert sorted(CACHE_FOLDER.rglob("*.nb*")) == before, "the run compiled something of its own"
"""


@pytest.mark.slow
def test_a_run_finds_everything_compiled_that_the_other_process_compiled(tmp_path):
    env = {**os.environ, "STOPLOAD_CACHE": str(tmp_path), "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
    subprocess.run([sys.executable, "-c", _CODE, str(DEMOS[0])], env=env, check=True)
