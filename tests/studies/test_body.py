"""Figures of the body over whole histories, against SciPy's integrators; single values stand in tests/outside."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.signal import butter, filtfilt, lsim, lti

from sim.studies.body import above, body_figures, dynamic_response_index, low_passed
from tests.outside import rigs as outside_rigs
from tests.outside.pulses import RATE_HZ, pulse

W, Z = 52.9, 0.224


def test_the_index_of_a_long_history_against_a_library_integrator():
    g = 1.0 + 3.0 * np.sin(np.linspace(0.0, 9.0, 12_001)) * np.exp(-np.linspace(0.0, 2.0, 12_001))
    times = np.arange(len(g)) / RATE_HZ

    def slope(t: float, y: np.ndarray) -> list[float]:
        return [y[1], 9.806 * (np.interp(t, times, g) - 1.0) - 2.0 * Z * W * y[1] - W * W * y[0]]

    found = solve_ivp(slope, (0.0, times[-1]), [0.0, 0.0], rtol=1e-9, atol=1e-12, max_step=1e-3, t_eval=times)
    assert dynamic_response_index(g, RATE_HZ) == pytest.approx(W * W * found.y[0].max() / 9.806, rel=1e-4)
    assert dynamic_response_index(np.ones(500), RATE_HZ) == 0.0


@pytest.mark.parametrize(
    ("shape", "length_s"), [("half-sine", 0.05), ("half-sine", 0.3), ("rectangular", 0.1), ("rectangular", 0.2)]
)
def test_the_low_pass_of_five_hertz_all_along(shape: str, length_s: float):
    g = pulse(shape, length_s)
    ours = low_passed(g, RATE_HZ)
    # the same four poles and unit gain as a continuous system, H(s) = 1 / prod(1 - s/p), by a library integrator
    poles = 2.0 * math.pi * 5.0 * np.exp(1j * np.pi * (2 * np.arange(1, 5) + 3) / 8)
    system = lti([], poles, float(np.prod(-poles).real))
    answer: Any = lsim(system, g - 1.0, np.arange(len(g)) / RATE_HZ)
    theirs = np.real(answer[1]) + 1.0
    assert ours == pytest.approx(theirs, abs=2e-3)


def test_traces_hold_g_by_both_classes():
    # By a library's forward and backward filter; both are asked for at 10 kHz, the trace keeps every so manieth value.
    run = outside_rigs.run(
        outside_rigs.scenario(
            performers={"p": outside_rigs.performer(80.0, outside_rigs.at(0, 0, 10), release_s=0.1)},
            lines={"line": outside_rigs.line(60e3, ["anchor", "p"], damping_s=5e-3, length_m=4.0)},
            anchors={"anchor": outside_rigs.anchor(0, 0, 13)},
            duration_s=2.0,
            sample_rate_Hz=RATE_HZ,
        )
    )
    raw, body = run.trace.columns["g:p"], run.case.performers["p"].body
    assert body is not None
    for cfc, peak in ((60, run.case.performers["p"].peak_g_cfc60), (180, body.peak_g_cfc180)):
        kept = run.trace.columns[f"g_cfc{cfc}:p"]
        assert kept.max() == peak
        coefficients: Any = butter(2, 2.0775 * cfc, fs=RATE_HZ)
        theirs = filtfilt(coefficients[0], coefficients[1], raw)
        assert kept[500:-500] == pytest.approx(theirs[500:-500], abs=1e-6)


def test_durations_above_a_level_are_those_of_a_triangle():
    g = np.concatenate((np.linspace(1.0, 5.0, 4001), np.linspace(5.0, 1.0, 4001)[1:], np.linspace(1.0, 3.0, 2001)[1:]))
    at_three = above(g, 3.0, RATE_HZ)
    assert (at_three.longest_s, at_three.total_s) == pytest.approx((0.4, 0.4), abs=1e-9)
    at_two = above(g, 2.0, RATE_HZ)
    assert at_two.longest_s == pytest.approx(0.6, abs=1e-9)
    assert at_two.total_s == pytest.approx(0.6 + 0.1, abs=1e-9)
    assert above(g, 5.5, RATE_HZ).total_s == 0.0
    assert above(g, 0.5, RATE_HZ).longest_s == pytest.approx((len(g) - 1) / RATE_HZ)


def test_jerk_is_the_slope_of_a_slow_ramp():
    ramp = np.concatenate((np.ones(2000), 1.0 + np.linspace(0.0, 4.0, 8001), np.full(2000, 4.999)))
    figures = body_figures(ramp, RATE_HZ)
    assert figures is not None
    assert figures.peak_jerk_g_s == pytest.approx(5.0, rel=0.05)
    assert [a.level_g for a in figures.above] == [2.0, 3.0, 4.0]
    assert body_figures(np.ones(2), RATE_HZ) is None
