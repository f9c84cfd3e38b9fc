"""How near to zero and how large a value may be, by its SI unit: far beyond any rig, and our own choice.

What lies outside is a slip of the keyboard, and arithmetic on it would overflow or vanish on the way.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

ABSOLUTE_ZERO_DEGC = -273.15
"""0 K, by definition: SI Brochure, 9th edition, 2.3.1 (value from memory)."""
HOTTEST_DEGC = 2000.0
"""Any line has burnt or melted long before."""

REACH: Mapping[str, tuple[float, float]] = {
    "": (1e-12, 1e6),
    "m": (1e-9, 1e5),
    "kg": (1e-12, 1e6),
    "s": (1e-9, 1e6),
    "N": (1e-6, 1e12),
    "N/m": (1e-6, 1e12),
    "N m": (1e-6, 1e9),
    "m/s": (1e-9, 1e4),
    "m/s^2": (1e-9, 1e6),
    "m/s^3": (1e-9, 1e9),
    "rad": (1e-9, 1e4),
    "Hz": (1e-6, 1e6),
    "W": (1e-6, 1e9),
    "kg/m": (1e-12, 1e4),
    "m^2": (1e-9, 1e4),
    "kg m^2": (1e-12, 1e6),
}
"""SI unit of a kind -> the least and the greatest size of a value that is not zero."""


def out_of_reach(si: Fraction, unit: str) -> str:
    """What is expected instead of a value in this unit, as words to follow its kind; '' where it is within reach.

    >>> out_of_reach(Fraction(10**6), "m")
    'of at most 100000 m'
    """
    if unit == "degC":
        within = ABSOLUTE_ZERO_DEGC <= si <= HOTTEST_DEGC
        return "" if within else f"from absolute zero to {HOTTEST_DEGC:g} degC"
    least, most = REACH[unit]
    size = float(abs(si))  # as a float, so that the bound itself is within reach
    if size > most:
        return f"of at most {most:.15g} {unit}".strip()
    return f"of at least {least:g} {unit}".strip() if 0.0 < size < least else ""
