"""One mass on one line against closed forms: falls, sudden stops, damping, swings. Tolerance 0.1 % throughout."""

import numpy as np
import pytest

from sim.dynamics.watch import SLACK_SHARE
from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form
from tests.outside.rigs import G

VIBRATION = closed_form("vibration textbooks")
STRENGTH = closed_form("strength-of-materials textbooks")
MECHANICS = closed_form("mechanics textbooks")

TOP_M = 20_000.0
"""Height of the fixed end or the drive."""


def largest_N(run: rigs.Run, element: str = "line") -> float:
    return run.case.peaks[element].force_N


# --- falls on a slack line --------------------------------------------------------------------------------------


def fall(
    mass_kg: float, stiffness_N: float, length_m: float, free_fall_m: float, duration_s: float, damping_s: float = 0.0
) -> str:
    """A performer let go, falling free before its anchored line is taut. A fall longer than the line starts above the
    anchor, 5 mm aside so that it passes it."""
    below = length_m - free_fall_m
    aside = 0.005 if below <= 0 else 0.0
    return rigs.scenario(
        performers={"weight": rigs.performer(mass_kg, rigs.at(aside, 0, TOP_M - below), release_s=0.1)},
        lines={"line": rigs.line(stiffness_N, ["anchor", "weight"], length_m=length_m, damping_s=damping_s)},
        anchors={"anchor": {"at": rigs.at(0, 0, TOP_M)}},
        duration_s=duration_s,
    )


FALLS = [
    # mass kg, EA N, fall factor, impact force N. Impact force of a linear rope, F = mg + sqrt((mg)^2 + 2 m g EA f):
    # encyclopedia article on the fall factor; "On ideal dynamic climbing ropes" (2016).
    (80.0, 20e3, 1.0, 6441.10),
    (80.0, 20e3, 0.0, 1569.06),  # a load applied at once: twice its weight, any strength-of-materials textbook
    (80.0, 18_532.7, 4.6 / 2.6, 8000.0),
    (80.0, 24_091.3, 4.6 / 2.6, 9000.0),
    (80.0, 45_089.9, 4.6 / 2.6, 12_000.0),
    (80.0, 18_532.7, 0.3, 3840.5),
    (80.0, 24_091.3, 0.3, 4242.2),
    (80.0, 45_089.9, 0.3, 5457.9),
    (100.0, 18_532.7, 1.0, 7088.9),
    (100.0, 45_089.9, 1.0, 10_435.7),
    (100.0, 19_613.3, 0.3, 4516.5),
    (100.0, 41_183.0, 0.3, 6000.0),
    (80.0, 1.986e6, 0.01, 6421.7),
    (80.0, 1.986e6, 0.05, 13_291.5),
    (80.0, 1.986e6, 0.1, 18_454.6),
    (80.0, 1.986e6, 0.5, 40_264.9),
]


@pytest.mark.parametrize(("mass_kg", "stiffness_N", "factor", "force_N"), FALLS)
def test_fall_on_a_slack_line(mass_kg: float, stiffness_N: float, factor: float, force_N: float, agrees: Agrees):
    weight = mass_kg * G
    formula = weight + np.sqrt(weight**2 + 2 * weight * stiffness_N * factor)
    assert formula == pytest.approx(force_N, rel=2e-5)
    length = 2.6
    run = rigs.run(fall(mass_kg, stiffness_N, length, factor * length, 0.1 + np.sqrt(2 * factor * length / G) + 0.6))
    case = f"fall of {mass_kg:.0f} kg, factor {factor:.3g}, EA {stiffness_N:.0f} N"
    source = closed_form("impact force of a linear rope, encyclopedia article on the fall factor")
    agrees(f"{case}: peak", source, largest_N(run), formula, 1e-3, "N")
    lowest = run.case.performers["weight"].lowest_height_m
    agrees(f"{case}: stretch", source, TOP_M - lowest - length, length * formula / stiffness_N, 1e-3, "m")


SUDDEN = [(0.01, 1.96907), (0.02, 1.93909), (0.05, 1.85447), (0.1, 1.72925), (0.2, 1.52662), (0.3, 1.37233)]
"""Damping ratio, peak over static: 1 + exp(-pi zeta / sqrt(1 - zeta^2)), any vibration textbook."""


@pytest.mark.parametrize(("ratio", "peak"), SUDDEN)
def test_sudden_load_on_a_damped_line(ratio: float, peak: float, agrees: Agrees):
    assert 1 + np.exp(-np.pi * ratio / np.sqrt(1 - ratio**2)) == pytest.approx(peak, rel=1e-5)
    mass, stiffness, length = 100.0, 50e3, 10.0
    run = rigs.run(
        fall(mass, stiffness * length, length, 0.0, 0.5, 2 * ratio / np.sqrt(stiffness / mass)), pure_damping=True
    )
    stretch = TOP_M - length - run.case.performers["weight"].lowest_height_m
    case = f"load applied at once, damping ratio {ratio}: peak over static"
    agrees(case, VIBRATION, stretch / (mass * G / stiffness), peak, 1e-3)


def test_fall_on_a_damped_line(agrees: Agrees):
    """m = 100 kg, k = 50 kN/m, c = 500 N s/m, 1 m of free fall: the textbook equation of a mass on spring and dashpot,
    integrated by an ODE library: 2214.35 N at contact, 9450.78 N after 0.060029 s, 0.184798 m."""
    mass, stiffness, viscosity, length = 100.0, 50e3, 500.0, 3.0
    text = fall(mass, stiffness * length, length, 1.0, 1.0, viscosity / stiffness)
    run = rigs.run(text, pure_damping=True)
    source = closed_form("mass on spring and dashpot, vibration textbooks, integrated by an ODE library")
    agrees("fall on a damped line: peak", source, largest_N(run), 9450.78, 1e-3, "N")
    contact = 0.1 + np.sqrt(2.0 / G)
    after = run.case.peaks["line"].time_s - contact
    agrees("fall on a damped line: peak after contact", source, after, 0.060029, unit="s", allowed_abs=3e-4)
    stretch = TOP_M - length - run.case.performers["weight"].lowest_height_m
    agrees("fall on a damped line: stretch", source, stretch, 0.184798, 1e-3, "m")
    tension = run.trace.columns["tension_N:line:anchor -> weight"]
    first = int(np.flatnonzero(tension > 1.0)[0])
    late = run.trace.time_s[first] - contact
    jump = viscosity * np.sqrt(2 * G) * (1 - viscosity / mass * late) + stiffness * np.sqrt(2 * G) * late
    agrees("fall on a damped line: jump at contact", source, tension[first], jump, 5e-3, "N")
    undamped = rigs.run(fall(mass, stiffness * length, length, 1.0, 1.0))
    agrees("the same fall undamped: peak", source, largest_N(undamped), 10_931.96, 1e-3, "N")


# --- a drive that starts and stops ------------------------------------------------------------------------------

MASS_KG, STIFFNESS_N_M = 100.0, 50e3
PERIOD_S = 2 * np.pi * np.sqrt(MASS_KG / STIFFNESS_N_M)


def driven(moves: list, start_below_m: float, stiffness_N: float, duration_s: float, damping_s: float = 0.0) -> str:
    """A performer hanging at rest straight below a winch."""
    return rigs.scenario(
        performers={"weight": rigs.performer(MASS_KG, rigs.at(0, 0, TOP_M - start_below_m))},
        lines={"line": rigs.line(stiffness_N, ["winch", "weight"], damping_s=damping_s)},
        drives={"winch": rigs.winch(rigs.at(0, 0, TOP_M))},
        moves=moves,
        duration_s=duration_s,
    )


LONG_M = 10_000.0
"""So long a line that the metre paid out hardly changes its stiffness."""


def stopping(speed_m_s: float, stop_s: float, way: int = 1) -> rigs.Run:
    """Up to speed in four natural periods, which leaves no bounce behind; along for 0.2 s; then to rest in stop_s.
    The line is LONG_M when the stop begins, and then has the stiffness STIFFNESS_N_M."""
    up = 4 * PERIOD_S
    before = speed_m_s * (up / 2 + 0.2)
    deceleration = rigs.AT_ONCE_M_S2 if stop_s == 0 else speed_m_s / stop_s
    distance = before + speed_m_s**2 / deceleration / 2
    moves = [rigs.move(way * distance, speed_m_s, speed_m_s / up, deceleration)]
    duration = up + 0.2 + max(stop_s, 0.5 * PERIOD_S) + 0.2
    return rigs.run(driven(moves, LONG_M - way * before, STIFFNESS_N_M * LONG_M, duration))


def test_instant_stop(agrees: Agrees):
    """mg + v sqrt(k m): impact on a spring, any strength-of-materials textbook."""
    formula = MASS_KG * G + 2.0 * np.sqrt(STIFFNESS_N_M * MASS_KG)
    assert formula == pytest.approx(5452.80, rel=1e-6)
    agrees("drive stopped at once: peak", STRENGTH, largest_N(stopping(2.0, 0.0)), formula, 1e-3, "N")


@pytest.mark.parametrize(
    ("stop_s", "force_N"),
    [(0.05, 5223.49), (0.1, 4577.63), (PERIOD_S / 2, 3827.72), (PERIOD_S, 2404.19), (1.0, 1380.67)],
)
def test_uniform_stop(stop_s: float, force_N: float, agrees: Agrees):
    """Response to a rectangular pulse of acceleration (shock spectra, vibration textbooks, citation from memory)."""
    part = 1.0 if stop_s >= PERIOD_S / 2 else np.sin(np.pi * stop_s / PERIOD_S)
    formula = MASS_KG * (G + 2 * 2.0 / stop_s * part)
    assert formula == pytest.approx(force_N, rel=5e-6)
    source = closed_form("rectangular pulse of acceleration, shock spectra, vibration textbooks (from memory)")
    agrees(
        f"drive stopped evenly in {stop_s:.4g} s: peak", source, largest_N(stopping(2.0, stop_s)), formula, 1e-3, "N"
    )


@pytest.mark.parametrize(("share", "slack"), [(0.998, False), (1.002, True)])
def test_upward_stop_slackens_above_g_over_omega(share: float, slack: bool):
    """The pull falls by m omega v. It comes to nothing when v > g / omega_n: the amplitude exceeds the static stretch;
    and to less than a twentieth of the weight, which bears nobody, a twentieth before."""
    assert G / np.sqrt(STIFFNESS_N_M / MASS_KG) == pytest.approx(0.43857, rel=1e-5)
    run = stopping(share * (1.0 - SLACK_SHARE) * 0.43857, 0.0, way=-1)
    assert (run.case.performers["weight"].slack_s > 0) is slack


@pytest.mark.parametrize(
    ("periods", "factor"),
    [(0.1, 1.98363), (0.25, 1.90032), (0.5, 1.63662), (1.0, 1.0), (1.5, 1.21221), (2.0, 1.0), (2.5, 1.12732)],
)
def test_ramp_of_acceleration(periods: float, factor: float, agrees: Agrees):
    """1 + |sin(pi tr/Tn)| / (pi tr/Tn): ramp load, shock spectra in vibration textbooks (citation from memory).
    At whole periods it is the rigid line's m (g + a)."""
    x = np.pi * periods
    assert 1 + abs(np.sin(x)) / x == pytest.approx(factor, rel=1e-5)
    acceleration, ramp = 2.0, periods * PERIOD_S
    moves = [rigs.move(-300.0, 30.0, acceleration, acceleration, jerk_m_s3=acceleration / ramp)]
    run = rigs.run(driven(moves, LONG_M, STIFFNESS_N_M * LONG_M, ramp + 1.2 * PERIOD_S))
    source = closed_form("ramp load, shock spectra, vibration textbooks (from memory)")
    formula = MASS_KG * (G + acceleration * factor)
    agrees(f"acceleration rising over {periods} periods: peak", source, largest_N(run), formula, 1e-3, "N")


KELVIN_VOIGT = [
    (0.0, 1.0), (0.05, 0.931345), (0.1, 0.880144), (0.2, 0.820919), (0.25, 0.810704), (0.3, 0.813403),
    (0.4, 0.863510), (0.49, 0.980779), (0.5, 1.0), (0.7, 1.4),
]  # fmt: skip
"""Damping ratio, peak over v sqrt(k m), of a mass hitting spring and dashpot: closed form of the textbook equation."""


def kelvin_voigt_peak(ratio: float) -> float:
    if ratio >= 0.5:
        return 2 * ratio
    root = np.sqrt(1 - ratio**2)
    angle = np.arctan2(root * (1 - 4 * ratio**2), ratio * (3 - 4 * ratio**2)) / root
    return float(np.exp(-ratio * angle))


@pytest.mark.parametrize(("ratio", "peak"), KELVIN_VOIGT)
def test_instant_start_of_a_damped_line(ratio: float, peak: float, agrees: Agrees):
    """Seen from the moving drive the hanging mass hits the line with the drive's speed, without gravity; at a damping
    ratio of a half and more the jump at the first instant is the peak."""
    assert kelvin_voigt_peak(ratio) == pytest.approx(peak, rel=2e-6)
    speed = 0.5
    text = driven([rigs.move(-2.0, speed, start_s=0.05)], LONG_M, STIFFNESS_N_M * LONG_M, 0.3,
                  2 * ratio / np.sqrt(STIFFNESS_N_M / MASS_KG))  # fmt: skip
    added = largest_N(rigs.run(text, pure_damping=True)) - MASS_KG * G
    case = f"drive started at once, damping ratio {ratio}: peak over v sqrt(k m)"
    agrees(case, VIBRATION, added / (speed * np.sqrt(STIFFNESS_N_M * MASS_KG)), peak, 1e-3)


# --- decay ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ratio", "decrement"),
    [(0.005, 0.031416), (0.01, 0.062835), (0.02, 0.125689), (0.05, 0.314553), (0.1, 0.631484), (0.2, 1.282550)],
)
def test_logarithmic_decrement(ratio: float, decrement: float, agrees: Agrees):
    """2 pi zeta / sqrt(1 - zeta^2), any vibration textbook. Damping is limited to the elastic force, which a bounce of
    a twentieth of the weight never reaches."""
    assert 2 * np.pi * ratio / np.sqrt(1 - ratio**2) == pytest.approx(decrement, rel=2e-5)
    moves = [rigs.move(-0.001, 0.1, 20.0, 20.0)]
    # EA = k s with s the unstretched length of the 10 m it hangs on.
    text = driven(moves, 10.0, STIFFNESS_N_M * 10.0 - MASS_KG * G, 1.2, 2 * ratio / np.sqrt(STIFFNESS_N_M / MASS_KG))
    run = rigs.run(text)
    height = run.trace.columns["height_m:weight"]
    inner = height[1:-1]
    turns = 1 + np.flatnonzero((inner - height[:-2]) * (inner - height[2:]) > 0)
    after = height[turns[run.trace.time_s[turns] > 0.05]][:4]
    decay = (after[0] - after[1]) / (after[2] - after[3])
    agrees(f"decay of one bounce to the next, damping ratio {ratio}", VIBRATION, decay, np.exp(decrement), 1e-3)


def test_dry_friction_takes_the_same_from_every_cycle(agrees: Agrees):
    """A weight let go on a long vertical line that turns over one sheave of ratio K just above it: every half stroke is
    a half cosine about mg / (k K^(+-1)) (Coulomb friction, vibration textbooks: 4 F / k a cycle for small F)."""
    mass, stiffness, journal, run_m = 80.0, 20e3, 0.025, 100.0
    ratio = (1 + journal) / (1 - journal)
    text = rigs.scenario(
        performers={"weight": rigs.performer(mass, rigs.at(0, 0, run_m - 0.05), release_s=0.1)},
        lines={"line": rigs.line(stiffness * run_m, ["anchor", "sheave", "weight"], length_m=run_m + 0.05)},
        sheaves={"sheave": rigs.sheave(rigs.at(0, 0, run_m), journal=journal)},
        anchors={"anchor": {"at": rigs.at(0, 0, 0)}},
        duration_s=2.2,
    )
    height = rigs.run(text).trace.columns["height_m:weight"]
    turning = [0.0]
    for i in range(4):
        centre = mass * G / stiffness * (1 / ratio if i % 2 == 0 else ratio)
        turning.append(2 * centre - turning[-1])
    fallen = run_m - 0.05 - height
    inner = fallen[1:-1]
    turns = fallen[1 + np.flatnonzero((inner - fallen[:-2]) * (inner - fallen[2:]) > 0)]
    for i in range(4):
        agrees(f"dry friction: turning point {i + 1}", VIBRATION, turns[i], turning[i + 1], 1e-3, "m")
    lost = 0.5 * ((turning[1] - turning[2]) - (turning[3] - turning[4]))
    friction = journal * 2 * mass * G
    assert lost == pytest.approx(4 * friction / stiffness, rel=0.15)  # the formula is for small friction


# --- swings -----------------------------------------------------------------------------------------------------

SWINGS = [
    # start angle deg, tension at the bottom over weight (energy), period over that of small swings (elliptic integral)
    (5.0, 1.007611, 1.000476),
    (10.0, 1.030384, 1.001907),
    (30.0, 1.267949, 1.017409),
    (45.0, 1.585786, 1.039973),
    (60.0, 2.0, 1.073182),
    (90.0, 3.0, 1.180341),
]


def elliptic_period_ratio(angle: float) -> float:
    """2 K(sin(angle / 2)) / pi by the arithmetic-geometric mean."""
    a, b = 1.0, float(np.cos(angle / 2))
    while abs(a - b) > 1e-15:
        a, b = 0.5 * (a + b), float(np.sqrt(a * b))
    return 1.0 / a


@pytest.mark.parametrize(("angle_deg", "tension", "period"), SWINGS)
def test_swing(angle_deg: float, tension: float, period: float, agrees: Agrees):
    """Pendulum of 10 m, any mechanics textbook; the line is stiff and starts with the tension the angle asks for."""
    angle, mass, length, stiffness = np.radians(angle_deg), 84.0, 10.0, 40e6
    assert 3 - 2 * np.cos(angle) == pytest.approx(tension, rel=1e-6)
    assert elliptic_period_ratio(angle) == pytest.approx(period, rel=1e-6)
    quarter = period * 6.344823 / 4
    text = rigs.scenario(
        performers={
            "weight": rigs.performer(
                mass, rigs.at(length * np.sin(angle), 0, TOP_M - length * np.cos(angle)), release_s=0.1
            )
        },
        lines={
            "line": rigs.line(
                stiffness,
                ["anchor", "weight"],
                damping_s=1e-3,
                length_m=length / (1 + mass * G * np.cos(angle) / stiffness),
            )
        },
        anchors={"anchor": {"at": rigs.at(0, 0, TOP_M)}},
        duration_s=quarter + 0.4,
    )
    run = rigs.run(text)
    case = f"swing from {angle_deg:.0f} degrees"
    agrees(f"{case}: tension at the bottom over weight", MECHANICS, largest_N(run) / (mass * G), tension, 1e-3)
    aside, time_s = run.trace.columns["x_m:weight"], run.trace.time_s
    i = int(np.flatnonzero(aside <= 0)[0])
    crossing = time_s[i - 1] + (time_s[i] - time_s[i - 1]) * aside[i - 1] / (aside[i - 1] - aside[i])
    agrees(f"{case}: a quarter of the period", MECHANICS, crossing - 0.1, quarter, 1e-3, "s")
    top = run.case.performers["weight"].top_speed_m_s
    agrees(f"{case}: top speed", MECHANICS, top, np.sqrt(2 * G * length * (1 - np.cos(angle))), 1e-3, "m/s")
