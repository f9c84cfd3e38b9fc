"""How a line lengthens under a standing load: with the logarithm of time, as yarn does in published tests."""

from __future__ import annotations

import math

SINCE_S = 60.0
"""Creep is counted from a minute after the load came on: what comes before is in the stretch curve."""


def crept(per_decade: float, time_s: float) -> float:
    """Strain by creep from a minute until a time (s) after the load came on: so much for each tenfold time.

    >>> round(crept(3e-4, 6000.0), 9)  # two tenfold times
    0.0006
    """
    return per_decade * math.log10(max(time_s, SINCE_S) / SINCE_S)
