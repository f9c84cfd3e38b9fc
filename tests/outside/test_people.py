"""Drives that people move, and a grip behind a motor, against models that share nothing with the solver.

The team: its loop as a controller would do it, ten microseconds at a time, cut off at what people give at that speed.
The lowering hand: masses in closed form. The slipping grip of a driven winch: two masses, the motor's own a
thousandth of the drum's, with dry friction between, integrated by SciPy.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import quad, solve_ivp

import sim
from sim.dynamics import modes as md
from sim.dynamics.run import Raw, ready, run
from sim.rig.pull_team import LINE_IN_HAND_KG, PERSON_KG, Team
from sim.rig.rig import Rig
from tests.dynamics.rigs import built, demo_cases, history
from tests.outside.accuracy.rows import Agrees, apart, closed_form, practice, table

G, WEIGHT_KG = 9.80665, 80.0
STIFF = "stiffness_EA: 4000 kN, mass_per_length: 0.00001 g/m, damping_time: 2 ms"


def hangs(drive: str, move: str, stops: str = "none", line: str = STIFF) -> Rig:
    return built(f"""
title: a weight on a line that people hold
performers:
  weight: {{mass: {WEIGHT_KG - 0.001} kg, hook_mass: 0.001 kg, at: [0 m, 0 m, 18 m], harness: rigid}}
lines:
  line: {{type: {{{line}}}, route: [people, weight]}}
drives:
  people: {{at: [0 m, 0 m, 30 m], {drive}}}
moves:
  - {{drive: people, {move}}}
stops: {stops}
limits: none
""")


def team(people: int = 6, force: float = 300, top_speed: float = 3.0, grip: float = 2000) -> str:
    return (
        f"kind: pull team, people: {people}, force_each: {force} N, top_speed: {top_speed} m/s, team_loss: 10 %, "
        f"reaction: 0.5 s, grip_each: {grip} N"
    )


HAUL = "start: 0.5 s, take_in: 6 m, speed: 2.5 m/s, acceleration: 3 m/s^2, deceleration: 3 m/s^2"
HAND = "kind: lowering hand, device: {wrap: 540 deg, friction: 0.2}, grip_each: 250 N, reaction: 0.5 s"
LOWER = "start: 0.5 s, pay_out: 8 m, speed: 2 m/s, acceleration: 4 m/s^2, deceleration: 4 m/s^2"
RATIO = math.exp(0.2 * 3 * math.pi)


def planned(rig: Rig, seconds: float = 5.0) -> Raw:
    return run(ready(rig), sim.planned_case(rig), 1e-7, 1000.0, seconds)


def gives_N(taking_in_m_s: NDArray | float, rest_N: float, top_m_s: float) -> NDArray | float:
    """Nearly a straight line, (1 - u)/(1 + u/20), and no more than at rest when paying out."""
    u = np.clip(np.asarray(taking_in_m_s) / top_m_s, 0.0, 1.0)
    return rest_N * (1 - u) / (1 + u / 20)


def test_the_law_of_people_is_a_straight_line(agrees: Agrees):
    """Of many joints at once: force falls straight with speed, so most power is a quarter of force times speed."""
    most = Team(1200.0, 3.0).most
    for speed in (-1.0, 0.0, 0.3, 1.0, 2.9, 3.0, 4.0):
        assert most.at_N(speed) == pytest.approx(float(gives_N(speed, 1200.0, 3.0)), abs=1e-9)
    efforts = table("linear force and speed of vertical jump, cycling, press and pull, J. Hum. Kinet. 56, 2017")
    speeds = np.linspace(0.0, 3.0, 3001)
    off = max(abs(most.at_N(v) / 1200.0 - (1.0 - v / 3.0)) for v in speeds)
    agrees("people: force at any speed, off a straight line", efforts, off, 0.0, allowed_abs=0.0125)
    power = max(v * most.at_N(v) for v in speeds)
    agrees("people: most power", efforts, power, 0.25 * 1200.0 * 3.0, 0.03, "W")


@pytest.mark.parametrize(
    ("what", "force_N", "top_m_s", "low_W", "high_W"),
    [("trained, for seconds", 1041.6, 4.0, 800, 1200), ("untrained, for a minute", 445.0, 3.0, 250, 350)],
)
def test_power_of_one_person(agrees: Agrees, what: str, force_N: float, top_m_s: float, low_W: float, high_W: float):
    """Forces at rest: review of tug of war (2022), US Army manuals (value from memory); speeds common practice."""
    most = Team(force_N, top_m_s).most
    power = max(v * most.at_N(v) for v in np.linspace(0.0, top_m_s, 1001))
    agrees.within(f"one person's most power, {what}", practice(), power, low_W, high_W, "W")


@pytest.mark.parametrize(("people", "top"), [(4, 3.0), (6, 3.0), (6, 5.0)])
def test_a_team_as_a_sampled_controller(people: int, top: float, agrees: Agrees):
    raw = planned(hangs(team(people, top_speed=top), HAUL))
    rest_N, mass = 0.9 * 300 * people, people * PERSON_KG + LINE_IN_HAND_KG
    w, step = 4.0, 1e-5
    corners = 0.5 + np.array([0.0, 2.5 / 3, 2.4, 2.4 + 2.5 / 3])
    asked = -np.interp(np.arange(500_001) * step, corners, [0.0, 2.5, 2.5, 0.0])
    force, before, speed, rows = -WEIGHT_KG * G, 0.0, 0.0, []
    for i, wanted in enumerate(asked.tolist()):
        error = wanted - speed
        force += 2 * mass * w * (error - before) + mass * w * w * error * step
        before = error
        u = min(max(-speed / top, 0.0), 1.0)
        force = min(max(force, -rest_N * (1 - u) / (1 + u / 20)), 0.0)
        if i % 100 == 0:
            rows.append((speed, force))
        speed += (WEIGHT_KG * G + force) / (mass + WEIGHT_KG) * step
    expected = np.array(rows)[: len(raw.time_s)]
    found = np.column_stack([history(raw, "line_speed_m_s:people"), history(raw, "hands_force_N:people")])
    found = found[: len(expected)]
    most = np.abs(expected).max(axis=0)
    source = apart("sampled controller on people and weight, Newton's law in 10 microsecond steps")
    for i, what in enumerate(("speed", "force of hands")):
        case = f"team of {people}, top speed {top:.0f} m/s: {what} anywhere, apart over most"
        agrees(case, source, (np.abs(found - expected).max(axis=0) / most)[i], 0.0, allowed_abs=5e-3)
    assert md.EV_AT_POWER in raw.log[:, 1]


def test_a_lift_with_all_they_have_takes_the_time_their_law_says(agrees: Agrees):
    """(m + M) dv/dt = F(v) - M g: the time to reach a speed is an integral over speed."""
    haul = "start: 0.5 s, take_in: 20 m, speed: 2.9 m/s, acceleration: 50 m/s^2, deceleration: 3 m/s^2"
    raw = planned(hangs(team(6), haul, line=STIFF.replace("4000", "40000")), 3.0)
    mass = 6 * PERSON_KG + LINE_IN_HAND_KG + WEIGHT_KG
    speed = -history(raw, "line_speed_m_s:people")
    limited = raw.log[raw.log[:, 1] == md.EV_AT_POWER][0, 0]
    a, b = int(1000 * limited) + 150, int(1000 * limited) + 500
    took, _ = quad(lambda v: mass / (float(gives_N(v, 1620.0, 3.0)) - WEIGHT_KG * G), speed[a], speed[b])
    source = apart("SciPy quad, (m + M) dv/dt = F(v) - M g")
    agrees("team, lift with all they have: time", source, raw.time_s[b] - raw.time_s[a], took, 2e-3, "s")


STOPS = """[{name: hold, hands: hold, when: 1.2 s}, {name: lock, hands: lock off, when: 1.2 s},
        {name: let go, hands: let go, when: 1.2 s}]"""


@pytest.mark.parametrize("line", [STIFF, "stiffness_EA: 60 kN, mass_per_length: 20 g/m, damping_time: 1 ms"])
@pytest.mark.parametrize(
    ("drive", "move"),
    [
        (team(), HAUL),
        (team(4), HAUL),
        (team(grip=150), HAUL),
        (team(), HAUL.replace("take_in", "pay_out")),
        (HAND, LOWER),
        (HAND.replace("250", "142"), LOWER),
    ],
)
def test_books_close_and_people_never_give_more_than_they_have(drive: str, move: str, line: str):
    rig = hangs(drive, move, STOPS, line)
    d = rig.drives[0]
    assert d.hands is not None
    for case in demo_cases(rig):
        raw = run(ready(rig), case, 1e-6, 10_000.0, 2.5)
        assert raw.status in (0, 1)
        assert raw.residual < 1e-5
        assert run(ready(rig), case, 1e-8, None, 2.5).residual < max(raw.residual / 10, 1e-9)
        force, speed = history(raw, "hands_force_N:people"), history(raw, "line_speed_m_s:people")
        if d.motor is not None:
            by_people = raw.time_s < (case.power_off["people"].time_s if case.power_off else np.inf)
            slips = raw.log[raw.log[:, 1] == md.EV_HANDS_SLIP]
            by_people &= raw.time_s < (slips[0, 0] if len(slips) else np.inf)
            most = gives_N(-speed, d.motor.force_N, d.motor.top_speed_m_s)
            assert (force[by_people] <= 1e-9).all()
            assert (-force[by_people] <= np.asarray(most)[by_people] * (1 + 1e-9) + 1e-9).all()
            assert history(raw, "force_N:people")[by_people].max() <= d.hands.grip_N * 1.001
        else:
            assert np.abs(force).max() <= d.hands.grip_N * (1 + 1e-6)


def test_what_hands_hold_slips_out_at_their_grip():
    """A team too weak in the grip: line runs out with (M g - grip)/(M + line in hand), whatever the people weigh."""
    rig = hangs(team(grip=150), HAUL)
    raw = planned(rig, 2.0)
    slip_s = raw.log[raw.log[:, 1] == md.EV_HANDS_SLIP][0, 0]
    assert 0.5 < slip_s < 1.5
    assert history(raw, "force_N:people").max() == pytest.approx(900.0, rel=0.01)  # and the line in hand
    after = raw.time_s > slip_s + 0.05
    # The weight is thrown up a little, then hangs on hands that hold 900 N: it is caught, and stays.
    assert np.abs(history(raw, "line_speed_m_s:people")[after][-200:]).max() < 1e-6
    assert raw.log[raw.log[:, 1] == md.EV_HANDS_SLIP].shape[0] == 1


@pytest.mark.parametrize("hand_N", [145.0, 200.0])
def test_a_hand_called_to_hold_stops_the_load_as_the_capstan_says(hand_N: float, agrees: Agrees):
    """T = T_hand e^(mu beta): the load slows down with ratio x hand / (M + line in hand) less gravity."""
    rig = hangs(HAND.replace("250", f"{hand_N}"), LOWER, "[{name: hold, hands: hold, when: 1.2 s}]")
    raw = run(ready(rig), sim.stop_case(rig, rig.stops[0], 1.2), 1e-7, 1000.0, 4.0)
    slows = (RATIO * hand_N - WEIGHT_KG * G) / (WEIGHT_KG + LINE_IN_HAND_KG)
    stands = [t for t, word, _, _ in raw.log if word == md.EV_STAND]
    source = closed_form("capstan ratio times the hand's force less gravity, over what moves")
    case = f"lowering hand of {hand_N:.0f} N called to hold"
    agrees(f"{case}: time to stand", source, stands[0] - 1.7, 2.0 / slows, 0.02, "s")
    way = history(raw, "paid_out_m:people")
    agrees(f"{case}: way", source, way[-1] - way[1700], 2.0**2 / (2 * slows), 0.02, "m")


def test_a_hand_too_weak_lets_the_load_run_as_the_capstan_says(agrees: Agrees):
    """Slowing down asks for more than the hand has: it slips with M g - ratio x hand, the move notwithstanding."""
    rig = hangs(HAND.replace("250", "130"), LOWER)
    raw = planned(rig, 8.0)
    slips = [t for t, word, _, _ in raw.log if word == md.EV_GRIP_SLIPS and t > 4.4]
    slows = (RATIO * 130 - WEIGHT_KG * G) / (WEIGHT_KG + LINE_IN_HAND_KG)
    assert 0.0 < slows < 4.0
    holds = [t for t, word, _, _ in raw.log if word == md.EV_GRIP_HOLDS]
    source = closed_form("capstan ratio times the hand's force less gravity, over what moves")
    agrees("lowering hand of 130 N, slowing down: time it slips", source, holds[-1] - slips[0], 2.0 / slows, 0.02, "s")


@pytest.mark.parametrize(("drive", "loose"), [(HAND, LINE_IN_HAND_KG), (team(), LINE_IN_HAND_KG)])
def test_let_go_runs_free(drive: str, loose: float):
    """Nothing holds but the inertia of the line in hand: both together gain M g in a second, whoever the people are."""
    move = LOWER if drive == HAND else HAUL.replace("take_in", "pay_out")
    rig = hangs(drive, move, "[{name: let go, hands: let go, when: 0.7 s}]")
    raw = run(ready(rig), sim.stop_case(rig, rig.stops[0], 0.7), 1e-7, 1000.0, 1.9)
    moved = loose * history(raw, "line_speed_m_s:people") - WEIGHT_KG * history(raw, "speed_m_s:weight")
    assert moved[1800] - moved[1300] == pytest.approx(WEIGHT_KG * G * 0.5, rel=1e-4)
    slack_m_s = history(raw, "line_speed_m_s:people") + history(raw, "speed_m_s:weight")
    assert np.abs(slack_m_s[1300:]).max() < 2.0  # one runs as fast as the other, but for what the line still springs


def test_line_made_fast_stays_where_it_is():
    """A weak hand has not stopped the load when, two seconds later, the tail is fast: a jolt no hand could give."""
    rig = hangs(HAND.replace("250", "130"), LOWER, "[{name: lock, hands: lock off, when: 1.2 s}]")
    raw = run(ready(rig), sim.stop_case(rig, rig.stops[0], 1.2), 1e-6, 1000.0, 5.0)
    paid, force = history(raw, "paid_out_m:people"), history(raw, "force_N:people")
    assert paid[3690] - paid[3680] > 1e-3
    assert np.ptp(paid[3710:]) < 1e-6
    assert force[:3690].max() < 1.2 * RATIO * 130
    assert force.max() > 2 * RATIO * 130


def test_nothing_before_the_reaction_is_over():
    rig = hangs(HAND, LOWER, STOPS)
    as_planned = history(planned(rig, 3.0), "height_m:weight")[:1700]
    for stop in rig.stops:
        raw = run(ready(rig), sim.stop_case(rig, stop, 1.2), 1e-7, 1000.0, 3.0)
        assert history(raw, "height_m:weight")[:1700] == pytest.approx(as_planned, abs=1e-6)
        assert abs(history(raw, "height_m:weight")[1900] - history(planned(rig, 3.0), "height_m:weight")[1900]) > 0.02


@pytest.mark.parametrize("way", ["take_in", "pay_out"])
def test_the_grip_of_a_driven_winch_as_two_masses(way: str, agrees: Agrees):
    """The motor side of a thousandth of the drum's mass, dry friction steep through rest between them: SciPy."""
    drum, grip, w = 60.0, 1000.0, 20.0
    bandwidth = w * math.sqrt(3 + math.sqrt(10)) / (2 * math.pi)
    speed = f"{way}: 6 m, speed: 3 m/s, acceleration: 6 m/s^2, deceleration: 6 m/s^2"
    rig = hangs(
        f"kind: winch, moving_mass: {drum} kg, control: driven, force: 3 kN, power: 100 kW, top_speed: 9 m/s, "
        f"bandwidth: {bandwidth} Hz, grip: {grip} N",
        f"start: 0.5 s, {speed}",
        line=STIFF.replace("4000", "100000"),
    )
    raw = planned(rig, 5.5)
    expected = _two_masses(raw.time_s, -1.0 if way == "take_in" else 1.0, drum, grip, w)
    found = history(raw, "line_speed_m_s:people")
    assert md.EV_GRIP_SLIPS in raw.log[:, 1]
    assert md.EV_GRIP_HOLDS in raw.log[:, 1]
    assert raw.residual < 1e-5
    source = apart("SciPy solve_ivp (BDF), motor and drum as two masses with dry friction between")
    off = np.abs(found - expected).max() / np.abs(expected).max()
    agrees(f"grip of a driven winch, {way.replace('_', ' ')}: speed anywhere, apart over most", source, off, 0.0,
           allowed_abs=5e-3)  # fmt: skip
    assert np.abs(history(raw, "motor_force_N:people")).max() <= grip * (1 + 1e-9)


def _two_masses(time_s: NDArray, sense: float, drum: float, grip: float, w: float) -> NDArray[np.float64]:
    """Speed of drum and weight (rigid line): k and integral act on a motor of its own small mass; stiff, so BDF."""
    small, body = 0.001 * drum, drum + WEIGHT_KG
    k, ki = 2 * drum * w, drum * w * w
    corners = 0.5 + np.array([0.0, 0.5, 2.0, 2.5])

    def law(t: float, x: NDArray) -> list[float]:
        v, vm, integral = x
        wanted = sense * float(np.interp(t, corners, [0.0, 3.0, 3.0, 0.0]))
        force = k * (wanted - vm) + integral
        friction = grip * math.tanh((vm - v) / 1e-5)
        return [(WEIGHT_KG * G + friction) / body, (force - friction) / small, ki * (wanted - vm)]

    start = [0.0, -1e-5 * math.atanh(WEIGHT_KG * G / grip), -WEIGHT_KG * G]
    found = solve_ivp(law, (0.0, 5.51), start, "BDF", time_s, rtol=1e-7, atol=1e-9, max_step=0.01)
    return found.y[0]
