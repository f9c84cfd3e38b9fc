"""What was likely meant by a number that does not fit: the usual slips of unit, size and kind of figure."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sim.strength.catalogue import LineType, NoSuchSize
from sim.strength.laws import INCH_M, POUND_FORCE_N, POUND_KG, SAME_SIZE, STANDARD_GRAVITY_M_S2

NOMINAL_INCHES = tuple(Fraction(n, 64) for n in (2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 24, 28, 32, 36, 40))
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
    """The nominal inch size a diameter in millimetres is rounded from: 6.4 mm is 1/4 in. Empty for whole millimetres.

    >>> inch_size_meant(0.0064), inch_size_meant(0.006), inch_size_meant(0.25 * 0.0254)
    ('1/4 in', '', '')
    """
    halves = diameter_m * 2000.0
    if abs(halves - round(halves)) < 1e-6:
        return ""
    for size in NOMINAL_INCHES:
        off = abs(diameter_m / (float(size) * INCH_M) - 1.0)
        if SAME_SIZE < off <= 0.02:
            return f"{size} in"
    return ""


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
