"""The stretch curve: force against strain, monotone through its points, linear beyond the last, zero for no strain."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

# A curve that starts too flat would leave a slack line without any stiffness; real line takes up at no less than
# this fraction of the stiffness to its first measured point.
LEAST_FIRST_SLOPE = 0.25


def curve_pieces(strain: Sequence[float], force_N: Sequence[float]) -> tuple[NDArray, NDArray]:
    """Pieces of the monotone cubic interpolant (Fritsch and Carlson, SIAM J. Numer. Anal. 17, 1980, as in SciPy).

    strain, force_N: points above zero, strictly increasing. Returns breakpoints (n + 1,), the last of them where the
    linear continuation starts, and coefficients (n + 1, 5): force c0 + c1 x + c2 x^2 + c3 x^3 in N and the energy per
    unstretched metre stored at the piece's start in J/m.
    """
    x = np.concatenate(([0.0], np.asarray(strain, float)))
    f = np.concatenate(([0.0], np.asarray(force_N, float)))
    if np.any(np.diff(x) <= 0) or np.any(np.diff(f) <= 0):
        raise ValueError("a stretch curve must rise with strain")
    if len(x) == 2:
        slopes = np.full(2, f[1] / x[1])
    else:
        slopes = PchipInterpolator(x, f).derivative()(x)
        slopes[0] = max(slopes[0], LEAST_FIRST_SLOPE * f[1] / x[1])
        slopes[-1] = max(slopes[-1], (f[-1] - f[-2]) / (x[-1] - x[-2]))
    n = len(x) - 1
    c = np.zeros((n + 1, 5))
    for k in range(n):
        h, df = x[k + 1] - x[k], (f[k + 1] - f[k]) / (x[k + 1] - x[k])
        c[k, 0], c[k, 1] = f[k], slopes[k]
        c[k, 2] = (3 * df - 2 * slopes[k] - slopes[k + 1]) / h
        c[k, 3] = (slopes[k] + slopes[k + 1] - 2 * df) / h**2
        area = h * (c[k, 0] + h * (c[k, 1] / 2 + h * (c[k, 2] / 3 + h * c[k, 3] / 4)))
        c[k + 1, 4] = c[k, 4] + area
    c[n, 0], c[n, 1] = f[n], slopes[n]
    return x, c


def strain_at(x: NDArray, c: NDArray, force_N: float) -> float:
    """Strain at which a curve carries a force (N >= 0); the inverse of the curve, to rounding."""
    if force_N <= 0.0:
        return 0.0
    k = len(x) - 1
    while k > 0 and c[k, 0] > force_N:
        k -= 1
    if k == len(x) - 1:
        return float(x[k] + (force_N - c[k, 0]) / c[k, 1])
    low, high = 0.0, x[k + 1] - x[k]
    s = (force_N - c[k, 0]) / c[k, 1]
    for _ in range(200):
        s = s if low <= s <= high else 0.5 * (low + high)
        miss = c[k, 0] + s * (c[k, 1] + s * (c[k, 2] + s * c[k, 3])) - force_N
        low, high = (s, high) if miss < 0 else (low, s)
        step = miss / (c[k, 1] + s * (2 * c[k, 2] + s * 3 * c[k, 3]))
        s -= step
        if abs(step) < 1e-15 * max(high, 1e-12):
            break
    return float(x[k] + s)


def slope_at(x: NDArray, c: NDArray, strain: float) -> float:
    """Stiffness df/dstrain (N) of a curve at a strain."""
    k = max(int(np.searchsorted(x, strain, side="right")) - 1, 0)
    d = strain - x[k]
    return float(c[k, 1] + d * (2 * c[k, 2] + d * 3 * c[k, 3]))
