"""What the program lets go of goes back to the system."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import sim
from tests.studies.hoist import hoist

ROOT = Path(__file__).parents[2]

_HELD_MB = """
import sys
import numpy as np
from sim.command.memory import large_arrays_go_back

def held_MB():
    return int(open("/proc/self/statm").read().split()[1]) * 4096 / 1e6

if sys.argv[1] == "go back":
    large_arrays_go_back()
del (first := [np.ones(2_000_000)])[:]  # from here on the library keeps what is smaller than this
before, small, large = held_MB(), [], []
for _ in range(100):
    large.append(np.ones(100_000))
    small.append([bytes(1000) for _ in range(20)])
del large
print(held_MB() - before)
"""


def _held_MB(how: str) -> float:
    done = subprocess.run([sys.executable, "-c", _HELD_MB, how], cwd=ROOT, capture_output=True, text=True, check=True)
    return float(done.stdout)


@pytest.mark.skipif(sys.platform != "linux", reason="a choice of the GNU C library")
def test_large_arrays_go_back_though_smaller_things_lie_between() -> None:
    if _held_MB("stay") < 40.0:
        pytest.skip("this C library gives them back unasked")
    assert _held_MB("go back") < 10.0


def test_a_history_keeps_only_its_own_samples_and_not_those_it_was_taken_from() -> None:
    rig = hoist()
    history = sim.simulate(rig, sim.planned_case(rig)).trace
    for name, column in history.columns.items():
        whole = column if column.base is None else column.base
        assert whole.nbytes == column.nbytes, name
