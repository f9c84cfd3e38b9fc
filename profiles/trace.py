"""A recorded trace as a motion: smoothed if wanted, then a cubic spline through it.

Smoothing: a second-order Butterworth low-pass run forward and backward, so nothing is delayed. The
two runs together take off 3 dB (factor 0.71) at the frequency named: each is set to the higher cut-off
that the doubling calls for (D. A. Winter, Biomechanics and Motor Control of Human Movement, on the
correction for the number of passes).
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline, PchipInterpolator

from profiles.motion import Floats, Motion
from profiles.recording import Recording, TraceFaults, read_recording

# Rows closer than this make a dense trace: an integrator's own error control sees its jumps of jerk.
DENSE_STEP_S = 0.02
# Smoothing is run on at least this many samples per period of its frequency.
SAMPLES_PER_PERIOD = 20
# It spreads a movement to both sides; beyond this many periods less than this share is left of it.
SPREAD_PERIODS = 4.0
STILL_SHARE = 1e-9


def follow_trace(path: Path | str, smooth_Hz: float | None = None, start_s: float | None = None) -> Motion:
    """The motion a CSV file records (see profiles.recording for what it must hold).

    smooth_Hz: frequency of the low-pass; None follows every row as it is.
    start_s: when the first row happens; None keeps the file's own times.
    Raises TraceFaults with all that is wrong with the file.
    """
    return motion_of_recording(read_recording(path), smooth_Hz, start_s)


def motion_of_recording(recording: Recording, smooth_Hz: float | None = None, start_s: float | None = None) -> Motion:
    """The motion through a checked recording; beginning and end at rest, position zero at the first row.

    Smoothing spreads a movement to before its first and after its last row, by up to four periods of
    smooth_Hz unless the rows there stand still, so the motion may start before start_s.
    Raises TraceFaults when the rows are too far apart for the frequency.
    """
    time_s, paid_out_m = recording.time_s, recording.paid_out_m
    if start_s is not None:
        time_s = time_s - time_s[0] + start_s
    if smooth_Hz is not None:
        _refuse_too_fast(recording, smooth_Hz)
        time_s, paid_out_m = _smoothed(time_s, paid_out_m, smooth_Hz, recording.step_s)
    spline = CubicSpline(time_s, paid_out_m, bc_type="clamped")
    corner = np.full(len(time_s), float(np.median(np.diff(time_s))) > DENSE_STEP_S)
    corner[[0, -1]] = True
    label = ("trace starts", *[""] * (len(time_s) - 2), "trace ends")
    return Motion(time_s, spline.c[::-1].T, corner, label)


def smoothing_share(frequency_Hz: float, smooth_Hz: float) -> float:
    """Share of an oscillation's amplitude that smoothing leaves: 0.71 at smooth_Hz.

    The law of the analogue filter, 1/(1 + (√2 - 1)(f/f₀)⁴); the sampled one takes off a little more
    as f nears half the sampling rate.

    >>> round(smoothing_share(8.0, 8.0), 3), round(smoothing_share(4.0, 8.0), 3)
    (0.707, 0.975)
    """
    return 1.0 / (1.0 + (math.sqrt(2.0) - 1.0) * (frequency_Hz / smooth_Hz) ** 4)


def smoothing_note(smooth_Hz: float) -> str:
    """What smoothing at this frequency does, as a sentence for a report."""
    at_Hz = [k * smooth_Hz for k in (0.5, 1, 2, 4)]
    shares = ", ".join(f"{smoothing_share(f, smooth_Hz):.1%} at {f:g} Hz" for f in at_Hz)
    return f"smoothed at {smooth_Hz:g} Hz (Butterworth, second order, forward and backward); amplitude left: {shares}"


def _smoothed(time_s: Floats, paid_out_m: Floats, smooth_Hz: float, step_s: float) -> tuple[Floats, Floats]:
    """Uniform samples of the low-passed trace, at rest on both sides of it."""
    # here and not above: it takes a third of a second to import, and few scenarios follow a trace
    from scipy.signal import butter, sosfiltfilt

    step_s = min(step_s, 1.0 / (SAMPLES_PER_PERIOD * smooth_Hz))
    spread_s = SPREAD_PERIODS / smooth_Hz
    n = math.ceil((time_s[-1] - time_s[0] + 2 * spread_s) / step_s)
    times_s = time_s[0] - spread_s + step_s * np.arange(n + 1)
    held = np.clip(times_s, time_s[0], time_s[-1])
    even_m = PchipInterpolator(time_s, paid_out_m)(held)
    # the cut-off of one run, for 3 dB in two, exact for the sampled filter
    cut_off = math.atan(math.tan(math.pi * smooth_Hz * step_s) / (math.sqrt(2.0) - 1.0) ** 0.25) * 2 / math.pi
    smooth_m = sosfiltfilt(butter(2, cut_off, output="sos"), even_m, padtype="constant")
    travel_m = float(np.ptp(paid_out_m))
    still = STILL_SHARE * travel_m
    moving = np.flatnonzero((np.abs(smooth_m - paid_out_m[0]) > still) & (np.abs(smooth_m - paid_out_m[-1]) > still))
    first, last = (max(0, moving[0] - 1), min(n, moving[-1] + 1)) if len(moving) else (0, n)
    smooth_m[: first + 1], smooth_m[last:] = paid_out_m[0], paid_out_m[-1]
    return times_s[first : last + 1], smooth_m[first : last + 1]


def _refuse_too_fast(recording: Recording, smooth_Hz: float) -> None:
    if not (math.isfinite(smooth_Hz) and smooth_Hz > 0):
        raise ValueError(f"the smoothing frequency (Hz) must be above zero, found {smooth_Hz}")
    highest_Hz = 0.25 / recording.step_s
    if smooth_Hz > highest_Hz:
        apart = f"rows {recording.step_s:.4g} s apart"
        raise TraceFaults(
            recording.name, [f"{apart} can be smoothed at {highest_Hz:.3g} Hz at most, not {smooth_Hz:g} Hz"]
        )
