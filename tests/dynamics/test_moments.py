"""A stop that goes on from a moment of the planned move is the stop run from the beginning."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import sim
from sim.dynamics.moments import MOMENTS_S, moments, run_on
from sim.dynamics.run import ready, run

DEMOS = Path(__file__).parents[2] / "scenarios"
TOLERANCE = 1e-6


@pytest.mark.parametrize("name", ["lamplighters-drop", "moths-flight", "cathedral-run-wire", "stonemasons-fall"])
def test_a_stop_from_a_moment_is_the_whole_stop(name: str):
    """Peaks, their times, events, end and books, for stops of every kind the demo has, before and after slack."""
    rig = sim.build_rig(sim.read_file(DEMOS / f"{name}.yaml"))
    of, planned = ready(rig), sim.planned_case(rig)
    known = moments(of, planned, TOLERANCE, 3.0)
    for stop in rig.stops:
        for time_s in (0.73, 1.9, 2.6):
            case = sim.stop_case(rig, stop, time_s)
            before = [m for m in known if m.time_s < time_s][-1]
            assert time_s - before.time_s <= MOMENTS_S + 1e-9
            whole, on = run(of, case, TOLERANCE, None), run_on(of, case, TOLERANCE, before)
            assert on.status == whole.status
            assert on.residual < 1e-5
            assert on.log_total == pytest.approx(whole.log_total, abs=0.05 * whole.log_total)
            for o, c in enumerate(of.columns):
                if c.peak:
                    least = 0.01 * of.start.reference_N if c.column.startswith(("force", "tension", "floor")) else 1.0
                    assert on.peak[o] == pytest.approx(whole.peak[o], rel=2e-5, abs=2e-5 * least), (time_s, c.column)


def test_a_moment_is_left_as_it_was():
    """Any number of stops go on from one moment, in any order, to the same bits."""
    rig = sim.build_rig(sim.read_file(DEMOS / "lamplighters-drop.yaml"))
    of = ready(rig)
    moment = moments(of, sim.planned_case(rig), TOLERANCE, 2.0)[-1]
    cases = [sim.stop_case(rig, rig.stops[-1], t) for t in (2.01, 2.05)]
    first = [run_on(of, c, TOLERANCE, moment) for c in cases]
    again = [run_on(of, c, TOLERANCE, moment) for c in reversed(cases)][::-1]
    for a, b in zip(first, again, strict=True):
        assert np.array_equal(a.peak, b.peak)
        assert a.evaluations == b.evaluations
