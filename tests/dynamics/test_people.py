"""People beside a winch on one rig: who stops, and runs that go on from a moment after hands have slipped."""

from __future__ import annotations

import numpy as np
import pytest

import sim
from sim.dynamics import modes as md
from sim.dynamics.run import ready, run
from sim.rig.pull_team import LINE_IN_HAND_KG
from sim.studies.one_stop import run_stops
from tests.dynamics.rigs import built, history

BOTH = """
title: a winch and a team hold one performer between them
floor: 0 m
performers:
  flyer: {mass: 60 kg, hook_mass: 1 kg, at: [0 m, 0 m, 6 m], body_below: 1 m, harness: rigid}
lines:
  left: {type: {stiffness_EA: 100 kN, mass_per_length: 30 g/m, damping_ratio: 5 %}, route: [winch, left head, flyer]}
  right: {type: {stiffness_EA: 100 kN, mass_per_length: 30 g/m, damping_ratio: 5 %}, route: [team, right head, flyer]}
sheaves:
  left head: {at: [-3 m, 0 m, 11 m], tread_diameter: 120 mm, mass: 1 kg, bearing: ball}
  right head: {like: left head, at: [3 m, 0 m, 11 m]}
drives:
  team: {kind: pull team, at: [8 m, 0 m, 1 m], people: 4, force_each: 300 N, top_speed: 4 m/s, team_loss: 10 %,
         reaction: 0.4 s, grip_each: GRIP}
  winch: {kind: winch, at: [-8 m, 0 m, 1 m], moving_mass: 50 kg, brakes: [{force: 2 kN, delay: 80 ms, rise: 60 ms}]}
moves:
  - {drives: [winch, team], start: 0.3 s, take_in: 1.5 m, speed: 1 m/s, acceleration: 2 m/s^2, deceleration: 2 m/s^2}
run: {duration: 4 s}
stops:
  - {name: power loss, category: 0, when: every instant}
  - {name: hold, hands: hold, when: every instant}
  - {name: let go, hands: let go, when: every instant}
limits: none
"""


def test_a_stop_that_names_nobody_is_of_those_who_can():
    rig = built(BOTH.replace("GRIP", "400 N"))
    assert [stop.drives for stop in rig.stops] == [("winch",), ("team",), ("team",)]
    case = sim.stop_case(rig, rig.stops[0], 1.0)
    assert set(case.power_off) == {"winch"}
    assert case.motions["team"] is rig.drive("team").motion


@pytest.mark.parametrize("grip", ["400 N", "97 N"])
def test_a_stop_that_goes_on_from_a_moment_is_the_stop_run_whole(grip: str):
    """Also where hands slipped before it: what they hold then is found anew in the tables of the stop."""
    rig = built(BOTH.replace("GRIP", grip))
    of = ready(rig)
    slipped = md.EV_HANDS_SLIP in run(of, sim.planned_case(rig), 1e-6, None).log[:, 1]
    assert slipped == (grip == "97 N")
    times_s = (0.55, 1.1, 2.05)
    for stop in rig.stops:
        for t, on in zip(times_s, run_stops(of, stop, times_s, 1e-6), strict=True):
            whole = run(of, sim.stop_case(rig, stop, t), 1e-6, 1000.0)
            assert on.status == whole.status
            assert on.residual < 1e-5
            assert on.peak == pytest.approx(whole.peak, rel=1e-4, abs=1e-3)
            assert on.state == pytest.approx(whole.state, rel=1e-2, abs=1e-2)


def test_slipped_hands_stay_where_they_are_and_hold():
    rig = built(BOTH.replace("GRIP", "97 N"))
    raw = run(ready(rig), sim.planned_case(rig), 1e-6, 1000.0)
    slips_s = raw.log[raw.log[:, 1] == md.EV_HANDS_SLIP][0, 0]
    after = raw.time_s > slips_s + 0.005  # the hands stop the line they were taking in
    pushed_N = LINE_IN_HAND_KG * np.gradient(history(raw, "line_speed_m_s:team"), 1e-3)[after].max()
    assert pushed_N < 0.1 * 4 * 97
    assert history(raw, "force_N:team")[after].max() <= 4 * 97 + 1.1 * pushed_N
    assert np.diff(history(raw, "paid_out_m:team")[after]).min() > -2e-3  # nothing more is taken in
