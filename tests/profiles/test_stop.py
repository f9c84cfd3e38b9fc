"""Stops: kinematics of constant jerk. From full speed v the stop takes v²/2d without a jerk limit and
(v/2)(v/d + d/j) with one that lets d be reached; from a state (v, a) the fastest stop at jerk j peaks
at √(jv + a²/2).
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from profiles import Motion, joined, motion_of_recording, point_to_point, recording_from_text, stopped
from tests.profiles.outside import extreme, instants, jumps, polynomial

MOVE = point_to_point(8.4, 6.0, 5.0, 8.0, 60.0, start_s=0.5)
TRAPEZOID = point_to_point(10.0, 3.0, 3.0, start_s=1.0)


def after(motion: Motion, time_s: float) -> Motion:
    """The part of a motion from a breakpoint on."""
    first = int(np.searchsorted(motion.time_s, time_s))
    return Motion(motion.time_s[first:], motion.coefficients[first:], motion.corner[first:], motion.label[first:])


# ---- closed forms ------------------------------------------------------------------------------


@pytest.mark.parametrize("sense", [1.0, -1.0])
def test_from_full_speed_without_jerk_limit(sense):
    move = point_to_point(sense * 10.0, 3.0, 3.0)
    stop = stopped(move, 2.0, 4.5)
    assert stop.end_position_m - move.position_m(2.0) == pytest.approx(sense * 9 / 9.0, rel=1e-12)
    assert stop.end_s == pytest.approx(2.0 + 3 / 4.5, rel=1e-14)
    assert stop.acceleration_m_s2(2.0) == -sense * 4.5
    assert stop.label == ("move starts", "full speed", "stop", "stopped")


@pytest.mark.parametrize("sense", [1.0, -1.0])
def test_from_full_speed_with_jerk_limit(sense):
    move = point_to_point(sense * 10.0, 3.0, 3.0, jerk_m_s3=15.0)
    stop = stopped(move, 2.0, 4.5, 45.0)
    assert stop.end_position_m - move.position_m(2.0) == pytest.approx(sense * 1.5 * (3 / 4.5 + 0.1), rel=1e-12)
    assert stop.end_s == pytest.approx(2.0 + 3 / 4.5 + 0.1, rel=1e-14)
    assert stop.top_deceleration_m_s2 == pytest.approx(4.5, rel=1e-12)


def test_deceleration_not_reached():
    # v = 3 < d²/j: peak √(jv), time 2√(v/j), distance v√(v/j)
    stop = stopped(TRAPEZOID, 3.0, 50.0, 12.0)
    assert stop.top_deceleration_m_s2 == pytest.approx(6.0, rel=1e-12)
    assert stop.end_s == pytest.approx(4.0, rel=1e-14)
    assert stop.end_position_m - TRAPEZOID.position_m(3.0) == pytest.approx(1.5, rel=1e-12)


def test_while_speeding_up_the_speed_rises_a_little_further():
    # at 1.5 s: v = 1.5, a = 3; with j = 15 the speed gains a²/2j = 0.3, then d = 4 is held
    stop = stopped(TRAPEZOID, 1.5, 4.0, 15.0)
    assert stop.top_speed_m_s == pytest.approx(1.8, rel=1e-12)
    # 1.5 + 0.3 is taken off by ramps of 4/15 s and a hold
    assert stop.end_s == pytest.approx(1.5 + 3 / 15 + (1.8 / 4 + 4 / 15), rel=1e-13)
    assert stop.acceleration_m_s2(1.5) == pytest.approx(3.0)


def test_while_slowing_down_harder_already_it_eases_off_first():
    # S-curve with 8 m/s² of deceleration, held; the stop asks for 5
    began = float(MOVE.time_s[MOVE.label.index("slow-down starts")])
    time = began + 8 / 60 + 0.1
    assert MOVE.acceleration_m_s2(time) == pytest.approx(-8.0)
    stop = stopped(MOVE, time, 5.0, 60.0)
    rest = after(stop, time)
    assert extreme(rest, 2)[0] == pytest.approx(-8.0, rel=1e-12)
    assert stop.acceleration_m_s2(time + 3 / 60 + 0.1) == pytest.approx(-5.0, rel=1e-12)
    v = MOVE.speed_m_s(time)
    assert stop.end_s == pytest.approx(time + 3 / 60 + (v - 64 / 120) / 5 + 5 / 60, rel=1e-12)


def test_in_the_last_of_a_slow_down_it_ends_as_planned():
    # the same deceleration and jerk: what is left of the move is the stop
    time = MOVE.end_s - 0.05
    for jerk in (60.0, 20.0):  # a smaller jerk could not end it before the line ran backwards
        stop = stopped(MOVE, time, 8.0, jerk)
        assert stop.end_s == pytest.approx(MOVE.end_s, rel=1e-9)
        assert stop.end_position_m == pytest.approx(MOVE.end_position_m, rel=1e-12)


def test_harder_without_jerk_limit_jumps_to_the_stops_own():
    stop = stopped(TRAPEZOID, TRAPEZOID.end_s - 0.5, 1.0)
    assert stop.end_position_m - TRAPEZOID.position_m(TRAPEZOID.end_s - 0.5) == pytest.approx(1.5**2 / 2, rel=1e-9)


# ---- at rest -----------------------------------------------------------------------------------


@pytest.mark.parametrize("jerk", [None, 30.0])
@pytest.mark.parametrize("time", [-1.0, 0.3, 0.5, 0.5 + 1e-13, 3.5, 4.0, 9.0])
def test_standing_still_it_stays(time, jerk):
    whole = joined(MOVE, point_to_point(-3.0, 2.0, 4.0, start_s=4.0))
    stop = stopped(whole, time, 10.0, jerk)
    assert stop.label[-1] == "stop"
    assert stop.end_s == pytest.approx(time, abs=1e-12)
    assert "stopped" not in stop.label
    t = np.linspace(time, time + 20, 101)
    np.testing.assert_allclose(stop.position_m(t), whole.position_m(time), rtol=0, atol=1e-15)
    np.testing.assert_array_equal(stop.speed_m_s(t), np.zeros(101))


def test_a_stop_cancels_the_moves_that_follow():
    stop = stopped(joined(MOVE, point_to_point(-3.0, 2.0, 4.0, start_s=4.0)), 1.5, 10.0)
    assert stop.end_s < 3.0
    assert stop.position_m(30.0) == stop.end_position_m


def test_a_stop_can_be_stopped():
    gentle = stopped(TRAPEZOID, 3.0, 1.0, 10.0)
    hard = stopped(gentle, 3.5, 9.0)
    assert hard.end_s < gentle.end_s
    assert hard.label.count("stop") == 2
    assert hard.position_m(3.4) == gentle.position_m(3.4)


def test_recorded_trace_stopped():
    t = np.arange(0.0, 3.0, 0.01)
    recorded = motion_of_recording(
        recording_from_text("time_s,paid_out_m\n" + "\n".join(f"{a},{MOVE.position_m(float(a))}" for a in t))
    )
    stop = stopped(recorded, 1.5, 10.0, 60.0)
    assert stop.end_position_m == pytest.approx(stopped(MOVE, 1.5, 10.0, 60.0).end_position_m, abs=1e-4)
    assert stop.corner.sum() == 5  # the trace's first row and four of the stop


@pytest.mark.parametrize(("time", "deceleration", "jerk"), [(1.0, 0.0, None), (1.0, 5.0, -1.0), (math.nan, 5.0, None)])
def test_nonsense_is_refused(time, deceleration, jerk):
    with pytest.raises(ValueError, match="stop"):
        stopped(MOVE, time, deceleration, jerk)


# ---- properties of every stop ------------------------------------------------------------------


def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(math.log(low), math.log(high)).map(math.exp)


MOVES = st.builds(
    lambda sense, distance, speed, up, down, jerk: point_to_point(sense * distance, speed, up, down, jerk, start_s=0.5),
    st.sampled_from([1.0, -1.0]),
    between(0.01, 50.0),
    between(0.05, 15.0),
    between(0.1, 40.0),
    between(0.1, 40.0),
    st.none() | between(1.0, 2000.0),
)


@given(MOVES, st.floats(0.0, 1.0), between(0.1, 60.0), st.none() | between(1.0, 2000.0), st.data())
def test_every_stop_ends_at_rest_and_never_reverses(move, share, deceleration, jerk, data):
    time = move.start_s + share * (move.end_s - move.start_s)
    time = data.draw(st.sampled_from([time, *map(float, move.time_s)]))
    sense = math.copysign(1.0, move.total_m)
    stop = stopped(move, time, deceleration, jerk)

    earlier = instants(move)[instants(move) < time]
    np.testing.assert_allclose(stop.position_m(earlier), move.position_m(earlier), rtol=0, atol=1e-12)
    assert stop.position_m(time) == pytest.approx(move.position_m(time), abs=1e-10)
    assert np.abs(jumps(stop, 0)).max(initial=0.0) <= 1e-11 * (1 + abs(move.total_m))
    assert np.abs(jumps(stop, 1)).max(initial=0.0) <= 1e-10 * (1 + move.top_speed_m_s)
    if "stopped" not in stop.label:
        assert abs(stop.speed_m_s(np.nextafter(time, 0))) < 1e-6
        return
    rest = after(stop, time)
    speeds = sense * polynomial(rest)(instants(rest), nu=1)
    assert speeds.min() >= -1e-9 * move.top_speed_m_s
    assert abs(float(polynomial(rest)(rest.end_s, nu=1))) <= 1e-9 * move.top_speed_m_s
    now = sense * acceleration_before(move, time)
    low, high = sorted(sense * np.array(extreme(rest, 2)))
    assert -low <= max(deceleration, -now) * (1 + 1e-9) + 1e-9
    if jerk is None:
        assert abs(rest.total_m) == pytest.approx(move.speed_m_s(time) ** 2 / (2 * deceleration), rel=1e-6, abs=1e-9)
    else:
        assert np.abs(jumps(rest, 2)).max(initial=0.0) <= 1e-8 * (1 + max(deceleration, abs(now)))
        assert sense * rest.acceleration_m_s2(time) == pytest.approx(now, rel=1e-9, abs=1e-9)
        assert high <= max(now, 0.0) * (1 + 1e-9) + 1e-9


def acceleration_before(motion: Motion, time_s: float) -> float:
    """Acceleration just before a time."""
    piece = int(np.searchsorted(motion.time_s, time_s)) - 1
    _, _, c2, c3 = motion.coefficients[piece]
    return float(2 * c2 + 6 * c3 * (time_s - motion.time_s[piece]))


@given(MOVES, st.floats(0.01, 0.99), between(0.1, 60.0), between(1.0, 2000.0))
def test_jerk_is_kept_unless_the_line_would_run_backwards(move, share, deceleration, jerk):
    time = move.start_s + share * (move.end_s - move.start_s)
    stop = stopped(move, time, deceleration, jerk)
    v, a = abs(move.speed_m_s(time)), math.copysign(1.0, move.total_m) * move.acceleration_m_s2(time)
    if time in move.time_s or "stopped" not in stop.label:
        return
    needed = a * a / (2 * v) if a < 0 else 0.0
    assert after(stop, time).top_jerk_m_s3 == pytest.approx(max(jerk, needed), rel=1e-6)


# ---- from outside ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("time", "deceleration", "jerk"),
    [(1.3, 10.0, 80.0), (0.55, 10.0, 80.0), (1.8, 60.0, 80.0), (1.9, 12.0, 40.0), (2.45, 5.0, 60.0)],
)
def test_linear_programme_stops_no_sooner(time, deceleration, jerk):
    """In the time the stop takes, how much speed can be taken off? Asked of a linear programme over the
    jerk of equal steps; in a little less time it must still be moving.
    """
    stop = stopped(MOVE, time, deceleration, jerk)
    speed, acceleration = MOVE.speed_m_s(time), MOVE.acceleration_m_s2(time)
    count = 300
    lowest = max(deceleration, -acceleration)

    def speed_left(duration_s: float) -> float:
        step = duration_s / count
        to_acceleration = step * np.tril(np.ones((count, count)))
        to_speed = (step * np.tril(np.ones((count, count))) @ to_acceleration) - step / 2 * to_acceleration
        # what exceeds the deceleration at the start has to be eased off at the full jerk
        floor = np.maximum(deceleration, lowest - jerk * step * np.arange(1, count + 1))
        best = linprog(
            to_speed[-1],
            -to_acceleration,
            floor + acceleration,
            to_acceleration[-1:],
            [-acceleration],
            bounds=(-jerk, jerk),
        )
        assert best.status == 0
        return speed + acceleration * duration_s + best.fun

    taken = stop.end_s - time
    assert speed_left(taken * 1.001) < 2e-3 * MOVE.top_speed_m_s
    assert speed_left(taken * 0.98) > 0.0
