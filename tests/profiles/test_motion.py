import copy
import pickle

import numpy as np
import pytest

from profiles import Motion, MotionsOverlap, joined, point_to_point
from tests.profiles.outside import extreme, instants, polynomial

OUT = point_to_point(8.4, 6.0, 5.0, 8.0, 60.0, start_s=0.5)
BACK = point_to_point(-3.0, 2.0, 4.0, start_s=4.0)


def there_and_back() -> Motion:
    """A single cubic x = t²(3 - t) up to t = 3: reverses at t = 2 inside its piece, ends moving."""
    return Motion(np.array([0.0, 3.0]), np.array([[0.0, 0.0, 3.0, -1.0]]), np.ones(2, bool), ("", ""))


def test_values_agree_with_scipys_polynomials():
    motion = joined(OUT, BACK)
    t = instants(motion)
    for k, values in enumerate((motion.position_m, motion.speed_m_s, motion.acceleration_m_s2, motion.jerk_m_s3)):
        np.testing.assert_allclose(values(t), polynomial(motion)(t, nu=k), rtol=1e-12, atol=1e-12)


def test_stands_still_before_and_after():
    for t, position in ((-5.0, 0.0), (OUT.start_s - 1e-9, 0.0), (OUT.end_s + 1e-9, 8.4), (1e6, 8.4)):
        assert OUT.position_m(t) == pytest.approx(position, abs=1e-12)
        assert OUT.speed_m_s(t) == OUT.acceleration_m_s2(t) == OUT.jerk_m_s3(t) == 0.0


def test_one_time_gives_a_number_and_many_an_array():
    assert isinstance(OUT.position_m(1.0), float)
    assert OUT.speed_m_s(np.array([[1.0, 2.0]])).shape == (1, 2)
    assert OUT.speed_m_s([1.0, 2.0])[1] == OUT.speed_m_s(2.0)


def test_at_a_jump_the_value_is_the_one_just_after():
    trapezoid = point_to_point(10.0, 3.0, 3.0)
    assert trapezoid.acceleration_m_s2(0.0) == 3.0
    assert trapezoid.acceleration_m_s2(1.0) == 0.0


def test_extremes_inside_a_piece():
    # x' = 6t - 3t² = 0 at 2, x(2) = 4, x(3) = 0; speed -9 at t = 3; x'' = 6 - 6t
    motion = there_and_back()
    assert motion.highest_position_m == pytest.approx(4.0, rel=1e-14)
    assert motion.lowest_position_m == pytest.approx(0.0, abs=1e-14)
    assert motion.travelled_m == pytest.approx(8.0, rel=1e-14)
    assert motion.total_m == pytest.approx(0.0, abs=1e-14)
    assert motion.top_speed_m_s == pytest.approx(9.0, rel=1e-14)
    assert motion.top_acceleration_m_s2 == pytest.approx(12.0, rel=1e-14)  # backwards, towards t = 3
    assert motion.top_deceleration_m_s2 == pytest.approx(6.0, rel=1e-14)  # forwards, just before t = 2
    assert motion.top_jerk_m_s3 == pytest.approx(6.0, rel=1e-14)


def test_two_reversals_inside_a_piece():
    # x' = 3(t - 1)(t - 2): x(1) = 2.5, x(2) = 2, x(2.75) = 3.265625
    motion = Motion(np.array([0.0, 2.75]), np.array([[0.0, 6.0, -4.5, 1.0]]), np.ones(2, bool), ("", ""))
    assert motion.travelled_m == pytest.approx(2.5 + 0.5 + 1.265625, rel=1e-14)
    assert motion.top_deceleration_m_s2 == pytest.approx(9.0, rel=1e-14)
    assert motion.top_acceleration_m_s2 == pytest.approx(7.5, rel=1e-14)


def test_top_speed_between_breakpoints():
    # x = t³/3·(-1) + t² on 0..2: speed 2t - t², largest 1 at t = 1, inside
    motion = Motion(np.array([0.0, 2.0]), np.array([[0.0, 0.0, 1.0, -1 / 3]]), np.ones(2, bool), ("", ""))
    assert motion.top_speed_m_s == pytest.approx(1.0, rel=1e-14)


def test_extremes_agree_with_dense_samples():
    motion = joined(OUT, BACK)
    low, high = extreme(motion, 0)
    assert motion.lowest_position_m == pytest.approx(low, abs=1e-6)
    assert motion.highest_position_m == pytest.approx(high, rel=1e-6)
    assert motion.top_speed_m_s == pytest.approx(max(np.abs(extreme(motion, 1))), rel=1e-12)
    assert motion.travelled_m == pytest.approx(11.4, rel=1e-12)
    assert motion.top_acceleration_m_s2 == pytest.approx(5.0, rel=1e-12)
    assert motion.top_deceleration_m_s2 == pytest.approx(8.0, rel=1e-12)


def test_at_rest_stays():
    rest = Motion.at_rest(2.5)
    assert not rest.moves
    assert rest.travelled_m == rest.top_speed_m_s == rest.top_deceleration_m_s2 == 0.0
    assert list(rest.position_m([-1.0, 0.5, 9.0])) == [2.5, 2.5, 2.5]
    assert not rest.corner.any()


def test_joined_goes_on_where_the_first_ended():
    whole = joined(OUT, BACK)
    assert whole.position_m(3.9) == pytest.approx(8.4)
    assert whole.end_position_m == pytest.approx(5.4)
    assert whole.label.count("move starts") == whole.label.count("move ends") == 2
    assert whole.time_s[list(whole.label).index("move ends")] == OUT.end_s


def test_joined_moves_may_touch():
    second = point_to_point(-1.0, 1.0, 2.0, start_s=OUT.end_s)
    whole = joined(OUT, second)
    assert len(whole.coefficients) == len(OUT.coefficients) + len(second.coefficients)
    assert "move ends; move starts" in whole.label


def test_joined_with_rest_keeps_its_place():
    assert joined(Motion.at_rest(1.5), OUT).end_position_m == pytest.approx(9.9)
    assert joined(OUT, Motion.at_rest()) is OUT
    assert joined(OUT) is OUT


def test_overlap_names_both_moves_and_times():
    with pytest.raises(MotionsOverlap, match=r"the rise starts at 2 s, before the drop ends at 2\.\d+ s"):
        joined(OUT, point_to_point(-1.0, 1.0, 1.0, start_s=2.0), names=["the drop", "the rise"])
    with pytest.raises(MotionsOverlap, match=r"move 3 starts at 0\.5 s, before move 2 ends at 6 s"):
        joined(OUT, BACK, OUT)
    with pytest.raises(ValueError, match="nothing to join"):
        joined()


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"time_s": [0.0, 0.0]}, "must increase"),
        ({"time_s": [0.0, np.inf]}, "finite"),
        ({"coefficients": [[0.0, np.nan, 0.0, 0.0]]}, "finite"),
        ({"coefficients": [[0.0, 0.0, 0.0]]}, "needs coefficients"),
        ({"label": ("",)}, "needs coefficients"),
        ({"corner": [True]}, "needs coefficients"),
    ],
)
def test_what_is_no_motion_is_refused(change, text):
    fields = {"time_s": [0.0, 1.0], "coefficients": [[0.0] * 4], "corner": [True, True], "label": ("", "")}
    with pytest.raises(ValueError, match=text):
        Motion(**(fields | change))


def test_a_position_that_jumps_is_refused():
    with pytest.raises(ValueError, match="position jumps at 1 s"):
        Motion(np.array([0.0, 1.0, 2.0]), np.array([[0.0] * 4, [0.1, 0, 0, 0]]), np.ones(3, bool), ("",) * 3)


def test_frozen_equal_and_sent_to_another_process():
    with pytest.raises(ValueError, match="read-only"):
        OUT.time_s[0] = 1.0
    twin = pickle.loads(pickle.dumps(OUT))
    assert twin == OUT
    assert hash(twin) == hash(OUT)
    assert copy.copy(OUT) == OUT
    assert OUT != BACK


def test_source_arrays_are_copied():
    time_s = np.array([0.0, 1.0])
    motion = Motion(time_s, np.zeros((1, 4)), np.zeros(2, bool), ("", ""))
    time_s[1] = 5.0
    assert motion.end_s == 1.0
