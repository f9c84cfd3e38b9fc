"""Moves and stops of random rigs keep their limits: of speed, acceleration, slow-down, jerk and way.

Looked at as a user would: the limits as written, the motion the rig was given, and the drive as it ran.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import sim
from profiles import Motion
from sim.dynamics.run import run
from sim.scenario.model import LineMove
from tests.properties.random_rigs import scenarios
from tests.properties.runs import PLANNED, SAMPLE_RATE_HZ, case_of, history, ready

TRIED = settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
JUST = 1.0 + 1e-9


def inside(motion: Motion) -> np.ndarray:
    """Instants in every piece and at both its ends, just inside it."""
    shares = np.concatenate(([1e-9], np.linspace(0.02, 0.98, 25), [1.0 - 1e-9]))
    return (motion.time_s[:-1, None] + motion.duration_s[:, None] * shares).ravel()


def differences(motion: Motion, step_s: float = 1e-5) -> tuple[np.ndarray, np.ndarray]:
    """Speed and acceleration at the middles of the pieces, by differences of places alone."""
    t = motion.time_s[:-1] + 0.5 * motion.duration_s
    t = t[motion.duration_s > 4 * step_s]
    before, here, after = (motion.position_m(t + k * step_s) for k in (-1, 0, 1))
    return (after - before) / (2 * step_s), (after - 2 * here + before) / step_s**2


@TRIED
@given(scenarios())
def test_a_move_never_leaves_its_limits(text: str):
    scenario = sim.read_text(text, "random rig")
    rig = sim.build_rig(scenario)
    for move in scenario.moves:
        assert isinstance(move, LineMove)
        (drive,) = move.drive_names
        motion = rig.drive(drive).motion
        sense = 1.0 if move.pay_out is not None else -1.0
        way_m = (move.pay_out or move.take_in).m  # pyright: ignore[reportOptionalMemberAccess]
        slower = move.deceleration or move.acceleration
        t = inside(motion)
        place, speed, gain = (sense * of(t) for of in (motion.position_m, motion.speed_m_s, motion.acceleration_m_s2))
        assert motion.end_position_m == pytest.approx(sense * way_m, rel=1e-12)
        assert place.min() >= -1e-12 * way_m
        assert place.max() <= way_m * JUST
        assert speed.min() >= -1e-9 * move.speed.m_s
        assert speed.max() <= move.speed.m_s * JUST
        assert gain.max() <= move.acceleration.m_s2 * JUST
        assert gain.min() >= -slower.m_s2 * JUST
        if move.jerk is not None:
            assert np.abs(motion.jerk_m_s3(t)).max() <= move.jerk.m_s3 * JUST
        by_difference, gained = differences(motion)
        assert np.abs(by_difference).max() <= move.speed.m_s * (1 + 1e-6)
        assert np.abs(gained).max() <= max(move.acceleration.m_s2, slower.m_s2) * (1 + 1e-3) + 1e-4


@TRIED
@given(scenarios(), st.sampled_from([1, 2]))
def test_a_stop_slows_down_within_its_limits_and_never_turns_back(text: str, number: int):
    """Slow-down no harder than the stop's, or than the move's own at that instant, which it first has to ease.

    Speed may rise while the acceleration is being taken off at the stop's jerk j: by a^2 / 2 j.
    """
    rig = sim.build_rig(sim.read_text(text, "random rig"))
    case, stop = case_of(rig, number), rig.stops[number]
    assert stop.time_s is not None
    assert stop.deceleration_m_s2 is not None
    for drive in rig.drives:
        motion = case.motions[drive.name]
        just_before = stop.time_s - 1e-9
        speed, gain = float(drive.motion.speed_m_s(just_before)), float(drive.motion.acceleration_m_s2(just_before))
        sense = 1.0 if drive.motion.total_m > 0 else -1.0
        t = inside(motion)
        t = t[t > stop.time_s]
        after = sense * motion.speed_m_s(t)
        hardest = max(stop.deceleration_m_s2, -sense * gain)
        rise = max(sense * gain, 0.0) ** 2 / (2 * stop.jerk_m_s3) if stop.jerk_m_s3 else 0.0
        assert after.min(initial=0.0) >= -1e-7
        assert after.max(initial=0.0) <= sense * speed + rise + 1e-7
        assert (-sense * motion.acceleration_m_s2(t)).max(initial=0.0) <= hardest * (1 + 1e-6) + 1e-6
        before = inside(drive.motion)
        before = before[before < stop.time_s]
        assert motion.position_m(before) == pytest.approx(drive.motion.position_m(before), abs=1e-12)


@TRIED
@given(scenarios())
def test_an_exact_winch_goes_where_its_move_goes(text: str):
    """Whatever pulls at it, its line leaves by the move: place and speed of the trace are the motion's."""
    rig = sim.build_rig(sim.read_text(text, "random rig"))
    raw = run(ready(rig), case_of(rig, PLANNED), 1e-6, SAMPLE_RATE_HZ, 1.5)
    for drive in rig.drives:
        place, speed = (history(raw, f"{x}:{drive.name}") for x in ("paid_out_m", "line_speed_m_s"))
        away = np.abs(raw.time_s[:, None] - drive.motion.time_s).min(axis=1) > 1e-6  # no jump of speed near
        assert place == pytest.approx(drive.motion.position_m(raw.time_s), abs=1e-9)
        assert speed[away] == pytest.approx(drive.motion.speed_m_s(raw.time_s[away]), abs=1e-9)
