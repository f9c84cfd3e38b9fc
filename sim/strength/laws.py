"""Numbers with a range, a source and a status, and the laws that give one from a line's diameter.

The catalogue keeps published numbers in the units they were published in, so a reader can hold them against the page;
they become SI here and nowhere else.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass as frozen_dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Literal

import numpy as np
from pydantic import ConfigDict, Field, model_validator
from pydantic.dataclasses import dataclass

from sim.strength.data_file import parsed

Status = Literal["read", "from memory", "common practice", "computed", "stated", "unknown"]
"""read: in the source named. from memory: believed, no source found. common practice: used in the trade, no source.
computed: from other numbers, the source says how. stated: a user's own record. unknown: nobody told us."""

UNSOURCED = ("from memory", "common practice", "unknown")
"""Statuses that need evidence before anyone relies on what bears them."""

DATA = Path(__file__).parent / "data"
STRICT = ConfigDict(extra="forbid", allow_inf_nan=False)

POUND_FORCE_N = 4.4482216152605
POUND_KG = 0.45359237
STANDARD_GRAVITY_M_S2 = 9.80665
INCH_M = 0.0254
FOOT_M = 0.3048

# unit -> (factor to SI, power of the diameter in metres it is multiplied by)
_UNITS: Mapping[str, tuple[float, int]] = {
    "lbf": (POUND_FORCE_N, 0),
    "kN": (1000.0, 0),
    "tf": (1000.0 * STANDARD_GRAVITY_M_S2, 0),
    "g/m": (1e-3, 0),
    "lb/100 ft": (POUND_KG / (100.0 * FOOT_M), 0),
    "N per mm2 of d2": (1e6, 2),
    "lbf per in2 of d2": (POUND_FORCE_N / INCH_M**2, 2),
    "g/m per mm2 of d2": (1e3, 2),
    "kg/100 m per mm2 of d2": (1e4, 2),
    "ksi of circle": (1000.0 * POUND_FORCE_N / INCH_M**2 * math.pi / 4.0, 2),
    "GPa of circle": (1e9 * math.pi / 4.0, 2),
    "kg/m3 of circle": (math.pi / 4.0, 2),
}

SMALLEST, LARGEST = 1e-9, 1e9
"""Of a number in the unit it is written in; our own choice, far beyond any line."""
LARGEST_SIZE_M = 0.5
"""Of a diameter; our own choice."""
SAME_SIZE = 0.003
"""Relative difference within which a diameter is a nominal inch size: 4 mm (0.8 % off 5/32 in) is not."""


@frozen_dataclass(frozen=True)
class Sourced:
    """One number in SI with its range, the text of its source and its status."""

    value: float
    low: float
    high: float
    source: str
    status: str

    @property
    def needs_evidence(self) -> bool:
        """Whether no source stands behind it."""
        return self.status in UNSOURCED


@cache
def source_texts() -> Mapping[str, str]:
    """Every source of the catalogue by its key."""
    return parsed((DATA / "sources.yaml").read_text(encoding="utf-8"))


def source_text(key: str) -> str:
    """The text of a source. Raises ValueError for a key that sources.yaml does not have.

    Words with a space between are no key but the text itself: so a user's own record says where a number comes from.
    """
    if " " in key.strip():
        return key.strip()
    try:
        return source_texts()[key]
    except KeyError:
        raise ValueError(f"source '{key}' is not in sources.yaml") from None


@dataclass(frozen=True, config=STRICT)
class Number:
    """A number of the catalogue as written: value, range, source key, status."""

    value: float
    range: tuple[float, float]
    source: str
    status: Status

    @model_validator(mode="after")
    def _check(self) -> Number:
        low, high = self.range
        if not low <= self.value <= high:
            raise ValueError(f"value {self.value} is outside its range {low} to {high}")
        if low < 0.0 or high > LARGEST:
            raise ValueError(f"range {low} to {high} leaves 0 to {LARGEST:g}")
        source_text(self.source)
        return self

    def sourced(self) -> Sourced:
        """The same number with its source spelled out."""
        return Sourced(self.value, *self.range, source_text(self.source), self.status)


@dataclass(frozen=True, config=STRICT)
class Said:
    """Something of the catalogue that is known in words only, or not known at all."""

    says: str
    status: Status
    source: str = ""

    @model_validator(mode="after")
    def _check(self) -> Said:
        if (self.status == "unknown") == bool(self.source):
            raise ValueError("words have a source, unless their status is unknown")
        if self.source:
            source_text(self.source)
        return self

    @property
    def source_in_words(self) -> str:
        """The source spelled out, empty where nothing is known."""
        return source_text(self.source) if self.source else ""


@dataclass(frozen=True, config=STRICT)
class ByTemperature:
    """What is left of a strength at a temperature in degC, as a factor; nothing is claimed beyond the last point.

    Linear between points; in steps (a value holds from the point before up to its own) where published so.
    """

    points: Mapping[float, float]
    range_percent: tuple[float, float]
    source: str
    status: Status
    steps: bool = False

    @model_validator(mode="after")
    def _check(self) -> ByTemperature:
        temperatures, factors = list(self.points), list(self.points.values())
        if temperatures != sorted(set(temperatures)) or factors != sorted(factors, reverse=True):
            raise ValueError("temperatures rise and what is left of the strength never does")
        if not (factors and factors[-1] > 0.0 and factors[0] <= 1.0):
            raise ValueError("a factor is above 0 and at most 1")
        source_text(self.source)
        return self

    @property
    def highest_degC(self) -> float:
        """Where the curve ends."""
        return max(self.points)

    def at(self, temperature_degC: float) -> Sourced | None:
        """The factor at a temperature; below the first point the first value. None beyond the last point."""
        temperatures, factors = list(self.points), list(self.points.values())
        if temperature_degC > temperatures[-1]:
            return None
        if self.steps:
            value = next(f for t, f in self.points.items() if temperature_degC <= t)
        else:
            value = float(np.interp(temperature_degC, temperatures, factors))
        if value >= 1.0:
            return Sourced(1.0, 1.0, 1.0, source_text(self.source), self.status)
        low, high = (min(value * (1.0 + percent / 100.0), 1.0) for percent in self.range_percent)
        return Sourced(value, low, high, source_text(self.source), self.status)


@dataclass(frozen=True, config=STRICT)
class Law:
    """A number as a function of diameter: a value, times d squared where its unit says so, or a table by nominal size.

    Sizes are written in inches ("1/4") or in millimetres ("6 mm").
    A table holds for its sizes only, unless `between` is set: then it is interpolated in logarithms of both.
    """

    unit: str
    range_percent: tuple[float, float]
    source: str
    status: Status
    value: float | None = None
    table: Mapping[str, float] = Field(default_factory=dict)
    between: bool = False

    @model_validator(mode="after")
    def _check(self) -> Law:
        if self.unit not in _UNITS:
            raise ValueError(f"unit '{self.unit}' is not one of {', '.join(_UNITS)}")
        if (self.value is None) == (not self.table):
            raise ValueError("a law has either a value or a table")
        if not self.range_percent[0] <= 0.0 <= self.range_percent[1]:
            raise ValueError("range_percent does not span zero")
        for value in (self.value, *self.table.values()):
            if value is not None and not SMALLEST <= value <= LARGEST:
                raise ValueError(f"{value:g} is not between {SMALLEST:g} and {LARGEST:g}")
        if any(not SMALLEST <= size <= LARGEST_SIZE_M for size in self.sizes_m):
            raise ValueError(f"sizes of a table are above zero and at most {1000 * LARGEST_SIZE_M:g} mm")
        source_text(self.source)
        return self

    @property
    def sizes_m(self) -> tuple[float, ...]:
        """The table's nominal sizes, m."""
        return tuple(size_m(size) for size in self.table)

    def at(self, diameter_m: float) -> Sourced:
        """The law's number at a diameter, in SI. Raises ValueError where a table has no such size."""
        factor, power = _UNITS[self.unit]
        raw = self.value if self.value is not None else self._from_table(diameter_m)
        value = raw * factor * diameter_m**power
        low, high = (value * (1.0 + percent / 100.0) for percent in self.range_percent)
        return Sourced(value, low, high, source_text(self.source), self.status)

    def _from_table(self, diameter_m: float) -> float:
        sizes, values = self.sizes_m, tuple(self.table.values())
        for size, value in zip(sizes, values, strict=True):
            if abs(diameter_m / size - 1.0) <= SAME_SIZE:
                return value
        if self.between:
            for left in range(len(sizes) - 1):
                if sizes[left] < diameter_m < sizes[left + 1]:
                    share = math.log(diameter_m / sizes[left]) / math.log(sizes[left + 1] / sizes[left])
                    return values[left] * (values[left + 1] / values[left]) ** share
        raise ValueError(f"no size {diameter_m * 1000.0:g} mm in the table")


def size_m(written: str) -> float:
    """A nominal size of a table in metres: "1/4" is inches, "6 mm" is millimetres."""
    number, _, unit = written.strip().partition(" ")
    try:
        return float(Fraction(number)) * (1e-3 if unit == "mm" else INCH_M)
    except (ValueError, ArithmeticError):
        raise ValueError(f"size '{written}' is neither inches such as 1/4 nor millimetres such as 6 mm") from None
