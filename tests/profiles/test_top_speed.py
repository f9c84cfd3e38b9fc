"""A motion cut off at a top speed against its speed clipped and added up."""

from __future__ import annotations

import numpy as np
import pytest

from profiles import held_at, joined, point_to_point

THERE = point_to_point(10.0, 4.0, 3.0, 6.0, 20.0, start_s=0.5)
BACK = point_to_point(-6.0, 5.0, 5.0, start_s=8.0)


@pytest.mark.parametrize("top_speed_m_s", [0.3, 2.0, 3.999, 4.5])
@pytest.mark.parametrize("motion", [THERE, BACK, joined(THERE, BACK)], ids=["jerk", "taken in", "both"])
def test_speed_is_clipped_and_way_is_its_sum(motion, top_speed_m_s: float):
    held = held_at(motion, top_speed_m_s)
    t = np.linspace(0.0, motion.end_s + 0.5, 200_001)
    clipped = np.clip(motion.speed_m_s(t), -top_speed_m_s, top_speed_m_s)
    assert held.speed_m_s(t) == pytest.approx(clipped, abs=1e-9 * 10)
    way = np.concatenate(([0.0], np.cumsum(0.5 * (clipped[1:] + clipped[:-1]) * np.diff(t))))
    assert held.position_m(t) == pytest.approx(way, abs=1e-6)
    assert (held.start_s, held.end_s) == (motion.start_s, motion.end_s)
    jumps = np.abs(np.diff(held.acceleration_m_s2(held.time_s[:, None] + [-1e-7, 1e-7])))[:, 0] > 1e-3
    assert held.corner[jumps].all()
    assert ("top speed reached" in held.label) == (motion.top_speed_m_s > top_speed_m_s)


def test_below_its_top_speed_it_is_the_same_motion():
    assert held_at(THERE, 4.0) is THERE


@pytest.mark.parametrize("wrong", [0.0, -1.0, float("nan"), float("inf")])
def test_no_top_speed_at_all_is_refused(wrong: float):
    with pytest.raises(ValueError, match="top speed"):
        held_at(THERE, wrong)
