"""Where a move leaves the performers, against geometry by hand."""

from __future__ import annotations

import math

import pytest

from sim.build import build_rig
from sim.scenario import read_text
from sim.studies.checked import check_summary

HEAD = """
title: t
floor: 0 m
performers:
  flyer: {mass: 80 kg, at: [AT], body_below: 1.3 m, start: hanging, harness: {stiffness: 45 kN/m}}
drives:
"""
WINCH = "  NAME: {kind: winch, at: [AT], control: exact, moving_mass: 60 kg, brakes: [BRAKE]}"
LINE = "{type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_time: 1 ms}, diameter: 6 mm, route: [ROUTE]}"
MOVE = "  - {drive: NAME, start: 0.5 s, HOW, speed: 2 m/s, acceleration: 2 m/s^2, deceleration: 2 m/s^2}"
TAIL = "stops: none\nlimits: none\n"


BRAKE = "{force: 3 kN, delay: 80 ms, rise: 60 ms}"


def _winch(name: str, at: str) -> str:
    return WINCH.replace("NAME", name).replace("AT", at).replace("BRAKE", BRAKE)


def _drop(how: str) -> str:
    lines, sheaves = {"line": "winch, head, flyer"}, {"head": "at: [4 m, 0 m, 10 m]"}
    return _scenario("4 m, 0 m, 8 m", [_winch("winch", "0 m, 0 m, 0 m")], lines, sheaves, {"winch": how})


def _scenario(
    at: str, winches: list[str], lines: dict[str, str], sheaves: dict[str, str], moves: dict[str, str]
) -> str:
    parts = [HEAD.replace("AT", at).strip(), *winches, "lines:"]
    parts += [f"  {name}: {LINE.replace('ROUTE', route)}" for name, route in lines.items()]
    parts += ["sheaves:", *(f"  {n}: {{{w}, tread_diameter: 120 mm, mass: 0.9 kg}}" for n, w in sheaves.items())]
    parts += ["moves:", *(MOVE.replace("NAME", n).replace("HOW", how) for n, how in moves.items()), TAIL]
    return "\n".join(parts)


def _heights(text: str) -> list[float]:
    scenario = read_text(text)
    return [move.performer_end_height_m["flyer"] for move in check_summary(scenario, build_rig(scenario))]


def test_a_straight_line_comes_down_by_what_is_paid_out() -> None:
    assert _heights(_drop("pay_out: 5 m")) == [pytest.approx(3.0, abs=1e-6)]
    assert _heights(_drop("take_in: 1.5 m")) == [pytest.approx(9.5, abs=1e-6)]


def test_a_performer_stops_at_the_floor() -> None:
    assert _heights(_drop("pay_out: 7.9 m")) == [pytest.approx(1.3, abs=1e-6)]


def test_between_two_lines_the_lengths_decide() -> None:
    """Symmetric: both sheaves 5 m from the middle, the flyer 5 m below; then both lines 1 m longer: √(L² - 25)."""
    text = _scenario(
        "0 m, 0 m, 7 m",
        [_winch("left", "-5 m, 0 m, 0 m"), _winch("right", "5 m, 0 m, 0 m")],
        {"left line": "left, left head, flyer", "right line": "right, right head, flyer"},
        {"left head": "at: [-5 m, 0 m, 12 m]", "right head": "at: [5 m, 0 m, 12 m]"},
        {"left": "pay_out: 1 m", "right": "pay_out: 1 m"},
    )
    after_both = 12.0 - math.sqrt((math.hypot(5.0, 5.0) + 1.0) ** 2 - 25.0)
    assert _heights(text) == [pytest.approx(after_both, abs=1e-5)] * 2
