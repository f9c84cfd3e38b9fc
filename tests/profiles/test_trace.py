import math
import pickle

import numpy as np
import pytest
from numpy.typing import ArrayLike

from profiles import (
    Motion,
    TraceFaults,
    follow_trace,
    motion_of_recording,
    point_to_point,
    read_recording,
    recording_from_text,
    smoothing_note,
    smoothing_share,
)
from tests.profiles.outside import extreme, jumps

S_CURVE = point_to_point(8.4, 6.0, 5.0, 8.0, 60.0, start_s=0.5)


def csv_of(time_s: ArrayLike, paid_out: ArrayLike, header: str = "time_s,paid_out_m") -> str:
    return "\n".join(
        [header, *(f"{t:.9g},{x:.12g}" for t, x in zip(np.asarray(time_s), np.asarray(paid_out), strict=True))]
    )


def recorded(motion: Motion, step_s: float, first_s: float = 0.0, last_s: float = 4.0) -> str:
    time_s = np.arange(round((last_s - first_s) / step_s) + 1) * step_s + first_s
    return csv_of(time_s, motion.position_m(time_s))


# ---- reading -----------------------------------------------------------------------------------


def test_first_value_is_position_zero_and_feet_are_feet():
    time_s = np.linspace(0, 1, 41)
    metres = recording_from_text(csv_of(time_s, 5 + time_s**2 * (3 - 2 * time_s)))
    feet = recording_from_text(csv_of(time_s, time_s**2 * (3 - 2 * time_s), "time_s, paid_out_ft"))
    assert metres.paid_out_m[0] == 0.0
    assert metres.paid_out_m[-1] == pytest.approx(1.0, rel=1e-11)
    np.testing.assert_allclose(feet.paid_out_m, 0.3048 * metres.paid_out_m, rtol=1e-9, atol=1e-11)


def test_other_columns_blank_lines_and_a_byte_order_mark_do_no_harm(tmp_path):
    lines = recorded(S_CURVE, 0.02).splitlines()
    file = tmp_path / "winch.csv"
    file.write_text("\n\n".join(f"note {i},{line}" for i, line in enumerate(lines)), encoding="utf-8-sig")
    assert len(read_recording(file).time_s) == len(lines) - 1


def test_a_file_that_is_not_there_and_one_that_is_no_text(tmp_path):
    with pytest.raises(OSError, match=r"none\.csv"):
        follow_trace(tmp_path / "none.csv")
    (tmp_path / "photo.csv").write_bytes(b"\xff\xd8\xff\xe0")
    with pytest.raises(TraceFaults, match="not plain text"):
        follow_trace(tmp_path / "photo.csv")


GOOD = [f"{0.1 * i:.1f},{x}" for i, x in enumerate([0, 0, 0, 0.01, 0.05, 0.12, 0.19, 0.23, 0.24, 0.24, 0.24])]

FAULTY = {
    "empty": ("", ["the file is empty"]),
    "no time": ("t,paid_out_m\n0,0", ["one column must be headed time_s; row 1 reads 't, paid_out_m'"]),
    "no position": ("time_s,position\n0,0", ["one column must be headed paid_out_m or paid_out_ft"]),
    "both units": ("time_s,paid_out_m,paid_out_ft\n0,0,0", ["one column must be headed paid_out_m or paid_out_ft"]),
    "no header": ("\n".join(GOOD), ["one column must be headed time_s", "one column must be headed paid_out_m"]),
    "too few": ("time_s,paid_out_m\n0,0\n1,0\n2,0", ["3 rows are too few: 5 are the fewest"]),
    "text": ((4, "0.3,slack"), ["row 5: paid_out_m is 'slack', not a number"]),
    "decimal comma": ((4, "0,3,0,01"), ["row 5: 4 cells where the header has 2"]),
    "missing": ((4, "0.3,"), ["row 5: no paid_out_m"]),
    "not a number": ((4, "nan,inf"), ["row 5: time_s is 'nan'", "row 5: paid_out_m is 'inf'"]),
    "underscore": ((4, "0.3,0_1"), ["row 5: paid_out_m is '0_1'"]),
    "enormous": ((4, "0.3,1e300"), ["row 5: paid_out_m is '1e300'"]),
    "same time twice": ((4, "0.2,0.01"), ["row 5: the same time as row 4, 0.2 s"]),
    "time goes back": ((4, "0.15,0.01"), ["row 5: time goes back from 0.2 s to 0.15 s"]),
    "moving at the start": ((1, "0.0,-0.2"), ["the trace begins at 3 m/s: it must begin and end at rest"]),
    "moving at the end": ((11, "1.0,0.5"), ["the trace ends at 3.9 m/s: it must begin and end at rest"]),
}


@pytest.mark.parametrize("name", FAULTY)
def test_faults(name):
    what, expected = FAULTY[name]
    if isinstance(what, tuple):
        lines = ["time_s,paid_out_m", *GOOD]
        lines[what[0]] = what[1]
        what = "\n".join(lines)
    with pytest.raises(TraceFaults) as error:
        recording_from_text(what, "winch.csv")
    assert len(error.value.faults) == len(expected), error.value
    for fault, start in zip(error.value.faults, expected, strict=True):
        assert fault.startswith(start)
    assert str(error.value).startswith("winch.csv cannot be followed:")


def test_the_good_rows_are_good():
    recording_from_text("\n".join(["time_s,paid_out_m", *GOOD]))


def test_gap_and_jumps_are_found_with_their_rows():
    time_s = np.arange(0, 4, 0.01)
    position = S_CURVE.position_m(time_s)
    position[120:] += 0.15  # a counter that skipped: row 122 is the first after it
    position[200] -= 0.5  # one bad sample
    keep = np.ones(len(time_s), bool)
    keep[300:320] = False
    with pytest.raises(TraceFaults) as error:
        recording_from_text(csv_of(time_s[keep], position[keep]))
    gap, skip, spike = error.value.faults
    assert gap == "row 302: a gap of 0.21 s after row 301, where rows are 0.01 s apart"
    assert skip.startswith("row 122: the line jumps by 0.18")
    assert spike.startswith(("row 202: the line jumps by", "row 203: the line jumps by"))


def test_one_lost_row_and_measuring_noise_are_no_faults():
    time_s = np.delete(np.arange(0, 4, 0.001), 1500)
    recording_from_text(csv_of(time_s, np.round(S_CURVE.position_m(time_s), 3)))


def test_everything_wrong_is_told_at_once():
    with pytest.raises(TraceFaults) as error:
        recording_from_text("time_s,paid_out_m\n0,0\n0,x\n0,1\n-1,2\n2\n")
    assert [fault.split(":")[0] for fault in error.value.faults] == [
        "row 3",
        "row 6",
        "row 4",
        "row 5",
    ]


def test_a_file_wrong_throughout_stays_readable():
    text = "time_s,paid_out_m\n" + "x,1\n" * 500
    with pytest.raises(TraceFaults) as error:
        recording_from_text(text)
    assert len(error.value.faults) == 21
    assert error.value.faults[-1] == "and 480 more of this kind"
    assert pickle.loads(pickle.dumps(error.value)).faults == error.value.faults


# ---- as a motion -------------------------------------------------------------------------------


@pytest.mark.parametrize("step_s", [0.02, 0.01, 0.005])
def test_spline_gives_back_a_known_move(step_s):
    """A jump of jerk between two rows bends the spline: errors of order jerk × step³ in position and
    jerk × step in acceleration, with factors well below one.
    """
    motion = motion_of_recording(recording_from_text(recorded(S_CURVE, step_s)))
    t = np.linspace(0, 4, 8001)
    jerk = 60.0
    assert np.abs(motion.position_m(t) - S_CURVE.position_m(t)).max() < 0.05 * jerk * step_s**3
    assert np.abs(motion.speed_m_s(t) - S_CURVE.speed_m_s(t)).max() < 0.1 * jerk * step_s**2
    assert np.abs(motion.acceleration_m_s2(t) - S_CURVE.acceleration_m_s2(t)).max() < 0.4 * jerk * step_s
    assert motion.total_m == pytest.approx(8.4, rel=1e-9)


def test_passes_through_every_row_smoothly_and_rests_at_both_ends():
    recording = recording_from_text(recorded(S_CURVE, 0.02))
    motion = motion_of_recording(recording)
    np.testing.assert_allclose(motion.position_m(recording.time_s), recording.paid_out_m, rtol=0, atol=1e-12)
    assert [float(np.abs(jumps(motion, k)).max()) < 1e-9 for k in range(4)] == [True, True, True, False]
    assert abs(motion.speed_m_s(0.0)) < 1e-12
    assert abs(extreme(motion, 1)[0]) < 1e-2
    assert motion.label[0] == "trace starts"
    assert motion.label[-1] == "trace ends"


def test_rests_at_the_first_row_though_the_second_has_moved():
    rows = recording_from_text(csv_of([0, 0.1, 0.2, 0.3, 0.4, 0.5], [0, 0.05, 0.2, 0.4, 0.55, 0.6]))
    motion = motion_of_recording(rows)
    assert motion.speed_m_s(0.0) == pytest.approx(0.0, abs=1e-12)
    assert motion.speed_m_s(np.nextafter(0.5, 0)) == pytest.approx(0.0, abs=1e-12)


def test_rows_far_apart_are_corners_and_close_ones_are_not():
    dense = motion_of_recording(recording_from_text(recorded(S_CURVE, 0.01)))
    assert list(np.flatnonzero(dense.corner)) == [0, len(dense.corner) - 1]
    assert motion_of_recording(recording_from_text("\n".join(["time_s,paid_out_m", *GOOD]))).corner.all()


def test_start_is_the_first_row():
    file_time = motion_of_recording(recording_from_text(recorded(S_CURVE, 0.01, 0.4)))
    assert file_time.start_s == pytest.approx(0.4)
    moved = motion_of_recording(recording_from_text(recorded(S_CURVE, 0.01, 0.4)), start_s=2.0)
    assert moved.start_s == 2.0
    assert moved.position_m(3.6) == pytest.approx(file_time.position_m(2.0), abs=1e-9)


# ---- smoothing ---------------------------------------------------------------------------------


def burst(frequency_Hz: float, time_s):
    """An oscillation that swells and fades, at rest at both ends of ten seconds."""
    return np.exp(-(((time_s - 5.0) / 1.2) ** 2)) * np.cos(2 * math.pi * frequency_Hz * (time_s - 5.0))


@pytest.mark.parametrize("frequency_Hz", [1.0, 4.0, 8.0, 16.0])
def test_smoothing_leaves_the_share_it_states_and_delays_nothing(frequency_Hz):
    time_s = np.arange(0, 10, 0.002)
    text = csv_of(time_s, 0.01 * burst(frequency_Hz, time_s))
    motion = motion_of_recording(recording_from_text(text), 8.0)
    near = np.linspace(4.5, 5.5, 501)
    smooth = motion.position_m(near) / 0.01
    expected = smoothing_share(frequency_Hz, 8.0) * burst(frequency_Hz, near)
    assert np.abs(smooth - expected).max() < 0.01


def test_share_is_three_decibels_at_the_frequency_named():
    assert 20 * math.log10(smoothing_share(8.0, 8.0)) == pytest.approx(-3.01, abs=0.005)
    assert smoothing_share(1.0, 8.0) > 0.999
    assert "70.7% at 8 Hz" in smoothing_note(8.0)


def test_smoothing_takes_the_noise_and_leaves_the_move():
    time_s = np.arange(0, 4, 0.002)
    noise = 0.001 * np.random.default_rng(7).standard_normal(len(time_s))
    recording = recording_from_text(csv_of(time_s, S_CURVE.position_m(time_s) + noise))
    rough, smooth = motion_of_recording(recording), motion_of_recording(recording, 8.0)
    near = np.linspace(0.3, 3.7, 3401)
    error = smooth.acceleration_m_s2(near) - S_CURVE.acceleration_m_s2(near)
    assert rough.top_acceleration_m_s2 > 500.0  # a millimetre of noise, 2 ms apart
    assert np.sqrt(np.mean(error**2)) < 0.5
    assert np.abs(smooth.position_m(near) - S_CURVE.position_m(near)).max() < 0.004


def test_smoothing_holds_the_ends_and_the_distance():
    recording = recording_from_text(recorded(S_CURVE, 0.01, 0.5, 4.0))  # moves from the first row on
    motion = motion_of_recording(recording, 8.0)
    assert motion.start_position_m == 0.0
    assert motion.end_position_m == pytest.approx(8.4, rel=1e-9)
    assert 0.0 < motion.start_s < 0.5  # spread to before the first row, at most four periods
    assert abs(motion.acceleration_m_s2(motion.start_s)) < 0.02
    assert np.abs(np.diff(motion.speed_m_s(np.linspace(0, 4.5, 4501)))).max() < 0.012


def test_uneven_rows_may_be_smoothed():
    rng = np.random.default_rng(3)
    time_s = np.arange(801) * 0.005
    time_s[1:-1] += rng.uniform(-0.002, 0.002, 799)
    even = motion_of_recording(recording_from_text(recorded(S_CURVE, 0.005)), 8.0)
    uneven = motion_of_recording(recording_from_text(csv_of(time_s, S_CURVE.position_m(time_s))), 8.0)
    near = np.linspace(0.3, 3.7, 801)
    assert np.abs(even.position_m(near) - uneven.position_m(near)).max() < 2e-4


def test_rows_too_far_apart_for_the_frequency():
    recording = recording_from_text(recorded(S_CURVE, 0.02))
    with pytest.raises(TraceFaults, match=r"can be smoothed at 12\.5 Hz at most, not 40 Hz"):
        motion_of_recording(recording, 40.0)
    with pytest.raises(ValueError, match="above zero"):
        motion_of_recording(recording, 0.0)


def test_a_file_followed(tmp_path):
    file = tmp_path / "winch.csv"
    file.write_text(recorded(S_CURVE, 0.01))
    assert follow_trace(file, start_s=1.0).end_position_m == pytest.approx(8.4, rel=1e-9)
    assert follow_trace(file, smooth_Hz=8.0).total_m == pytest.approx(8.4, rel=1e-9)
