"""A drum under its brake: standing and slipping, against m dv/dt = T - B(t) integrated by hand."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

import sim
from sim.dynamics import modes as md
from sim.dynamics.run import Raw, ready, run
from tests.dynamics.rigs import G, built, history

MASS_KG, DRUM_KG, SPEED_M_S, OFF_S, DELAY_S, RISE_S = 80.0, 60.0, 3.0, 1.5, 0.08, 0.06


def lowered(stiffness_N: float, brake_N: float, rate_Hz: float = 20_000.0) -> Raw:
    """Power goes while a weight is lowered at a steady speed."""
    rig = built(f"""
title: power off while lowering
performers:
  weight: {{mass: {MASS_KG - 0.001} kg, hook_mass: 0.001 kg, at: [0 m, 0 m, 20 m], harness: rigid}}
lines:
  line:
    type: {{stiffness_EA: {stiffness_N} N, mass_per_length: 0.000001 g/m, damping_time: 1 ms}}
    route: [winch, weight]
drives:
  winch:
    kind: winch
    at: [0 m, 0 m, 30 m]
    moving_mass: {DRUM_KG} kg
    brakes: [{{force: {brake_N} N, delay: {DELAY_S} s, rise: {RISE_S} s}}]
moves:
  - {{drive: winch, start: 0.1 s, pay_out: 15 m, speed: {SPEED_M_S} m/s, acceleration: 6 m/s^2, deceleration: 6 m/s^2}}
stops:
  - {{name: power loss, category: 0, when: {OFF_S} s}}
limits: none
""")
    return run(ready(rig), sim.stop_case(rig, rig.stops[0], OFF_S), 1e-7, rate_Hz, 4.0)


def brake_at(time_s: NDArray, brake_N: float) -> NDArray:
    """Nothing until the delay is over, then in proportion to time up to the full force."""
    return np.interp(time_s, [OFF_S + DELAY_S, OFF_S + DELAY_S + RISE_S], [0.0, brake_N])


def by_hand(time_s: NDArray, force_N: NDArray, start_m_s: float) -> NDArray:
    """Speed by the trapezoidal rule."""
    gained = np.cumsum(0.5 * (force_N[1:] + force_N[:-1]) * np.diff(time_s))
    return start_m_s + np.concatenate(([0.0], gained)) / DRUM_KG


def until_it_stands(raw: Raw) -> slice:
    speed = history(raw, "line_speed_m_s:winch")
    first = int(np.flatnonzero((raw.time_s > OFF_S) & (speed == 0.0))[0])
    return slice(int(np.searchsorted(raw.time_s, OFF_S)), first)


def test_slipping_under_a_stiff_line():
    """T as it was found, B as it was asked: within the strain of the line, 4e-4 here."""
    raw = lowered(4e6, 3000.0)
    part = until_it_stands(raw)
    time_s, speed = raw.time_s[part], history(raw, "line_speed_m_s:winch")[part]
    found = by_hand(time_s, history(raw, "force_N:winch")[part] - brake_at(time_s, 3000.0), SPEED_M_S)
    assert speed.max() > SPEED_M_S + 0.3
    assert speed == pytest.approx(found, abs=1e-3)


def test_slipping_under_a_soft_line():
    """At 1 to 3 % strain the drum feels more than T: the line's stretch comes off the drum with it (virtual work).

    What leaves at the rate v / (1 + e_w) takes T (1 + e) - T^2 / 2EA each metre and brings T_w^2 / 2EA along.
    """
    stiffness = 100e3
    raw = lowered(stiffness, 1600.0)
    part = until_it_stands(raw)
    time_s, speed, pull = raw.time_s[part], history(raw, "line_speed_m_s:winch")[part], history(raw, "force_N:winch")
    wound_N = MASS_KG * G
    pull = pull[part]
    felt = (pull * (1 + pull / stiffness) - pull**2 / (2 * stiffness) + wound_N**2 / (2 * stiffness)) / (
        1 + wound_N / stiffness
    )
    found = by_hand(time_s, felt - brake_at(time_s, 1600.0), SPEED_M_S)
    assert speed == pytest.approx(found, abs=1e-4)


def test_both_masses_stop_when_momentum_says():
    """(M + m) v after power off: weight only, then weight less B(t); springs between them change nothing of the sum.

    The drum stands when a rigid line would stand, to within half a swing of the weight on its stiff line.
    """
    brake_N = 3000.0
    raw = lowered(4e6, brake_N)
    both, weight = MASS_KG + DRUM_KG, MASS_KG * G
    after_delay = SPEED_M_S + weight * DELAY_S / both
    closed = after_delay + (weight - 0.5 * brake_N) * RISE_S / both
    stands_s = OFF_S + DELAY_S + RISE_S + closed * both / (brake_N - weight)
    found_s = next(t for t, word, _, _ in raw.log if word == md.EV_STAND)
    half_swing_s = np.pi * np.sqrt(13.0 / 4e6 / (1 / MASS_KG + 1 / DRUM_KG))
    assert found_s == pytest.approx(stands_s, abs=half_swing_s)
    part = until_it_stands(raw)
    time_s = raw.time_s[part]
    momentum = DRUM_KG * history(raw, "line_speed_m_s:winch") - MASS_KG * history(raw, "speed_m_s:weight")
    impulse = by_hand(time_s, weight - brake_at(time_s, brake_N), 0.0) * DRUM_KG
    assert momentum[part] - momentum[part.start] == pytest.approx(impulse, abs=1e-3 * impulse.max())


def test_it_slips_again_at_its_force_and_never_below():
    brake_N = 1600.0
    raw = lowered(100e3, brake_N)
    speed, pull, out = (history(raw, f"{x}:winch") for x in ("line_speed_m_s", "force_N", "paid_out_m"))
    words = raw.log[np.isin(raw.log[:, 1], (md.EV_STAND, md.EV_SLIP))]
    assert len(words) >= 4
    assert words[:, 1].tolist()[:4] == [md.EV_STAND, md.EV_SLIP, md.EV_STAND, md.EV_SLIP]
    for (stands_s, _, _, _), (slips_s, _, _, force_N) in zip(words[::2], words[1::2], strict=False):
        standing = (raw.time_s > stands_s) & (raw.time_s < slips_s)
        assert np.ptp(out[standing]) == 0.0
        assert (speed[standing] == 0.0).all()
        # The limit is in the force the drum feels, T but for the strain: under 2 %.
        assert pull[standing].max() < brake_N * 1.02
        assert force_N == pytest.approx(brake_N, rel=1e-3)


def test_a_brake_that_is_strong_enough_never_slips_again():
    raw = lowered(100e3, 20_000.0)
    words = raw.log[np.isin(raw.log[:, 1], (md.EV_STAND, md.EV_SLIP)), 1]
    assert words.tolist() == [md.EV_STAND]
    stands_s = next(t for t, word, _, _ in raw.log if word == md.EV_STAND)
    assert np.ptp(history(raw, "paid_out_m:winch")[raw.time_s > stands_s]) == 0.0
