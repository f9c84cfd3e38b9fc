"""The channel frequency class filter of SAE J211-1 (appendix C) and ISO 6487, for g histories."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter, lfilter_zi

CFC_RATE_HZ = 10_000.0


def cfc_coefficients(cfc: float, rate_Hz: float) -> tuple[NDArray, NDArray]:
    """Numerator and denominator of the two-pole filter of SAE J211-1, appendix C, for one direction."""
    corner = math.tan(math.pi * cfc * 2.0775 / rate_Hz)
    d = 1.0 + math.sqrt(2.0) * corner + corner**2
    a0 = corner**2 / d
    b1 = -2.0 * (corner**2 - 1.0) / d
    b2 = (-1.0 + math.sqrt(2.0) * corner - corner**2) / d
    return np.array([a0, 2 * a0, a0]), np.array([1.0, -b1, -b2])


def cfc_filtered(values: NDArray, cfc: float, rate_Hz: float) -> NDArray:
    """A history (n,) filtered forward and backward, started at rest at its first and last value."""
    if len(values) == 0:
        return values
    num, den = cfc_coefficients(cfc, rate_Hz)
    at_rest = lfilter_zi(num, den)
    forward = lfilter(num, den, values, zi=at_rest * values[0])[0]
    return lfilter(num, den, forward[::-1], zi=at_rest * forward[-1])[0][::-1]
