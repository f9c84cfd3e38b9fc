"""Closed forms are plain kinematics of constant jerk, as in any textbook of motion control:

trapezoid: t = D/v + v/a where D >= v²/a, else t = 2√(D/a) and the speed reached is √(Da);
S-curve with v and a reached: t = D/v + v/a + a/j, slow-down distance (v/2)(v/a + a/j);
S-curve with a not reached, v < a²/j: each change of speed takes 2√(v/j).
"""

import math

import numpy as np
import pytest
from scipy.optimize import linprog

from profiles import ImpossibleMove, point_to_point
from tests.profiles.outside import instants, slow_down_m

# ---- closed forms ------------------------------------------------------------------------------


def test_trapezoid():
    move = point_to_point(10.0, 3.0, 3.0)
    assert move.end_s == pytest.approx(10 / 3 + 1, rel=1e-13)
    assert slow_down_m(move) == pytest.approx(1.5, rel=1e-12)
    assert move.label == ("move starts", "full speed", "slow-down starts", "move ends")
    np.testing.assert_allclose(move.time_s, [0, 1, 10 / 3, 13 / 3], rtol=1e-13)


def test_s_curve():
    move = point_to_point(10.0, 3.0, 3.0, jerk_m_s3=15.0)
    assert move.end_s == pytest.approx(10 / 3 + 1 + 0.2, rel=1e-13)
    assert slow_down_m(move) == pytest.approx(1.8, rel=1e-12)
    np.testing.assert_allclose(np.diff(move.time_s), [0.2, 0.8, 0.2, 10 / 3 - 1.2, 0.2, 0.8, 0.2], rtol=1e-12)


def test_trapezoid_that_does_not_reach_its_speed():
    move = point_to_point(2.0, 10.0, 3.0)
    assert move.top_speed_m_s == pytest.approx(math.sqrt(6.0), rel=1e-13)
    assert move.end_s == pytest.approx(2 * math.sqrt(2 / 3), rel=1e-13)
    assert "full speed" not in move.label


def test_s_curve_that_does_not_reach_its_speed():
    # v²/a + va/j = D, the positive root
    v = (-0.2 + math.sqrt(0.04 + 8 / 3)) * 3 / 2
    move = point_to_point(2.0, 10.0, 3.0, jerk_m_s3=15.0)
    assert v == pytest.approx(2.167793, abs=5e-7)
    assert move.top_speed_m_s == pytest.approx(v, rel=1e-13)
    assert move.end_s == pytest.approx(2 * (v / 3 + 0.2), rel=1e-13)
    assert move.end_s == pytest.approx(1.845195, abs=5e-7)


def test_s_curve_that_reaches_neither_speed_nor_acceleration():
    # both changes of speed take 2√(v/j) and v√(v/j): D = 2v√(v/j)
    move = point_to_point(0.01, 10.0, 3.0, jerk_m_s3=15.0)
    v = (0.005 * math.sqrt(15.0)) ** (2 / 3)
    assert move.top_speed_m_s == pytest.approx(v, rel=1e-12)
    assert move.top_acceleration_m_s2 == pytest.approx(math.sqrt(15.0 * v), rel=1e-12)
    assert move.end_s == pytest.approx(4 * math.sqrt(v / 15.0), rel=1e-12)
    assert len(move.coefficients) == 4


def test_speed_below_what_the_full_acceleration_needs():
    # v = 0.4 < a²/j = 0.6: D = 1 is 2·0.4·√(0.4/15) of changing and the rest at 0.4 m/s
    move = point_to_point(1.0, 0.4, 3.0, jerk_m_s3=15.0)
    assert move.top_speed_m_s == pytest.approx(0.4, rel=1e-14)
    assert move.end_s == pytest.approx(1.0 / 0.4 + 2 * math.sqrt(0.4 / 15.0), rel=1e-12)


def test_deceleration_of_its_own():
    # D = v²/2a + v²/2b with a = 5, b = 20
    move = point_to_point(1.0, 10.0, 5.0, 20.0)
    v = math.sqrt(8.0)
    assert move.top_speed_m_s == pytest.approx(v, rel=1e-13)
    assert move.end_s == pytest.approx(v / 5 + v / 20, rel=1e-13)
    assert (move.top_acceleration_m_s2, move.top_deceleration_m_s2) == pytest.approx((5.0, 20.0), rel=1e-12)


def test_take_in_is_negative_and_starts_where_told():
    out = point_to_point(4.0, 2.0, 3.0, 5.0, 40.0)
    take_in = point_to_point(-4.0, 2.0, 3.0, 5.0, 40.0, start_s=1.25, start_position_m=6.0)
    t = instants(out)
    np.testing.assert_allclose(take_in.position_m(t + 1.25), 6.0 - out.position_m(t), rtol=0, atol=1e-12)
    assert take_in.label == out.label


# ---- slow-down in a given distance -------------------------------------------------------------


@pytest.mark.parametrize("jerk", [None, 60.0, 500.0])
def test_slow_down_takes_the_distance_told(jerk):
    move = point_to_point(8.4, 6.0, 5.0, jerk_m_s3=jerk, slow_down_in_m=2.2)
    assert move.total_m == pytest.approx(8.4, rel=1e-12)
    assert slow_down_m(move) == pytest.approx(2.2, rel=1e-11)
    assert move.top_speed_m_s == pytest.approx(6.0, rel=1e-12)
    b = move.top_deceleration_m_s2
    # (v/2)(v/b + b/j) = 2.2
    assert 3 * (6 / b + (b / jerk if jerk else 0.0)) == pytest.approx(2.2, rel=1e-11)


def test_slow_down_distance_with_the_speed_not_reached():
    move = point_to_point(3.0, 6.0, 5.0, slow_down_in_m=0.5)
    v = math.sqrt(2 * 5 * 2.5)
    assert move.top_speed_m_s == pytest.approx(v, rel=1e-12)
    assert move.top_deceleration_m_s2 == pytest.approx(v * v / 1.0, rel=1e-12)
    assert slow_down_m(move) == pytest.approx(0.5, rel=1e-11)


def test_least_slow_down_is_named_and_can_be_had():
    # from 6 m/s with 20 m/s³: v√(v/j)
    least = 6 * math.sqrt(6 / 20)
    with pytest.raises(ImpossibleMove, match=f"the least is {least:.6g} m"):
        point_to_point(12.0, 6.0, 5.0, jerk_m_s3=20.0, slow_down_in_m=2.2)
    move = point_to_point(12.0, 6.0, 5.0, jerk_m_s3=20.0, slow_down_in_m=least)
    assert slow_down_m(move) == pytest.approx(least, rel=1e-9)
    with pytest.raises(ImpossibleMove):
        point_to_point(12.0, 6.0, 5.0, jerk_m_s3=20.0, slow_down_in_m=least * (1 - 1e-9))


def test_least_slow_down_when_the_speed_is_not_reached():
    with pytest.raises(ImpossibleMove) as error:
        point_to_point(2.0, 6.0, 5.0, jerk_m_s3=20.0, slow_down_in_m=0.1)
    least = float(str(error.value).split()[-2])
    move = point_to_point(2.0, 6.0, 5.0, jerk_m_s3=20.0, slow_down_in_m=least * 1.00001)
    assert move.total_m == pytest.approx(2.0, rel=1e-12)
    assert slow_down_m(move) == pytest.approx(least, rel=1e-4)
    with pytest.raises(ImpossibleMove):
        point_to_point(2.0, 6.0, 5.0, jerk_m_s3=20.0, slow_down_in_m=least * 0.99999)


def test_slow_down_longer_than_the_move():
    with pytest.raises(ImpossibleMove, match="leaves nothing of the 3 m"):
        point_to_point(-3.0, 6.0, 5.0, slow_down_in_m=3.0)


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"distance_m": 0.0}, "needs a distance"),
        ({"distance_m": math.nan}, "needs a distance"),
        ({"speed_m_s": 0.0}, "speed"),
        ({"acceleration_m_s2": -1.0}, "acceleration"),
        ({"deceleration_m_s2": math.inf}, "deceleration"),
        ({"jerk_m_s3": 0.0}, "jerk"),
        ({"slow_down_in_m": -1.0}, "slow-down distance"),
        ({"deceleration_m_s2": 1.0, "slow_down_in_m": 1.0}, "not both"),
    ],
)
def test_nonsense_is_refused(change, text):
    with pytest.raises(ValueError, match=text):
        point_to_point(**({"distance_m": 3.0, "speed_m_s": 1.0, "acceleration_m_s2": 1.0} | change))


# ---- from outside ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("limits", "count"),
    [
        ((10.0, 3.0, 3.0, 3.0, 15.0), 240),
        ((2.0, 10.0, 3.0, 3.0, 15.0), 240),
        ((8.4, 6.0, 5.0, 10.0, 60.0), 240),
        ((1.0, 10.0, 5.0, 2.0, 30.0), 240),
    ],
)
def test_linear_programme_gets_no_further_in_the_time(limits, count):
    """How far can one get in the time the move takes? Asked of a linear programme over the jerk of
    count equal steps, which knows the limits and that both ends are at rest, and no phases at all.
    """
    distance, top, acceleration, deceleration, jerk = limits
    motion = point_to_point(*limits)
    step = motion.end_s / count
    # rows give speed and acceleration after each step, linear in the jerks
    adds = np.tril(np.ones((count, count)))
    to_acceleration = step * adds
    to_speed = step * (adds @ to_acceleration) - step / 2 * to_acceleration
    last = count - 1
    to_distance = np.array([step**3 * ((last - i) ** 2 / 2 + (last - i) / 2 + 1 / 6) for i in range(count)])
    rows = np.concatenate([to_acceleration, -to_acceleration, to_speed, -to_speed])
    bounds = np.concatenate([np.full(count, b) for b in (acceleration, deceleration, top, 0.0)])
    best = linprog(
        -to_distance, rows, bounds, np.stack([to_acceleration[-1], to_speed[-1]]), [0.0, 0.0], bounds=(-jerk, jerk)
    )
    assert best.status == 0
    assert -best.fun <= distance * (1 + 1e-5)  # speed is held between steps only at their ends
    assert -best.fun >= distance * (1 - 2e-3)  # its switches fall on its own grid
