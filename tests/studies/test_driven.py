"""A driven winch in a result: what it did, not what it was asked."""

from __future__ import annotations

import numpy as np
import pytest

import sim
from sim.dynamics.run import ready
from sim.studies.driven import planned
from sim.studies.figures import drive_result
from sim.studies.one_stop import run_stops

TEXT = """
title: a weight on a weak winch
performers:
  weight: {mass: 80 kg, at: [0 m, 0 m, 20 m], harness: rigid}
lines:
  line: {type: {stiffness_EA: 200 kN, mass_per_length: 20 g/m, damping_time: 2 ms}, route: [winch, weight]}
drives:
  winch: {kind: winch, at: [0 m, 0 m, 30 m], moving_mass: 60 kg, control: driven, force: 1.2 kN, power: 3 kW,
          top_speed: 5 m/s, bandwidth: 5 Hz, brakes: [{force: 2.8 kN, delay: 80 ms, rise: 60 ms}]}
moves:
  - {drive: winch, start: 0.5 s, take_in: 6 m, speed: 4 m/s, acceleration: 5 m/s^2, deceleration: 5 m/s^2}
stops:
  - {name: power loss, category: 0, when: 1.5 s}
  - {name: slowed, category: 1, when: 1.5 s, deceleration: 8 m/s^2}
  - {name: held, category: 2, when: 1.5 s, deceleration: 8 m/s^2}
limits: none
"""


def test_a_move_that_was_too_much_is_told_as_it_went():
    rig = sim.build_rig(sim.read_text(TEXT, "check"))
    done = sim.simulate(rig, sim.planned_case(rig)).case.drives["winch"]
    asked = rig.drives[0].motion
    assert -5.5 < done.paid_out_m < -3.0
    assert done.top_speed_m_s < 0.9 * asked.top_speed_m_s


@pytest.mark.parametrize("number", [0, 1, 2])
def test_stopping_is_counted_from_where_it_was(number: int):
    rig = sim.build_rig(sim.read_text(TEXT, "check"))
    stop = rig.stops[number]
    seen = sim.simulate(rig, sim.stop_case(rig, stop, 1.5))
    way, speed = (seen.trace.columns[f"{x}:winch"] for x in ("paid_out_m", "line_speed_m_s"))
    at = float(np.interp(1.5, seen.trace.time_s, way))
    told = seen.case.drives["winch"]
    assert told.stopping_distance_m == pytest.approx(abs(way[-1] - at), abs=1e-4)
    assert told.stopping_time_s is not None
    after = seen.trace.time_s > 1.5 + told.stopping_time_s + 2e-3
    assert np.abs(speed[after]).max() < 0.03
    # Rows of a sweep have no samples and say the same.
    (row,) = run_stops(ready(rig), stop, [1.5], 1e-6)
    assert not len(row.samples)
    assert drive_result(row, "winch").stopping_distance_m == pytest.approx(told.stopping_distance_m, abs=2e-4)


def test_until_its_stop_a_run_is_the_planned_move():
    rig = sim.build_rig(sim.read_text(TEXT, "check"))
    of = ready(rig)
    seen = sim.simulate(rig, sim.stop_case(rig, rig.stops[0], 1.5), 1000.0)
    before = planned(of)
    o = next(i for i, c in enumerate(of.columns) if c.column == "paid_out_m:winch")
    count = 1500
    assert seen.trace.columns["paid_out_m:winch"][:count] == pytest.approx(before.samples[:count, o], abs=1e-6)
