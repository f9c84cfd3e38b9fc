"""A motion that runs too fast: the same way, in less time, held against numerical integration and differences."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import cumulative_trapezoid

from profiles import hurried, joined, point_to_point

MOVE = point_to_point(8.0, 4.0, 5.0, 6.0, 40.0, start_s=0.5)
BOTH = joined(MOVE, point_to_point(-3.0, 2.0, 3.0, 3.0, start_s=4.0), names=["out", "in"])


@settings(deadline=None)
@given(from_s=st.floats(0.0, 7.0), times=st.floats(1.01, 1.6))
def test_the_way_and_its_end_stay_and_the_speed_is_that_of_the_curve(from_s: float, times: float):
    fast = hurried(BOTH, from_s, times)
    assert fast.end_position_m == pytest.approx(BOTH.end_position_m, abs=1e-8)
    assert fast.end_s <= BOTH.end_s + 1e-9
    t = np.linspace(0.0, BOTH.end_s, 20001)
    assert fast.position_m(0.0) + cumulative_trapezoid(fast.speed_m_s(t), t, initial=0.0) == pytest.approx(
        fast.position_m(t), abs=1e-5
    )
    before = t < from_s
    assert fast.position_m(t[before]) == pytest.approx(BOTH.position_m(t[before]), abs=1e-9)
    assert fast.top_speed_m_s <= times * BOTH.top_speed_m_s * (1 + 1e-3)


def test_at_full_speed_it_rises_by_the_moves_own_acceleration_and_stays():
    move = point_to_point(20.0, 4.0, 5.0, start_s=0.0)
    fast = hurried(move, 1.5, 1.25)
    assert fast.speed_m_s(1.499) == pytest.approx(4.0)
    assert fast.speed_m_s(1.5 + 0.1) == pytest.approx(4.5, rel=1e-6)  # 5 m/s2 for half of the 0.2 s to 5 m/s
    assert fast.speed_m_s(1.75) == pytest.approx(5.0, rel=1e-9)
    assert "runs too fast" in fast.label


def test_from_the_start_every_time_is_shorter_in_proportion():
    fast = hurried(MOVE, 0.0, 1.5)
    assert fast.end_s - 0.5 == pytest.approx((MOVE.end_s - 0.5) / 1.5)
    assert fast.top_acceleration_m_s2 == pytest.approx(1.5**2 * MOVE.top_acceleration_m_s2)


def test_after_the_end_nothing_changes_and_no_speed_below_once_is_taken():
    assert hurried(MOVE, 99.0, 1.5) is MOVE
    for times in (1.0, 0.5, float("nan"), float("inf")):
        with pytest.raises(ValueError, match="too fast"):
            hurried(MOVE, 1.0, times)
