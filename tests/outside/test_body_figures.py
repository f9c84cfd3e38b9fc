"""What the body feels: filters and the dynamic response index, beside the standard's formula and integrated equations.

The channel frequency classes are those of SAE J211-1 (1995), appendix C, and ISO 6487, as six public implementations
have them; the low-pass is the four-pole Butterworth of 5 Hz, run once, that a practitioner quotes for amusement rides
(ASTM F2137). The index is X'' + 2 z w X' + w^2 X = a with w = 52.9 rad/s and z = 0.224, DRI = w^2 max X / 9.806
(encyclopedia, after Stech and Payne 1969). Answers to pulses of 1 g above rest were integrated apart from this
program by a differential-equation library, to four digits.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.signal import butter

from sim.studies.body import DRI_G_M_S2, SPINE_DAMPING, SPINE_RAD_S, dynamic_response_index, low_passed
from sim.studies.filters import cfc_coefficients, cfc_filtered
from tests.outside.accuracy.rows import Agrees, closed_form, package, table
from tests.outside.pulses import RATE_HZ, pulse

STANDARD = table("SAE J211-1 (1995), appendix C, evaluated from its formula")
LIBRARY = package("SciPy: Butterworth low-pass of two poles at 2.0775 times the class")
INTEGRATED = package("equation integrated by a differential-equation library")
INDEX = table("encyclopedia on the dynamic response index, after Stech and Payne 1969")


CLASSES = [
    # class, rate Hz, a0, b1, b2
    (60, 10_000, 0.0014523675, 1.8893432242, -0.8951526941),
    (60, 2_000, 0.0298060720, 1.4557282139, -0.5749525021),
    (60, 1_000, 0.0971846253, 0.9455740090, -0.3343125101),
    (180, 10_000, 0.0117962711, 1.6701174633, -0.7173025477),
]


@pytest.mark.parametrize(("cfc", "rate_Hz", "a0", "b1", "b2"), CLASSES)
def test_coefficients_of_a_class(agrees: Agrees, cfc: int, rate_Hz: int, a0: float, b1: float, b2: float):
    num, den = cfc_coefficients(float(cfc), float(rate_Hz))
    case = f"CFC {cfc} at {rate_Hz} Hz"
    for name, ours, theirs in (("a0", num[0], a0), ("b1", -den[1], b1), ("b2", -den[2], b2)):
        agrees(f"{case}: {name}", STANDARD, ours, theirs, allowed_abs=1.01e-10)  # one in the last digit
    coefficients: Any = butter(2, 2.0775 * cfc, fs=rate_Hz, output="ba")
    for name, ours, theirs in zip(("a1", "a2"), num[1:], coefficients[0][1:], strict=True):
        agrees(f"{case}: {name} by a library", LIBRARY, ours, theirs, 1e-9)
    agrees(f"{case}: gain at rest", closed_form("a0 + a1 + a2 + b1 + b2 = 1"), num.sum() - den[1:].sum(), 1.0, 1e-12)


@pytest.mark.parametrize(("cfc", "hertz", "decibel"), [(60, 100, -3.008), (60, 60, -0.454), (180, 300, -2.994)])
def test_what_a_class_leaves_of_a_sine(agrees: Agrees, cfc: int, hertz: int, decibel: float):
    """Forward and backward the corner lies at 1.667 times the class."""
    sine = np.sin(2.0 * math.pi * hertz * np.arange(0.0, 2.0, 1.0 / RATE_HZ))
    left = cfc_filtered(sine, float(cfc), RATE_HZ)[5000:15_000]
    found = 20.0 * math.log10(math.sqrt(2.0) * float(np.std(left)))
    agrees(f"CFC {cfc}: sine of {hertz} Hz", STANDARD, found, decibel, unit="dB", allowed_abs=2e-3)


LOW_PASS = [
    ("half-sine", 50, 0.3690),
    ("half-sine", 100, 0.6698),
    ("half-sine", 200, 0.9644),
    ("half-sine", 300, 1.0155),
    ("half-sine", 500, 0.9979),
    ("rectangular", 100, 0.9521),
    ("rectangular", 200, 1.1083),
]


@pytest.mark.parametrize(("shape", "length_ms", "expected"), LOW_PASS)
def test_the_low_pass(agrees: Agrees, shape: str, length_ms: int, expected: float):
    found = low_passed(pulse(shape, 1e-3 * length_ms), RATE_HZ).max() - 1.0
    agrees(f"5 Hz low-pass: {shape} of {length_ms} ms", INTEGRATED, found, expected, 2e-3, "g")


def test_how_late_the_low_pass_is(agrees: Agrees):
    """A step of 1 g overshoots by 10.8 %, most 0.178 s after it, half of it after about 0.09 s."""
    answer = low_passed(np.concatenate((np.ones(1000), np.full(9000, 2.0))), RATE_HZ) - 1.0
    agrees("5 Hz low-pass: top of a step", INTEGRATED, answer.max(), 1.1083, 1e-4, "g")
    late_s = (int(answer.argmax()) - 1000) / RATE_HZ
    agrees("5 Hz low-pass: time of that top", INTEGRATED, late_s, 0.178, unit="s", allowed_abs=6e-4)
    half_s = (int(np.argmax(answer > 0.5)) - 1000) / RATE_HZ
    agrees("5 Hz low-pass: delay of half the step", INTEGRATED, half_s, 0.09, unit="s", allowed_abs=5e-3)


PULSES = [
    ("half-sine", 20, 0.4814),
    ("half-sine", 50, 1.0442),
    ("half-sine", 100, 1.3372),
    ("half-sine", 200, 1.1771),
    ("half-sine", 500, 1.0122),
    ("half-sine", 1000, 1.0031),
    ("rectangular", 20, 0.7413),
    ("rectangular", 50, 1.4301),
    ("rectangular", 100, 1.4857),
    ("rectangular", 500, 1.4857),
]


@pytest.mark.parametrize(("shape", "length_ms", "expected"), PULSES)
def test_the_index_of_pulses_of_one_g(agrees: Agrees, shape: str, length_ms: int, expected: float):
    found = dynamic_response_index(pulse(shape, 1e-3 * length_ms), RATE_HZ)
    agrees(f"dynamic response index: {shape} of {length_ms} ms", INTEGRATED, found, expected, 2e-3)


def test_closed_forms_of_the_index(agrees: Agrees):
    step = np.concatenate((np.ones(1000), np.full(20_000, 2.0)))
    overshoot = closed_form("1 + exp(-pi z/sqrt(1 - z^2)), vibration textbooks")
    agrees("dynamic response index: step of 1 g", overshoot, dynamic_response_index(step, RATE_HZ), 1.48575, 1e-4)
    # 1 m/s within a millisecond
    short = np.ones(20_000)
    short[1000:1010] = 1.0 + 1.0 / (DRI_G_M_S2 * 1e-3)
    agrees("dynamic response index: 1 m/s at once", INDEX, dynamic_response_index(short, RATE_HZ), 3.96, 5e-3)


def test_the_constants_of_the_index(agrees: Agrees):
    """The published 17.7 is 62 mm of spine; 34.51 kg, 96.6 kN/m and 818.1 N s/m give frequency and damping."""
    agrees("spine at an index of 17.7", INDEX, 1e3 * 17.7 * DRI_G_M_S2 / SPINE_RAD_S**2, 62.0, 1e-3, "mm")
    lumped = table("mass, stiffness and damping of the spine, value from memory")
    mass, stiffness, damping = 34.51, 96.6e3, 818.1
    agrees("spine's frequency", lumped, SPINE_RAD_S, math.sqrt(stiffness / mass), 1e-3, "rad/s")
    agrees("spine's damping ratio", lumped, SPINE_DAMPING, damping / (2.0 * math.sqrt(stiffness * mass)), 1e-3)
