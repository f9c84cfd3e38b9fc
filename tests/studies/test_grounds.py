"""Moves that lead too low as they are planned, against heights by hand."""

from __future__ import annotations

import pytest

from sim.build import build_rig
from sim.results.checked import CheckedGround
from sim.scenario import read_text
from sim.studies.checked import check_summary
from sim.studies.grounds import too_low

DROP = """
title: t
GROUND
performers:
  flyer: {mass: 80 kg, at: [4 m, 0 m, 8 m], body_below: 1.3 m, START, harness: {stiffness: 45 kN/m}}
lines:
  line: {type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_time: 1 ms}, route: [winch, head, flyer]}
sheaves:
  head: {at: [4 m, 0 m, 10 m], tread_diameter: 120 mm, mass: 0.9 kg}
drives:
  winch: {kind: winch, at: [0 m, 0 m, 0 m], moving_mass: 60 kg, brakes: [{force: 3 kN, delay: 80 ms, rise: 60 ms}]}
moves:
  - {drive: winch, start: 0.5 s, pay_out: PAID, speed: 2 m/s, acceleration: 2 m/s^2, deceleration: 2 m/s^2}
stops: none
limits: LIMITS
"""


def _too_low(paid: str, limits: str, ground: str = "floor: 0 m", start: str = "start: hanging") -> list[CheckedGround]:
    text = DROP.replace("PAID", paid).replace("LIMITS", limits).replace("GROUND", ground).replace("START", start)
    scenario = read_text(text)
    rig = build_rig(scenario)
    return [*too_low(scenario, rig, check_summary(scenario, rig))]


def test_a_move_into_the_clearance_is_told_with_what_is_left() -> None:
    """Feet start at 6.7 m."""
    (low,) = _too_low("6.5 m", "{clearance: 0.3 m}")
    assert (low.performer, low.drive, low.ground, low.asked_m) == ("flyer", "winch", "floor", 0.3)
    assert low.clearance_m == pytest.approx(0.2, abs=1e-6)
    assert low.end_s == pytest.approx(0.5 + 6.5 / 2.0 + 1.0, abs=1e-9)
    assert _too_low("6.4 m", "{clearance: 0.3 m}") == []


def test_a_move_onto_the_floor_is_told_where_no_landing_is_planned() -> None:
    for limits in ("{g_load: 4}", "none", "{clearance: 0.3 m}"):
        (low,) = _too_low("7 m", limits)
        assert low.clearance_m == pytest.approx(0.0, abs=1e-6)
    assert _too_low("7 m", "{landing_speed: 1 m/s}") == []
    assert _too_low("6.5 m", "{g_load: 4}") == []


def test_into_the_water_is_told_by_how_deep_even_where_a_landing_is_planned() -> None:
    wet = "environment: {wet: yes, water: {level: 1 m}}\nfloor: -2 m"
    (low,) = _too_low("7 m", "{landing_speed: 1 m/s}", wet)
    assert low.ground == "water"
    assert low.clearance_m == pytest.approx(-1.3, abs=1e-6)


def test_no_floor_and_no_body_leave_nothing_to_tell() -> None:
    assert _too_low("7 m", "{g_load: 4}", ground="revision: A") == []


FLIGHT = """
title: t
floor: 0 m
performers:
  flyer: {mass: 80 kg, at: [-3 m, 0 m, 6 m], body_below: 3 m, start: hanging, harness: {stiffness: 45 kN/m}}
lines:
  left line: {type: TYPE, route: [left winch, left head, flyer]}
  right line: {type: TYPE, route: [right winch, right head, flyer]}
sheaves:
  left head: {at: [-8 m, 0 m, 12 m], tread_diameter: 120 mm, mass: 0.9 kg}
  right head: {like: left head, at: [8 m, 0 m, 12 m]}
drives:
  left winch: {kind: winch, at: [-8 m, 0 m, 0 m], moving_mass: 60 kg, brakes: [BRAKE]}
  right winch: {like: left winch, at: [8 m, 0 m, 0 m]}
moves:
  - fly: flyer
    drives: [left winch, right winch]
    start: 0.5 s
    through: [[0 m, 0 m, 3.2 m], [3 m, 0 m, 6 m]]
    speed: 2 m/s
    acceleration: 1 m/s^2
stops: none
limits: {clearance: 0.3 m}
"""


def test_a_path_is_told_where_it_dips() -> None:
    """From 6 m by way of 3.2 m up to 6 m again, the same to both sides: feet at 0.2 m in the middle."""
    kind = "{stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_time: 1 ms}"
    brake = "{force: 3 kN, delay: 80 ms, rise: 60 ms}"
    scenario = read_text(FLIGHT.replace("TYPE", kind).replace("BRAKE", brake))
    rig = build_rig(scenario)
    (low,) = too_low(scenario, rig, check_summary(scenario, rig))
    assert (low.performer, low.drive, low.ground) == ("flyer", "", "floor")
    assert low.clearance_m == pytest.approx(0.2, abs=1e-3)
