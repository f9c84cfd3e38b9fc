"""Every demo against SciPy's LSODA over the same compiled right-hand side.

Shows that the program's own stepping, event location, restarts and dense output give what a library's do. It does not
show that the equations are right: that is what tests/outside is for.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import sim
from sim.dynamics.run import ready, run
from sim.rig.case import Case
from sim.rig.rig import Rig
from tests.benchmarks.lsoda import lsoda_run

DEMOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*.yaml"))
FORCES = ("force_N", "tension_N")
LONGEST_S = 3.2
SHORTEST_S = 2.2  # the swing passes its lowest place at 1.9 s


def _cases(rig: Rig) -> list[Case]:
    stops = [sim.stop_case(rig, s, s.time_s) for s in rig.stops if s.time_s is not None]
    every = [sim.stop_case(rig, s, 2.4) for s in rig.stops if s.time_s is None]
    return [sim.planned_case(rig), *stops[:1], *every[:1]]


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_demo(path: Path):
    rig = sim.build_rig(sim.read_file(path))
    of = ready(rig)
    for case in _cases(rig):
        end = min(max(case.last_action_s + 0.5, SHORTEST_S), LONGEST_S)
        own = run(of, case, 1e-7, None, end)
        library = lsoda_run(of, case, end, rtol=1e-7, sample_s=2e-4)
        for o, column in enumerate(of.columns):
            if column.column.startswith(FORCES) and own.peak[o] > 0.05 * of.start.reference_N:
                assert own.peak[o] == pytest.approx(library.peak[o], rel=1e-4), (case.name, column.column)
            elif column.column.startswith("g:"):
                assert own.peak[o] > 1.0
                assert own.peak[o] == pytest.approx(library.peak[o], rel=1e-4), (case.name, column.column)
            elif column.peak and column.column.startswith("height_m"):
                assert own.peak[o] == pytest.approx(library.peak[o], abs=1e-4), (case.name, column.column)
        assert np.isfinite(own.peak).all()
