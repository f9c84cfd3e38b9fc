"""What holds for every move, whatever its distance and limits."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from profiles import ImpossibleMove, Motion, point_to_point
from tests.profiles.outside import extreme, instants, jumps, polynomial, slow_down_m


def between(low: float, high: float) -> st.SearchStrategy[float]:
    """Even in the logarithm, so that every kind of move turns up."""
    return st.floats(math.log(low), math.log(high)).map(math.exp)


LIMITS = {
    "distance_m": between(1e-3, 200.0),
    "speed_m_s": between(0.01, 30.0),
    "acceleration_m_s2": between(0.05, 60.0),
    "deceleration_m_s2": between(0.05, 60.0),
    "jerk_m_s3": st.none() | between(0.5, 5000.0),
}


def tick_s(motion: Motion) -> float:
    """Rounding of a time near the end: after a quarter of an hour a steep ramp of acceleration shows it."""
    return 4 * float(np.spacing(motion.end_s))


def held_to(motion: Motion, limits: dict) -> None:
    """The limits of speed, acceleration, deceleration and jerk, seen through scipy's polynomials."""
    just = 1 + 1e-11
    rounding_m_s2 = tick_s(motion) * (limits["jerk_m_s3"] or 0.0)
    rounding_m_s = tick_s(motion) * max(limits["acceleration_m_s2"], limits["deceleration_m_s2"])
    low, high = extreme(motion, 1)
    assert low >= -1e-11 * limits["speed_m_s"] - rounding_m_s
    assert high <= limits["speed_m_s"] * just + rounding_m_s
    low, high = extreme(motion, 2)
    assert -low <= limits["deceleration_m_s2"] * just + rounding_m_s2
    assert high <= limits["acceleration_m_s2"] * just + rounding_m_s2
    assert max(np.abs(extreme(motion, 3))) <= (limits["jerk_m_s3"] or 0.0) * just


@given(st.fixed_dictionaries(LIMITS), st.sampled_from([1.0, -1.0]))
def test_every_move_meets_distance_and_limits(limits, sense):
    motion = point_to_point(**(limits | {"distance_m": sense * limits["distance_m"]}))
    assert motion.total_m == pytest.approx(sense * limits["distance_m"], rel=1e-12)
    held_to(motion if sense > 0 else point_to_point(**limits), limits)
    top, tick = motion.top_speed_m_s, tick_s(motion)
    change = max(limits["acceleration_m_s2"], limits["deceleration_m_s2"])
    assert np.abs(jumps(motion, 0)).max(initial=0.0) <= 1e-12 * limits["distance_m"] + tick * top
    assert np.abs(jumps(motion, 1)).max(initial=0.0) <= 1e-12 * top + tick * change
    if limits["jerk_m_s3"]:
        assert np.abs(jumps(motion, 2)).max(initial=0.0) <= 1e-11 * change + tick * limits["jerk_m_s3"]
    assert abs(float(polynomial(motion)(motion.end_s, nu=1))) <= 1e-11 * top + tick * change
    # the way back that rounding makes of the last instant is not taken for speeding up
    rounding_m_s2 = tick * (limits["jerk_m_s3"] or 0.0)  # of the clock, as in held_to: it shows in moves of hours
    assert motion.top_acceleration_m_s2 <= limits["acceleration_m_s2"] * (1 + 1e-9) + rounding_m_s2
    assert motion.top_deceleration_m_s2 <= limits["deceleration_m_s2"] * (1 + 1e-9) + rounding_m_s2
    assert motion.corner.all()


@given(st.fixed_dictionaries(LIMITS))
def test_no_move_could_be_quicker(limits):
    """In every move some limit is at work at every instant, so none can be made shorter."""
    motion = point_to_point(**limits)
    t = instants(motion)
    speed, acceleration, jerk = (np.abs(polynomial(motion)(t, nu=k)) for k in (1, 2, 3))
    limit = np.where(
        t < motion.time_s[motion.label.index("slow-down starts")],
        limits["acceleration_m_s2"],
        limits["deceleration_m_s2"],
    )
    close = 1 - 1e-9
    at_work = (speed >= close * limits["speed_m_s"]) | (acceleration >= close * limit)
    if limits["jerk_m_s3"]:
        at_work |= jerk >= close * limits["jerk_m_s3"]
    assert at_work.all()


@given(st.fixed_dictionaries(LIMITS))
def test_equal_limits_make_a_mirrored_move(limits):
    motion = point_to_point(**(limits | {"deceleration_m_s2": None}))
    t = instants(motion)
    mirrored = motion.total_m - motion.position_m(motion.end_s - t)
    np.testing.assert_allclose(motion.position_m(t), mirrored, rtol=0, atol=1e-11 * limits["distance_m"])


@given(st.fixed_dictionaries(LIMITS), between(0.01, 100.0), between(0.01, 100.0))
def test_units_do_not_matter(limits, length, time):
    """Other units of length and time give the same move in those units."""
    powers = {"distance_m": 0, "speed_m_s": 1, "acceleration_m_s2": 2, "deceleration_m_s2": 2, "jerk_m_s3": 3}
    other = point_to_point(**{k: v and v * length / time ** powers[k] for k, v in limits.items()})
    motion = point_to_point(**limits)
    t = instants(motion)
    np.testing.assert_allclose(
        other.position_m(t * time), length * motion.position_m(t), rtol=0, atol=1e-10 * length * limits["distance_m"]
    )


@given(st.fixed_dictionaries(LIMITS), st.floats(0.02, 0.98))
def test_slow_down_distance_is_met_or_refused(limits, share):
    limits = limits | {"deceleration_m_s2": None, "slow_down_in_m": share * limits["distance_m"]}
    try:
        motion = point_to_point(**limits)
    except ImpossibleMove:
        assume(False)
        raise
    assert motion.total_m == pytest.approx(limits["distance_m"], rel=1e-11)
    assert slow_down_m(motion) == pytest.approx(limits["slow_down_in_m"], rel=1e-7)
    held_to(motion, limits | {"deceleration_m_s2": motion.top_deceleration_m_s2})
