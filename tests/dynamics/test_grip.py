"""A grip between motor and drum: holds below its force, slips at it, and takes hold again when both are as fast."""

from __future__ import annotations

import numpy as np
import pytest

import sim
from sim.dynamics import modes as md
from sim.dynamics import tables as tb
from sim.dynamics.run import Raw, ready, run
from sim.rig.brake import at_most
from sim.rig.rig import RigError
from tests.dynamics.rigs import G, built, demo_cases, history

WEIGHT_KG, DRUM_KG = 80.0, 40.0
SPEED_M_S, ACCELERATION_M_S2, START_S = 3.0, 12.0, 0.5


def gripped(grip: str, stiffness: str = "4000 kN", way: str = "take_in") -> str:
    return f"""
title: a weight hauled through a grip
performers:
  weight: {{mass: {WEIGHT_KG - 0.001} kg, hook_mass: 0.001 kg, at: [0 m, 0 m, 18 m], harness: rigid}}
lines:
  line: {{type: {{stiffness_EA: {stiffness}, mass_per_length: 0.000001 g/m, damping_time: 2 ms}},
         route: [winch, weight]}}
drives:
  winch: {{kind: winch, at: [0 m, 0 m, 30 m], moving_mass: {DRUM_KG} kg, {grip}
          brakes: [{{force: 2.8 kN, delay: 80 ms, rise: 60 ms}}]}}
moves:
  - {{drive: winch, start: {START_S} s, {way}: 6 m, speed: {SPEED_M_S} m/s, acceleration: {ACCELERATION_M_S2} m/s^2,
      deceleration: 4 m/s^2}}
stops:
  - {{name: power loss, category: 0, when: 1.5 s}}
  - {{name: slowed, category: 1, when: 1.5 s, deceleration: 14 m/s^2}}
  - {{name: held, category: 2, when: 1.5 s, deceleration: 14 m/s^2}}
limits: none
"""


def planned(text: str, rate_Hz: float = 1000.0) -> Raw:
    of = ready(built(text))
    return run(of, sim.planned_case(of.rig), 1e-7, rate_Hz, 4.0)


def test_slipping_on_a_stiff_line():
    """Drum and weight as one mass: (M + m) a = grip - M g until they are as fast as the motor; what slipped is lost."""
    grip_N = 1500.0
    raw = planned(gripped("grip: 1.5 kN,"))
    slips = [t for t, word, _, _ in raw.log if word == md.EV_GRIP_SLIPS]
    holds = [t for t, word, _, _ in raw.log if word == md.EV_GRIP_HOLDS]
    both_m_s2 = (grip_N - WEIGHT_KG * G) / (WEIGHT_KG + DRUM_KG)
    assert both_m_s2 < ACCELERATION_M_S2
    assert slips[0] == pytest.approx(START_S, abs=0.03)
    assert holds[-1] - START_S == pytest.approx(SPEED_M_S / both_m_s2, rel=0.02)
    # Between the curves of speed: the motor's ramp and steady run, and the slower ramp of drum and weight.
    lost = SPEED_M_S**2 / 2 * (1 / both_m_s2 - 1 / ACCELERATION_M_S2)
    assert 6.0 + history(raw, "paid_out_m:winch")[-1] == pytest.approx(lost, rel=0.02)
    assert raw.work_J[tb.P_FRICTION] == pytest.approx(-grip_N * lost, rel=0.02)
    slipping = (raw.time_s > slips[0] + 1e-3) & (raw.time_s < holds[0] - 1e-3)
    assert history(raw, "grip_force_N:winch")[slipping] == pytest.approx(-grip_N, rel=1e-12)


@pytest.mark.parametrize("stiffness", ["60 kN", "400 kN"])
@pytest.mark.parametrize("way", ["pay_out", "take_in"])
def test_books_close_and_it_never_bears_more(stiffness: str, way: str):
    of = ready(built(gripped("grip: 1.5 kN,", stiffness, way=way)))
    slipped = set()
    for case in demo_cases(of.rig):
        raw = run(of, case, 1e-6, 10_000.0, 4.0)
        fine = run(of, case, 1e-8, None, 4.0)
        assert raw.status in (0, 1)
        assert raw.residual < 1e-5
        assert fine.residual < raw.residual / 10
        assert np.abs(history(raw, "grip_force_N:winch")).max() <= 1500.0 * (1 + 1e-6)
        assert raw.work_J[tb.P_FRICTION] <= 0.0
        if md.EV_GRIP_SLIPS in raw.log[:, 1]:
            slipped.add(case.name)
    assert slipped


def test_a_grip_that_never_slips_changes_nothing():
    for name in ("planned move", "power loss", "slowed", "held"):
        found = []
        for grip in ("grip: 500 kN,", ""):
            of = ready(built(gripped(grip, "400 kN")))
            case = next(c for c in demo_cases(of.rig) if c.name == name)
            raw = run(of, case, 1e-8, 1000.0, 4.0)
            assert md.EV_GRIP_SLIPS not in raw.log[:, 1]
            found.append((history(raw, "force_N:winch"), history(raw, "paid_out_m:winch")))
        first = raw.time_s < 2.0
        assert found[0][0][first] == pytest.approx(found[1][0][first], abs=0.5)
        assert found[0][1] == pytest.approx(found[1][1], abs=1e-4)


def test_the_brake_gives_no_more_than_the_grip():
    """Through a grip of 1.5 kN a brake of 5 kN is one of 1.5 kN that comes as quickly."""
    found = []
    for brake in ("5 kN, delay: 80 ms, rise: 60 ms", "1.5 kN, delay: 80 ms, rise: 18 ms"):
        text = gripped("grip: 1.5 kN,", "400 kN").replace("2.8 kN, delay: 80 ms, rise: 60 ms", brake)
        of = ready(built(text))
        case = next(c for c in demo_cases(of.rig) if c.name == "power loss")
        found.append(run(of, case, 1e-7, 1000.0, 4.0))
    assert found[0].work_J[tb.P_BRAKE] < -50.0
    for name in ("paid_out_m:winch", "line_speed_m_s:winch"):
        assert history(found[0], name) == pytest.approx(history(found[1], name), abs=1e-6)


def test_pieces_of_a_brake_are_cut_off_where_they_meet_the_grip():
    pieces = ((1.0, 0.0, 0.0), (1.1, 0.0, 20_000.0), (1.2, 2000.0, 0.0))
    assert at_most(pieces, None) == pieces
    assert at_most(pieces, 2500.0) == pieces
    cut = at_most(pieces, 500.0)
    assert cut[:2] == pieces[:2]
    assert cut[2] == (pytest.approx(1.125), 500.0, 0.0)
    assert cut[3] == (1.2, 500.0, 0.0)


def test_a_grip_that_cannot_hold_the_load_is_refused():
    with pytest.raises(RigError, match="hang on it at rest, and its grip slips at 700 N"):
        ready(built(gripped("grip: 700 N,")))
