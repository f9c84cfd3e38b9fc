"""Plain numbers and percentages as quantities: they have an origin and a spread like any other."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import ClassVar

from typing_extensions import override

from sim.scenario import units
from sim.scenario.quantity import Quantity
from sim.scenario.refused import Refused, quoted


class Ratio(Quantity):
    """A plain number, such as a damping ratio or a coefficient of friction; a percentage means the same."""

    kind: ClassVar[str] = "a plain number"
    pint_si: ClassVar[str] = "dimensionless"
    accepts: ClassVar[units.Units] = units.PERCENT
    bare: ClassVar[bool] = True

    @property
    def ratio(self) -> float:
        """The number itself: 3 % is 0.03."""
        return self.si

    @classmethod
    @override
    def example(cls) -> str:
        return "0.15"


class Share(Ratio):
    """A part of something, always written in percent: 0.5 and 0.5 % are too easily taken for each other."""

    kind: ClassVar[str] = "a percentage"
    bare: ClassVar[bool] = False

    @override
    def written_si(self) -> str:
        return percent_text(self.si)

    @classmethod
    @override
    def of(cls, si: float, origin: str = "default", text: str = "") -> Share:
        return super().of(si, origin, text or percent_text(si))

    @classmethod
    @override
    def example(cls) -> str:
        return "0.5 %"

    @classmethod
    @override
    def _scale(cls, number: Fraction, unit: str, text: str) -> tuple[Fraction, Fraction]:
        if not unit:
            raise Refused(f"{quoted(text)} without a unit", "a percentage", f"{text.strip()} %")
        return super()._scale(number, unit, text)


def percent_text(share: float) -> str:
    """0.005 as '0.5 %', shifting the decimal point so that reading it back gives the same float."""
    return f"{Decimal(repr(share)).scaleb(2):f} %"
