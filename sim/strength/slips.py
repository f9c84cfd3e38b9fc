"""What was likely meant by a number that does not fit: the usual slips of unit, size and kind of figure."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sim.strength.catalogue import LineType, NoSuchSize
from sim.strength.laws import INCH_M, POUND_FORCE_N, POUND_KG, SAME_SIZE, STANDARD_GRAVITY_M_S2

NOMINAL_INCHES = tuple(Fraction(n, 64) for n in (2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 24, 28, 32, 36, 40))
_OVERSIZE_IN = {
    Fraction(1, 8): 0.014,
    Fraction(5, 32): 0.016,
    Fraction(3, 16): 0.018,
    Fraction(7, 32): 0.018,
    Fraction(1, 4): 0.018,
}
"""How much more than its name inch cable may measure, and never less: FAA AC 43.13-1B (1998), Table 7-3."""
_MEAN_OVER_MINIMUM = 1.15


@dataclass(frozen=True)
class Slip:
    """The number times `factor` would fit if it was written by this slip."""

    factor: float
    words: str


FORCE_SLIPS = (
    Slip(POUND_FORCE_N, "lbf written as N"),
    Slip(1.0 / POUND_FORCE_N, "N written as lbf"),
    Slip(STANDARD_GRAVITY_M_S2, "kgf written as N"),
    Slip(1.0 / STANDARD_GRAVITY_M_S2, "N written as kgf"),
    Slip(POUND_KG, "lbf written as kgf"),
    Slip(1.0 / POUND_KG, "kgf written as lbf"),
    Slip(1000.0, "kN written as N"),
    Slip(0.001, "N written as kN"),
    Slip(0.5, "the strength of two parts of line"),
)
WORKING_LOADS = tuple(
    Slip(float(factor), f"a working load limit at {factor}:1; then write working_load_limit and marked_factor")
    for factor in (5, 4, 6, 7, 8, 10, 12)
)
_METRE_OF_100_FEET = POUND_KG / 30.48
MASS_SLIPS = (
    Slip(0.01, "kg/100 m written as kg/m"),
    Slip(100.0, "kg/m written as kg/100 m"),
    Slip(0.001, "g/m written as kg/m"),
    Slip(1000.0, "kg/m written as g/m"),
    Slip(_METRE_OF_100_FEET * 100.0, "lb/100 ft written as kg/100 m"),
    Slip(1.0 / (_METRE_OF_100_FEET * 100.0), "kg/100 m written as lb/100 ft"),
    Slip(POUND_KG / 0.3048, "lb/ft written as kg/m"),
    Slip(0.3048 / POUND_KG, "kg/m written as lb/ft"),
)
STRETCH_SLIPS = (
    Slip(10.0, "a stretch ten times too small, mm/m written as cm/m"),
    Slip(100.0, "a stretch a hundred times too small, a share written as percent"),
)


def likely(value: float, low: float, high: float, slips: Iterable[Slip]) -> str:
    """The words of the first slip that brings the value into its range, empty where none does."""
    return next((slip.words for slip in slips if low <= value * slip.factor <= high), "")


def likely_size(entry: LineType, diameter_m: float, strength_N: float) -> str:
    """A neighbouring size of the type whose strength the number is, within 3 %: '1/4 in (31.1 kN)'; empty if none."""
    found: list[tuple[float, str]] = []
    for size_m, words in _neighbours(diameter_m):
        try:
            there = entry.at(size_m).breaking_strength_N
        except NoSuchSize:
            continue
        if there and abs(strength_N / there - 1.0) <= 0.03:
            found.append((abs(strength_N / there - 1.0), f"{words} ({there / 1000:.3g} kN)"))
    return min(found)[1] if found else ""


def inch_size_meant(diameter_m: float) -> str:
    """The nominal inch size a diameter in millimetres is rounded from, or measured on: cable of 1/4 in, called 6.4 mm,
    measures up to 6.8. Empty for whole and half millimetres, which are metric sizes.

    >>> inch_size_meant(0.0064), inch_size_meant(0.0067), inch_size_meant(0.006), inch_size_meant(0.25 * 0.0254)
    ('1/4 in', '1/4 in', '', '')
    """
    halves = diameter_m * 2000.0
    if abs(halves - round(halves)) < 1e-6:
        return ""
    off_m = {size: diameter_m - float(size) * INCH_M for size in NOMINAL_INCHES}
    if any(abs(off) <= SAME_SIZE * float(size) * INCH_M for size, off in off_m.items()):
        return ""
    rounded = (size for size, off in off_m.items() if abs(off) <= 0.02 * float(size) * INCH_M)
    measured = (size for size, over in _OVERSIZE_IN.items() if 0.0 < off_m[size] <= over * INCH_M)
    size = next(rounded, None) or next(measured, None)
    return f"{size} in" if size else ""


def likely_mean(strength_N: float, high_N: float) -> bool:
    """Whether a strength lies above the catalogue's minimum by as much as a mean of tests does."""
    return high_N < strength_N <= _MEAN_OVER_MINIMUM * high_N


def says_mean(origin: str) -> bool:
    """Whether the words beside a number call it a mean."""
    words = origin.casefold().replace(",", " ").replace(".", " ").split()
    return any(word in words for word in ("mean", "average", "typical", "avg"))


def _neighbours(diameter_m: float) -> Sequence[tuple[float, str]]:
    """Nominal sizes from two thirds to one and a half times the diameter, it left out."""
    inches = [(float(size) * INCH_M, f"{size} in") for size in NOMINAL_INCHES]
    low, high = math.ceil(diameter_m * 1000.0 / 1.5), math.floor(diameter_m * 1000.0 * 1.5)
    metric = [(mm / 1000.0, f"{mm} mm") for mm in range(low, high + 1)]
    near = (each for each in (*inches, *metric) if 1 / 1.5 <= each[0] / diameter_m <= 1.5)
    return [each for each in near if abs(each[0] / diameter_m - 1.0) > SAME_SIZE]
