"""How a span of line hangs under its own weight between its two ends: the catenary, in closed form."""

from __future__ import annotations

import math

# Steeper than this (horizontal over straight way) a span is taken to hang plumb, without sag.
PLUMB = 1e-6


def sag_m(way_m: float, level_m: float, weight_N_per_m: float, tension_N: float) -> float:
    """Vertical sag (m) below the middle of the straight way, of an inextensible catenary. Any text on cables.

    way_m: the straight way between the ends, level_m its horizontal part. tension_N: of the middle, along the way, so
    that the horizontal pull is H = T level / way. With a = H / w the line hangs as a cosh(x / a).

    >>> round(sag_m(30.0, 30.0, 1.605, 168.172), 3)  # the parabola, w L^2 / 8 H, gives 1.074
    1.076
    """
    if level_m < PLUMB * way_m or weight_N_per_m == 0.0:
        return 0.0
    a, half = _shape(way_m, level_m, weight_N_per_m, tension_N)
    tilt = _tilt(way_m, level_m, a, half)
    return a * math.sqrt(1.0 + tilt * tilt) * 2.0 * math.sinh(half / 2.0) ** 2


def line_in_sag_m(way_m: float, level_m: float, weight_N_per_m: float, tension_N: float) -> float:
    """How much longer (m) the hanging line is than the straight way: length^2 = rise^2 + (2 a sinh(level / 2 a))^2."""
    if level_m < PLUMB * way_m or weight_N_per_m == 0.0:
        return 0.0
    a, half = _shape(way_m, level_m, weight_N_per_m, tension_N)
    spread = 2.0 * a * math.sinh(half)
    more = (spread - level_m) * (spread + level_m)  # length^2 - way^2, without the loss of a small difference
    return more / (math.sqrt(way_m * way_m + more) + way_m)


def _shape(way_m: float, level_m: float, weight_N_per_m: float, tension_N: float) -> tuple[float, float]:
    """The catenary's parameter a (m), and half the horizontal way in units of it."""
    a = tension_N * level_m / way_m / weight_N_per_m
    return a, level_m / (2.0 * a)


def _tilt(way_m: float, level_m: float, a: float, half: float) -> float:
    """Slope of the catenary at its middle: sinh(x0 / a) = rise / (2 a sinh(level / 2 a))."""
    rise = math.sqrt(max(way_m * way_m - level_m * level_m, 0.0))
    return rise / (2.0 * a * math.sinh(half))
