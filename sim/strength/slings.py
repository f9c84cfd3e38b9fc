"""Slings with legs: what one leg bears of the force on the sling."""

from __future__ import annotations

import math


def leg_share(legs: int, from_vertical_rad: float) -> float:
    """Part of the sling's force in one leg: 1 / (n cos angle), the angle between leg and force, legs sharing equally.

    Statics of concurrent forces. Raises ValueError for no legs or legs at a right angle to the force and beyond.
    More than two legs share equally only where they are of the same length; the caller says so.
    """
    if legs < 1:
        raise ValueError(f"a sling has at least one leg, not {legs}")
    along = math.cos(from_vertical_rad)
    if not 0.0 <= from_vertical_rad < math.pi / 2 or along < 1e-6:
        raise ValueError(f"legs at {math.degrees(from_vertical_rad):.3g} deg to the force cannot bear it")
    return 1.0 / (legs * along)
