"""The solver is compiled once, in a process of its own, and what is compiled there is what every run uses."""

from __future__ import annotations

import os
import subprocess
import sys
from typing import Any, cast

import pytest

import sim
from sim.dynamics.integrate import integrate
from sim.dynamics.run import ready, run
from tests.dynamics.rigs import DEMOS


def test_one_compiled_solver_serves_every_rig():
    for demo in DEMOS[:3]:
        rig = sim.build_rig(sim.read_file(demo))
        run(ready(rig), sim.planned_case(rig), 1e-4, None, end_s=0.05)
    assert len(cast(Any, integrate).overloads) == 1


_CODE = """
import sys
from pathlib import Path
from sim.dynamics.compiling import compile_solver
from sim.dynamics.jit import CACHE_FOLDER, is_compiled
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
