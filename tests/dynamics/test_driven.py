"""A winch driven by its motor: stands still before it moves, follows as it is tuned, never gives more than it has.

That its speed loop is the one described is shown against models of their own in tests/outside.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import sim
from sim.dynamics import modes as md
from sim.dynamics import tables as tb
from sim.dynamics.run import Raw, Ready, ready, run, static_values
from sim.rig.motor import Motor
from sim.rig.rig import RigError
from sim.studies.events import events
from tests.dynamics.rigs import DEMOS, G, built, demo_cases, history, peak

DEMO = next(path for path in DEMOS if path.stem == "lamplighters-drop")
MASS_KG = 80.0
MOVE = "pay_out: 8 m, speed: 4 m/s, acceleration: 5 m/s^2, deceleration: 5 m/s^2"
UP = MOVE.replace("pay_out", "take_in")
EXACT = "control: exact"


def motor(force: str = "20 kN", power: str = "200 kW", top_speed: str = "9 m/s", bandwidth: str = "5 Hz") -> str:
    return f"control: driven, force: {force}, power: {power}, top_speed: {top_speed}, bandwidth: {bandwidth}"


def hoist(control: str, move: str = MOVE, line: str = "stiffness_EA: 200 kN, mass_per_length: 20 g/m") -> str:
    return f"""
title: a weight on a winch
performers:
  weight: {{mass: {MASS_KG - 0.001} kg, hook_mass: 0.001 kg, at: [0 m, 0 m, 20 m], harness: rigid}}
lines:
  line: {{type: {{{line}, damping_time: 1 ms}}, route: [winch, weight]}}
drives:
  winch: {{kind: winch, at: [0 m, 0 m, 30 m], moving_mass: 60 kg, {control},
           brakes: [{{force: 2.8 kN, delay: 80 ms, rise: 60 ms}}]}}
moves:
  - {{drive: winch, start: 0.5 s, {move}}}
stops:
  - {{name: power loss, category: 0, when: 1.5 s}}
  - {{name: slowed, category: 1, when: 1.5 s, deceleration: 8 m/s^2}}
  - {{name: held, category: 2, when: 1.5 s, deceleration: 8 m/s^2}}
limits: none
"""


def driven_demos() -> list[tuple[str, Ready]]:
    """Every demo with winches, each under a motor that gives a third more than it holds and too little power."""
    out = []
    for path in DEMOS:
        rig = sim.build_rig(sim.read_file(path))
        rest = static_values(ready(rig))
        drives = []
        for drive in (d for d in rig.drives if d.hands is None):
            force = 1.3 * max(rest[f"force_N:{drive.name}"], 100.0)
            power = 0.6 * force * max(drive.motion.top_speed_m_s, 0.5)
            drives.append(replace(drive, motor=Motor(force, power, 20.0, 5.0)))
        if drives:
            out.append((path.stem, ready(replace(rig, drives=tuple(drives)))))
    return out


def driven_demo(control: str) -> Ready:
    text = Path(DEMO).read_text()
    assert text.count(EXACT) == 1
    line = next(x for x in text.splitlines() if EXACT in x)
    return ready(built(text.replace(line, "".join(f"    {x}\n" for x in control.split(", ")))))


def planned(text: str, rate_Hz: float = 1000.0, tolerance: float = 1e-6) -> Raw:
    of = ready(built(text))
    return run(of, sim.planned_case(of.rig), tolerance, rate_Hz, 5.0)


LIMITED = {
    "at no limit": motor(),
    "at its force": motor(force="1.2 kN"),
    "at its power": motor(power="3.3 kW"),
    "at force and power": motor(force="1.2 kN", power="3 kW"),
    "at its top speed": motor(top_speed="2.5 m/s"),
}


@pytest.mark.parametrize("control", LIMITED.values(), ids=LIMITED.keys())
@pytest.mark.parametrize("move", [MOVE, UP], ids=["down", "up"])
def test_books_close_and_the_motor_keeps_to_its_limits(control: str, move: str):
    of = ready(built(hoist(control, move)))
    given = of.rig.drives[0].motor
    assert isinstance(given, Motor)
    for case in demo_cases(of.rig):
        raw = run(of, case, 1e-6, 20_000.0, 4.0)
        fine = run(of, case, 1e-8, None, 4.0)
        assert raw.status in (0, 1)
        assert raw.residual < 1e-5
        assert fine.residual < raw.residual / 20
        force, speed = history(raw, "motor_force_N:winch"), history(raw, "line_speed_m_s:winch")
        assert np.abs(force).max() <= given.force_N * (1 + 1e-9)
        assert np.abs(force * speed).max() <= given.power_W * (1 + 1e-9)
        assert (raw.work_J[tb.P_BRAKE] < 0.0) == (case.name in ("power loss", "slowed"))


def test_each_limit_was_met_somewhere():
    """So that the check above is not idle: what was met, and what was never."""
    words = {name: set(planned(hoist(control, UP)).log[:, 1].astype(int)) for name, control in LIMITED.items()}
    assert not words["at no limit"] & {md.EV_AT_FORCE, md.EV_AT_POWER}
    assert {md.EV_AT_FORCE, md.EV_WITHIN} <= words["at its force"]
    assert {md.EV_AT_POWER, md.EV_WITHIN} <= words["at its power"]
    assert {md.EV_AT_FORCE, md.EV_AT_POWER, md.EV_WITHIN} <= words["at force and power"]


def test_the_motor_of_a_whole_rig_closes_its_books():
    of = driven_demo(motor(force="1.2 kN", power="6 kW"))
    met = set()
    for case in demo_cases(of.rig):
        raw = run(of, case, 1e-6, None, 6.0)
        assert raw.status in (0, 1)
        assert raw.residual < 1e-5
        met |= set(raw.log[:, 1].astype(int))
    assert {md.EV_AT_FORCE, md.EV_AT_POWER} <= met


@pytest.mark.parametrize(("name", "of"), driven_demos())
def test_weak_motors_in_every_demo(name: str, of: Ready):
    for case in demo_cases(of.rig):
        raw = run(of, case, 1e-6, 1000.0, 5.0)
        assert raw.status in (0, 1), name
        assert raw.residual < 1e-5
        for drive in of.rig.drives:
            assert isinstance(drive.motor, Motor)
            force, speed = history(raw, f"motor_force_N:{drive.name}"), history(raw, f"line_speed_m_s:{drive.name}")
            assert np.abs(force).max() <= drive.motor.force_N * (1 + 1e-9)
            assert np.abs(force * speed).max() <= drive.motor.power_W * (1 + 1e-9)


def test_motor_work_is_what_the_books_count():
    """On line that weighs nothing: the integral of force times speed, kept apart, which is what lifted the weight."""
    line = "stiffness_EA: 4000 kN, mass_per_length: 0.000001 g/m"
    raw = planned(hoist(motor(force="1.2 kN", power="3.6 kW"), UP, line), rate_Hz=20_000.0)
    power = history(raw, "motor_force_N:winch") * history(raw, "line_speed_m_s:winch")
    work = float(np.sum(0.5 * (power[1:] + power[:-1]) * np.diff(raw.time_s)))
    lifted = MASS_KG * G * -history(raw, "paid_out_m:winch")[-1]
    assert work == pytest.approx(lifted, rel=2e-3)
    assert raw.work_J[tb.P_DRIVE] == pytest.approx(work, rel=1e-4)


def test_nothing_creeps_before_the_move():
    for of in (ready(built(hoist(motor()))), driven_demo(motor(bandwidth="20 Hz"))):
        raw = run(of, sim.planned_case(of.rig), 1e-6, 1000.0, 0.6)
        before = raw.time_s < 0.5
        assert np.ptp(history(raw, "paid_out_m:winch")[before]) < 1e-9
        assert np.ptp(history(raw, "motor_force_N:winch")[before]) < 1e-3
        assert history(raw, "motor_force_N:winch")[0] < -MASS_KG * G * 0.99
        assert history(raw, "line_speed_m_s:winch")[-1] > 0.05


@pytest.mark.parametrize("case_name", ["planned move", "slowed", "held"])
def test_without_limits_and_quick_it_becomes_exact_control(case_name: str):
    """Ten times the bandwidth, a tenth of the difference; at 2 kHz nothing to speak of."""

    def result(control: str) -> tuple[np.ndarray, float]:
        of = ready(built(hoist(control)))
        case = next(c for c in demo_cases(of.rig) if c.name == case_name)
        raw = run(of, case, 1e-7, 1000.0, 3.4)
        return history(raw, "paid_out_m:winch"), peak(raw, "force_N:winch")

    way, force = result(EXACT)
    off = []
    for bandwidth in ("200 Hz", "2 kHz"):
        found, found_force = result(motor("1000 kN", "100000 kW", "9 m/s", bandwidth))
        off.append((float(np.abs(found - way).max()), abs(found_force / force - 1)))
    assert off[1][0] < off[0][0] / 5 < 1e-3
    assert off[1][0] < 1e-4
    assert off[1][1] < 1e-3


def test_power_off_takes_the_motor_away_at_once():
    of = ready(built(hoist(motor())))
    case = next(c for c in demo_cases(of.rig) if c.name == "power loss")
    raw = run(of, case, 1e-6, 10_000.0, 4.0)
    force, speed = history(raw, "motor_force_N:winch"), history(raw, "line_speed_m_s:winch")
    after = raw.time_s > 1.5 + 1e-4
    assert (force[after] == 0.0).all()
    assert np.abs(force[(raw.time_s > 1.4) & (raw.time_s < 1.5 - 1e-4)]).min() > 500.0
    # Free until the brake touches: weight and drum gain what the weight gives, and nothing else does.
    free = (raw.time_s > 1.5) & (raw.time_s < 1.58)
    momentum = 60 * speed[free] - MASS_KG * history(raw, "speed_m_s:weight")[free]
    assert np.polyfit(raw.time_s[free], momentum, 1)[0] == pytest.approx(MASS_KG * G, rel=5e-3)
    assert speed[-1] == 0.0


def test_limits_are_told_in_words_where_they_begin_and_end():
    raw = planned(hoist(motor(force="1.2 kN", power="3 kW"), UP))
    told = [(e.what, e.where) for e in events(raw) if e.what.startswith("motor")]
    assert ("motor at its force limit", "winch") in told
    assert ("motor at its power limit", "winch") in told
    at = next(e for e in events(raw) if e.what == "motor at its force limit")
    assert at.value is not None
    assert at.value == pytest.approx(-1200.0, rel=0.02)


def test_top_speed_is_not_asked_beyond_and_it_is_said():
    raw = planned(hoist(motor(top_speed="2.5 m/s", bandwidth="50 Hz")))
    rig = raw.ready.rig
    assert rig.drives[0].motion.top_speed_m_s == 2.5
    assert any("top speed" in sentence and "short" in sentence for sentence in rig.assumptions)
    speed = history(raw, "line_speed_m_s:winch")
    assert speed[(raw.time_s > 1.5) & (raw.time_s < 2.2)] == pytest.approx(2.5, rel=0.02)
    assert any(e.what == "top speed reached" for e in events(raw))


def test_what_it_cannot_hold_at_rest_is_refused():
    with pytest.raises(RigError, match="hang on it at rest, and its motor gives 700 N"):
        ready(built(hoist(motor(force="700 N"))))
