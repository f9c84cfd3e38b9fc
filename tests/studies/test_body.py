"""Figures of the body against SciPy's integrators and the closed forms of a damped mass on a spring."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.signal import butter, filtfilt, lsim, lti

from sim.studies.body import above, body_figures, dynamic_response_index, low_passed
from sim.studies.filters import cfc_coefficients, cfc_filtered
from tests.outside import rigs as outside_rigs

RATE_HZ = 10_000.0
W, Z = 52.9, 0.224


def pulse(shape: str, length_s: float, end_s: float = 2.0) -> np.ndarray:
    """Rest at 1 g with a pulse of one more g from 0.1 s on."""
    t = np.arange(0.0, end_s, 1.0 / RATE_HZ) - 0.1
    inside = (t >= 0.0) & (t <= length_s)
    bump = np.sin(np.pi * t / length_s) if shape == "half-sine" else np.ones_like(t)
    return 1.0 + np.where(inside, bump, 0.0)


@pytest.mark.parametrize(
    ("shape", "length_s", "expected"),
    [
        ("half-sine", 0.02, 0.4814),
        ("half-sine", 0.05, 1.0442),
        ("half-sine", 0.1, 1.3372),
        ("half-sine", 0.2, 1.1771),
        ("half-sine", 0.5, 1.0122),
        ("half-sine", 1.0, 1.0031),
        ("rectangular", 0.02, 0.7413),
        ("rectangular", 0.05, 1.4301),
        ("rectangular", 0.5, 1.4857),
    ],
)
def test_the_index_of_pulses_of_one_g(shape: str, length_s: float, expected: float):
    # X'' + 2 Z W X' + W^2 X = a, integrated once by a library for these pulses (own computation, four digits)
    assert dynamic_response_index(pulse(shape, length_s), RATE_HZ) == pytest.approx(expected, rel=2e-3)


def test_the_index_against_a_library_integrator_and_its_closed_forms():
    g = 1.0 + 3.0 * np.sin(np.linspace(0.0, 9.0, 12_001)) * np.exp(-np.linspace(0.0, 2.0, 12_001))
    times = np.arange(len(g)) / RATE_HZ

    def slope(t: float, y: np.ndarray) -> list[float]:
        return [y[1], 9.806 * (np.interp(t, times, g) - 1.0) - 2.0 * Z * W * y[1] - W * W * y[0]]

    found = solve_ivp(slope, (0.0, times[-1]), [0.0, 0.0], rtol=1e-9, atol=1e-12, max_step=1e-3, t_eval=times)
    assert dynamic_response_index(g, RATE_HZ) == pytest.approx(W * W * found.y[0].max() / 9.806, rel=1e-4)
    step = np.concatenate((np.ones(1000), np.full(20_000, 2.0)))
    assert dynamic_response_index(step, RATE_HZ) == pytest.approx(
        1 + math.exp(-math.pi * Z / math.sqrt(1 - Z * Z)), rel=1e-3
    )
    # a very short pulse is a change of speed: DRI = 3.96 times it in m/s
    short = np.ones(20_000)
    short[1000:1010] = 1.0 + 1.0 / (9.806 * 1e-3)  # 1 m/s within a millisecond
    assert dynamic_response_index(short, RATE_HZ) == pytest.approx(3.96, rel=0.01)
    assert dynamic_response_index(np.ones(500), RATE_HZ) == 0.0


@pytest.mark.parametrize(
    ("shape", "length_s", "expected"),
    [
        ("half-sine", 0.05, 0.3690),
        ("half-sine", 0.1, 0.6698),
        ("half-sine", 0.2, 0.9644),
        ("half-sine", 0.3, 1.0155),
        ("half-sine", 0.5, 0.9979),
        ("rectangular", 0.1, 0.9521),
        ("rectangular", 0.2, 1.1083),
    ],
)
def test_the_low_pass_of_five_hertz(shape: str, length_s: float, expected: float):
    g = pulse(shape, length_s)
    ours = low_passed(g, RATE_HZ)
    assert ours.max() - 1.0 == pytest.approx(expected, rel=2e-3)
    # the same four poles and unit gain as a continuous system, H(s) = 1 / prod(1 - s/p), by a library integrator
    poles = 2.0 * math.pi * 5.0 * np.exp(1j * np.pi * (2 * np.arange(1, 5) + 3) / 8)
    system = lti([], poles, float(np.prod(-poles).real))
    answer: Any = lsim(system, g - 1.0, np.arange(len(g)) / RATE_HZ)
    theirs = np.real(answer[1]) + 1.0
    assert ours == pytest.approx(theirs, abs=2e-3)


@pytest.mark.parametrize(
    ("cfc", "rate_Hz", "a0", "b1", "b2"),
    [
        (60.0, 10_000.0, 0.0014523675, 1.8893432242, -0.8951526941),
        (60.0, 2_000.0, 0.0298060720, 1.4557282139, -0.5749525021),
        (60.0, 1_000.0, 0.0971846253, 0.9455740090, -0.3343125101),
        (180.0, 10_000.0, 0.0117962711, 1.6701174633, -0.7173025477),
    ],
)
def test_a_class_has_the_coefficients_of_the_standards_formula(
    cfc: float, rate_Hz: float, a0: float, b1: float, b2: float
):
    # SAE J211-1 (1995), appendix C, as six public implementations have it; evaluated apart from this program. The same
    # filter by a library: a Butterworth low-pass of two poles at 2.0775 times the class.
    num, den = cfc_coefficients(cfc, rate_Hz)
    assert (num[0], -den[1], -den[2]) == pytest.approx((a0, b1, b2), abs=1.01e-10)  # one in the last digit
    theirs: Any = butter(2, 2.0775 * cfc, fs=rate_Hz)
    assert num == pytest.approx(theirs[0], rel=1e-9)
    assert den == pytest.approx(theirs[1], rel=1e-9)


@pytest.mark.parametrize(
    ("cfc", "hertz", "decibel"), [(60.0, 100.0, -3.008), (60.0, 60.0, -0.454), (180.0, 300.0, -2.994)]
)
def test_what_a_class_leaves_of_a_sine(cfc: float, hertz: float, decibel: float):
    # Run forward and backward, the corner lies at 1.667 times the class: 100 Hz for 60, 300 Hz for 180 (-3 dB).
    sine = np.sin(2.0 * math.pi * hertz * np.arange(0.0, 2.0, 1.0 / RATE_HZ))
    left = cfc_filtered(sine, cfc, RATE_HZ)[5000:15_000]
    assert 20.0 * math.log10(math.sqrt(2.0) * float(np.std(left))) == pytest.approx(decibel, abs=2e-3)


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
