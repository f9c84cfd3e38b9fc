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

import yaml
from pydantic import ConfigDict, Field, model_validator
from pydantic.dataclasses import dataclass

Status = Literal["read", "from memory", "common practice", "computed"]

DATA = Path(__file__).parent / "data"
STRICT = ConfigDict(extra="forbid")

POUND_FORCE_N = 4.4482216152605
POUND_KG = 0.45359237
STANDARD_GRAVITY_M_S2 = 9.80665
INCH_M = 0.0254
FOOT_M = 0.3048

# unit -> (factor to SI, power of the diameter in metres it is multiplied by)
_UNITS: Mapping[str, tuple[float, int]] = {
    "lbf": (POUND_FORCE_N, 0),
    "tf": (1000.0 * STANDARD_GRAVITY_M_S2, 0),
    "lb/100 ft": (POUND_KG / (100.0 * FOOT_M), 0),
    "N per mm2 of d2": (1e6, 2),
    "lbf per in2 of d2": (POUND_FORCE_N / INCH_M**2, 2),
    "g/m per mm2 of d2": (1e3, 2),
    "kg/100 m per mm2 of d2": (1e4, 2),
    "ksi of circle": (1000.0 * POUND_FORCE_N / INCH_M**2 * math.pi / 4.0, 2),
    "GPa of circle": (1e9 * math.pi / 4.0, 2),
    "kg/m3 of circle": (math.pi / 4.0, 2),
}

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


@cache
def source_texts() -> Mapping[str, str]:
    """Every source of the catalogue by its key."""
    return yaml.safe_load((DATA / "sources.yaml").read_text(encoding="utf-8"))


def source_text(key: str) -> str:
    """The text of a source. Raises ValueError for a key that sources.yaml does not have."""
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
        source_text(self.source)
        return self

    def sourced(self) -> Sourced:
        """The same number with its source spelled out."""
        return Sourced(self.value, *self.range, source_text(self.source), self.status)


@dataclass(frozen=True, config=STRICT)
class Law:
    """A number as a function of diameter: a value, times d squared where its unit says so, or a table by nominal size.

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
        source_text(self.source)
        return self

    @property
    def sizes_m(self) -> tuple[float, ...]:
        """The table's nominal sizes (written in inches), m."""
        return tuple(float(Fraction(size)) * INCH_M for size in self.table)

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
