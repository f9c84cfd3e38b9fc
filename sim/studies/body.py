"""What the torso feels, from its g history: filters, durations, jerk and the dynamic response index.

The index is the answer of one mass on a spring and a damper that stand for the spine, X'' + 2 z w X' + w^2 X = a(t)
with w = 52.9 rad/s and z = 0.224, and DRI = w^2 max X / 9.806 (Stech and Payne 1969, as given in encyclopedias). It was
made for a seated person pushed along the spine; here a is what is felt beyond rest, g - 1, taken as if it all went
along the spine of an upright body.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, cont2discrete, lfilter, sosfilt, sosfilt_zi

from sim.results.body import AboveLevel, BodyFigures
from sim.studies.filters import cfc_filtered

SPINE_RAD_S, SPINE_DAMPING = 52.9, 0.224
DRI_G_M_S2 = 9.806
LOW_PASS_HZ, LOW_PASS_POLES = 5.0, 4
# Levels whose durations are kept, as far as they are reached.
LEVELS_G = (2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0)

Floats = NDArray[np.float64]


def body_figures(g: Floats, rate_Hz: float) -> BodyFigures | None:
    """The figures of a g history (n,) sampled at rate_Hz; None where it is shorter than the filters can take."""
    if len(g) < 3:
        return None
    smooth = cfc_filtered(g, 60.0, rate_Hz)
    return BodyFigures(
        peak_g_cfc180=float(cfc_filtered(g, 180.0, rate_Hz).max()),
        peak_g_low_pass_5Hz=float(low_passed(g, rate_Hz).max()),
        peak_jerk_g_s=float(np.abs(np.gradient(smooth)).max() * rate_Hz),
        dynamic_response_index=dynamic_response_index(g, rate_Hz),
        above=tuple(above(smooth, level, rate_Hz) for level in LEVELS_G if smooth.max() > level),
    )


def low_passed(g: Floats, rate_Hz: float) -> Floats:
    """The history (n,) through a four-pole Butterworth low-pass of 5 Hz, forward only, begun at rest."""
    sections = butter(LOW_PASS_POLES, LOW_PASS_HZ, fs=rate_Hz, output="sos")
    return np.asarray(sosfilt(sections, g, zi=sosfilt_zi(sections) * g[0])[0])


def dynamic_response_index(g: Floats, rate_Hz: float) -> float:
    """The index of a g history (n,), begun at rest at 1 g; between samples the history is taken as straight."""
    w, z = SPINE_RAD_S, SPINE_DAMPING
    discrete: Any = cont2discrete(([1.0], [1.0, 2.0 * z * w, w * w]), 1.0 / rate_Hz, method="foh")
    compressed = lfilter(np.ravel(discrete[0]), discrete[1], (g - 1.0) * DRI_G_M_S2)
    return float(w * w * max(np.max(compressed), 0.0) / DRI_G_M_S2)


def above(g: Floats, level_g: float, rate_Hz: float) -> AboveLevel:
    """How long a history (n,) lies above a level; between samples it is taken as straight."""
    over = g > level_g
    changes = np.flatnonzero(over[1:] != over[:-1])
    share = (level_g - g[changes]) / (g[changes + 1] - g[changes])
    times = (changes + share) / rate_Hz
    if over[0]:
        times = np.concatenate(([0.0], times))
    if over[-1]:
        times = np.concatenate((times, [(len(g) - 1) / rate_Hz]))
    lengths = times[1::2] - times[::2]
    return AboveLevel(level_g, float(lengths.max(initial=0.0)), float(lengths.sum()))
