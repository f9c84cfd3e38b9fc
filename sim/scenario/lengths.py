"""Lengths and positions, which people also write in feet and inches."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import ClassVar

from typing_extensions import override

from sim.scenario import units
from sim.scenario.number import split_number
from sim.scenario.quantity import Quantity
from sim.scenario.refused import Refused, quoted

_FEET_AND_INCHES = re.compile(
    r"\s*(?P<sign>[-+\u2212\u2013]?)\s*(?P<feet>\d{1,6})\s*(?:ft|foot|feet)\s+"
    r"(?P<inches>\d[\d. /]*?)\s*(?:in|inch|inches)\s*",
    re.ASCII,
)
_TICKS = re.compile(r"\s*(\d+)\s*['\u2032\u2019]\s*(?:-?\s*(\d[\d. /]*?)\s*[\"\u2033\u201d])?\s*", re.ASCII)
_INCHES_ONLY = re.compile(r"\s*(\d[\d. /-]*?)\s*(?:[\"\u2033\u201d]|'')\s*", re.ASCII)


class Length(Quantity):
    """A length, also written 5 ft 6 in."""

    kind: ClassVar[str] = "a length"
    si_unit: ClassVar[str] = "m"
    pint_si: ClassVar[str] = "meter"
    accepts: ClassVar[units.Units] = units.LENGTH
    usual: ClassVar[tuple[str, ...]] = ("mm", "m")

    @property
    def m(self) -> float:
        """Metres."""
        return self.si

    @classmethod
    @override
    def _exact_si(cls, text: str) -> Fraction:
        match = _FEET_AND_INCHES.fullmatch(text)
        if match:
            inches, _ = split_number(match["inches"])
            if inches >= 12:
                raise Refused(quoted(text), "less than 12 in after the feet")
            size = super()._exact_si(f"{match['feet']} ft") + inches * units.scale("inch", "meter")[0]
            return size if match["sign"] in ("", "+") else -size
        ticks = _TICKS.fullmatch(text)
        if ticks:
            offered = f"{ticks[1]} ft" + (f" {ticks[2]} in" if ticks[2] else "")
            raise Refused(quoted(text), "feet and inches in words", offered)
        inches_only = _INCHES_ONLY.fullmatch(text)
        if inches_only:
            raise Refused(quoted(text), "inches in words", f"{inches_only[1].strip()} in")
        return super()._exact_si(text)


class Coordinate(Length):
    """One of the three numbers of a position, or a height. A percentage of it says nothing."""

    kind: ClassVar[str] = "a position"
    usual: ClassVar[tuple[str, ...]] = ("m",)
    percent_within: ClassVar[bool] = False
    as_good_as_zero: ClassVar[bool] = True
