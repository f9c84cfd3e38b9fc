"""Reading a history: the first peak after a time, the largest value within a time."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def first_peak(time_s: Floats, values: Floats, after_s: float, least_rise: float = 0.01) -> tuple[float, float]:
    """First local maximum after a time that stands out: (value, time), the top of the parabola through three samples.

    It stands out when it is above the value at the start by least_rise of that value, and the history falls by as much
    before it rises above it again (ripples on the way up do not count). Raises ValueError when there is none.
    """
    start = int(np.searchsorted(time_s, after_s))
    rise = least_rise * max(abs(float(values[start])), 1.0)
    best = start
    for i in range(start, len(values)):
        if values[i] > values[best]:
            best = i
        elif values[best] > values[start] + rise and values[i] < values[best] - rise:
            return _top(time_s[best - 1 : best + 2], values[best - 1 : best + 2])
    raise ValueError(f"no peak after {after_s} s")


def largest(time_s: Floats, values: Floats, from_s: float, to_s: float) -> tuple[float, float]:
    """Largest sample with from_s <= time <= to_s: (value, time)."""
    within = np.flatnonzero((time_s >= from_s) & (time_s <= to_s))
    i = int(within[np.argmax(values[within])])
    return float(values[i]), float(time_s[i])


def _top(time_s: Floats, values: Floats) -> tuple[float, float]:
    middle = float(time_s[1])
    if time_s[1] - time_s[0] <= 0.0 or time_s[2] - time_s[1] <= 0.0:
        return float(values[1]), middle
    a, b, c = np.polyfit(time_s - middle, values, 2)
    aside = -b / (2.0 * a) if a else 0.0
    return float(c + 0.5 * b * aside), middle + float(aside)
