"""A driven winch against two models of the same speed loop that share nothing with the solver.

One is linear: a rigid line, so drum and weight are one mass under a proportional-integral loop, as a transfer function.
The other is a controller as it would be built: every 20 microseconds it adds to its output what the speed error asks
and cuts it off at what the motor has; drum and weight on a spring move on by small steps of their own.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.signal import lsim

import sim
from sim.dynamics.run import Raw, ready, run
from tests.outside.accuracy.rows import Agrees, apart

G, WEIGHT_KG, DRUM_KG, HANGS_M, START_S = 9.80665, 80.0, 60.0, 10.0, 0.5
SPEED_M_S, ACCELERATION_M_S2 = 4.0, 5.0


def driven(stiffness_N: float, force_N: float, power_W: float, bandwidth_Hz: float, way: str, damping_ms: float) -> Raw:
    rig = sim.build_rig(
        sim.read_text(
            f"""
title: a weight on a driven winch
performers:
  weight: {{mass: {WEIGHT_KG - 0.001} kg, hook_mass: 0.001 kg, at: [0 m, 0 m, 20 m], harness: rigid}}
lines:
  line:
    type: {{stiffness_EA: {stiffness_N} N, mass_per_length: 0.000001 g/m, damping_time: {damping_ms} ms}}
    route: [winch, weight]
drives:
  winch: {{kind: winch, at: [0 m, 0 m, {20 + HANGS_M} m], moving_mass: {DRUM_KG} kg, control: driven,
           force: {force_N} N, power: {power_W} W, top_speed: 10 m/s, bandwidth: {bandwidth_Hz} Hz}}
moves:
  - {{drive: winch, start: {START_S} s, {way}: 6 m, speed: {SPEED_M_S} m/s,
      acceleration: {ACCELERATION_M_S2} m/s^2, deceleration: {ACCELERATION_M_S2} m/s^2}}
stops: none
limits: none
""",
            "check",
        )
    )
    return run(ready(rig), sim.planned_case(rig), 1e-7, 1000.0, 4.5)


def column(raw: Raw, name: str) -> NDArray[np.float64]:
    return raw.samples[:, next(i for i, c in enumerate(raw.ready.columns) if c.column == name)]


def asked(time_s: NDArray) -> NDArray:
    """Speed of the move, worked out by hand: 0.8 s up to 4 m/s, 0.7 s at it, 0.8 s down: 6 m."""
    corners = START_S + np.array([0.0, 0.8, 1.5, 2.3])
    return np.interp(time_s, corners, [0.0, SPEED_M_S, SPEED_M_S, 0.0])


def gains(bandwidth_Hz: float) -> tuple[float, float]:
    """Of a loop with both poles at -w on the drum's mass, which is 3 dB down at the bandwidth: found by search."""
    u = np.linspace(1.0, 5.0, 400_001)
    fallen = np.abs((2j * u + 1) / (1j * u + 1) ** 2)
    w = 2 * np.pi * bandwidth_Hz / u[np.argmin(np.abs(fallen - np.sqrt(0.5)))]
    return 2 * DRUM_KG * w, DRUM_KG * w * w


@pytest.mark.parametrize("bandwidth_Hz", [1.0, 3.0])
def test_a_rigid_line_as_a_transfer_function(bandwidth_Hz: float, agrees: Agrees):
    raw = driven(40e6, 50e3, 500e3, bandwidth_Hz, "pay_out", 1.0)
    k, ki = gains(bandwidth_Hz)
    _, speed, _ = lsim(([k, ki], [DRUM_KG + WEIGHT_KG, k, ki]), asked(raw.time_s), raw.time_s)
    found = column(raw, "line_speed_m_s:winch")
    assert speed.max() > 1.02 * SPEED_M_S  # the weight makes it overshoot
    library = apart("SciPy lsim, proportional-integral loop on one mass as a transfer function")
    case = f"driven winch, rigid line, {bandwidth_Hz:.0f} Hz"
    agrees(f"{case}: top speed", library, found.max(), speed.max(), 5e-3, "m/s")
    off = np.abs(found - speed).max()
    agrees(f"{case}: speed anywhere, apart", library, off, 0.0, unit="m/s", allowed_abs=5e-3 * SPEED_M_S)
    way = np.concatenate(([0.0], np.cumsum(0.5 * (speed[1:] + speed[:-1])))) * 1e-3
    off = np.abs(column(raw, "paid_out_m:winch") - way).max()
    agrees(f"{case}: way anywhere, apart", library, off, 0.0, unit="m", allowed_abs=5e-3 * 6.0)


def sampled_controller(
    stiffness_N: float, force_N: float, power_W: float, bandwidth_Hz: float, sense: float, damping_s: float
) -> NDArray[np.float64]:
    """Rows each millisecond: drum speed, way, motor force, tension. Way and speed paying out, the weight's fall too.

    The spring has the line's stiffness over the length there is; what it damps is never more than what it holds.
    """
    k, ki = gains(bandwidth_Hz)
    step_s, per_row = 2e-5, 50
    count = 4500 * per_row + 1
    wanted = (sense * asked(np.arange(count) * step_s)).tolist()
    rest_m = HANGS_M / (1 + WEIGHT_KG * G / stiffness_N)
    force, error_before = -WEIGHT_KG * G, 0.0
    way = speed = fall_speed = 0.0
    fallen = 0.0
    rows = []
    for i in range(count):
        length = rest_m * (1 + way / HANGS_M)
        held = max(stiffness_N * ((HANGS_M + fallen) / length - 1), 0.0)
        lost = stiffness_N * damping_s * (fall_speed - speed) / length
        tension = held + min(max(lost, -held), held)
        error = wanted[i] - speed
        force += k * (error - error_before) + ki * error * step_s
        most = min(force_N, power_W / max(abs(speed), 1e-9))
        force, error_before = min(max(force, -most), most), error
        if i % per_row == 0:
            rows.append((speed, way, force, tension))
        speed += (tension + force) / DRUM_KG * step_s
        fall_speed += (G - tension / WEIGHT_KG) * step_s
        way += speed * step_s
        fallen += fall_speed * step_s
    return np.array(rows)


@pytest.mark.parametrize(
    ("way", "force_N", "power_W", "bandwidth_Hz"),
    [
        ("pay_out", 50e3, 500e3, 5.0),
        ("pay_out", 1300.0, 500e3, 5.0),
        ("take_in", 1100.0, 500e3, 5.0),
        ("take_in", 50e3, 3400.0, 5.0),
        ("take_in", 1150.0, 3600.0, 8.0),
    ],
    ids=["no limit", "force, down", "force, up", "power", "force and power"],
)
def test_an_elastic_line_under_a_sampled_controller(
    way: str, force_N: float, power_W: float, bandwidth_Hz: float, agrees: Agrees
):
    stiffness_N, damping_s = 600e3, 2e-3
    raw = driven(stiffness_N, force_N, power_W, bandwidth_Hz, way, 1000 * damping_s)
    sense = 1.0 if way == "pay_out" else -1.0
    expected = sampled_controller(stiffness_N, force_N, power_W, bandwidth_Hz, sense, damping_s)
    names = ("line_speed_m_s:winch", "paid_out_m:winch", "motor_force_N:winch", "force_N:winch")
    found = np.column_stack([column(raw, name) for name in names])[: len(expected)]
    most = np.abs(expected).max(axis=0)
    source = apart("sampled controller on drum, spring and weight, Newton's law in 20 microsecond steps")
    case = (
        f"driven winch, elastic line, {way.replace('_', ' ')}, {force_N:.0f} N, {power_W:.0f} W, {bandwidth_Hz:.0f} Hz"
    )
    for i, (what, unit) in enumerate((("speed", "m/s"), ("way", "m"), ("motor force", "N"), ("tension", "N"))):
        agrees(f"{case}: most {what}", source, np.abs(found[:, i]).max(), most[i], 5e-3, unit)
        off = np.abs(found[:, i] - expected[:, i]).max() / most[i]
        agrees(f"{case}: {what} anywhere, apart over most", source, off, 0.0, allowed_abs=5e-3)
    limited = len(raw.log[raw.log[:, 1] >= 12])
    assert (limited > 0) == (force_N < 50e3 or power_W < 500e3)
