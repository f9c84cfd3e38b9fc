"""How a report's numbers and paper look: units, decimal mark, size of paper."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sim.results.shown import Mark, Units, Writing, bare, fitting, marked, unit_shown

NOTHING = "–"


class Paper(StrEnum):
    """The paper a report is laid out for."""

    A4 = "a4"
    LETTER = "letter"


@dataclass(frozen=True)
class Look:
    """What a reader asked for. Files and figures' data stay as they are."""

    units: Units = Units.SI
    mark: Mark = Mark.POINT
    paper: Paper = Paper.A4

    @property
    def writing(self) -> Writing:
        """Units and decimal mark."""
        return Writing(self.units, self.mark)

    def number(self, value_si: float | None, unit: str) -> str:
        """A figure without its unit.

        >>> Look(mark=Mark.COMMA).number(12345.678, "m"), Look(units=Units.US).number(4448.22, "N")
        ('12\u202f345,68', '1,000')
        """
        return bare(value_si, unit, self.writing)

    def with_unit(self, value_si: float | None, unit: str) -> str:
        """A figure with its unit, kept on one line by a no-break space."""
        number, sign = self.number(value_si, unit), self.sign(unit)
        return number if number == NOTHING or not sign else f"{number}\u00a0{sign}"

    def fitting(self, value_si: float, unit: str) -> str:
        """A figure with its unit, in a smaller one where it is small; a count as a whole number."""
        number, _, sign = fitting(value_si, unit, self.writing).partition(" ")
        return f"{number}\u00a0{sign}" if sign else number

    def sign(self, unit: str) -> str:
        """The sign of the unit in which figures of this SI unit are shown."""
        return unit_shown(unit, self.units).sign

    def size(self, unit: str) -> float:
        """How many of the SI unit the unit shown is."""
        return unit_shown(unit, self.units).size_si

    def marked(self, number: str) -> str:
        """A plain number such as 1,234.5 with the decimal mark asked for."""
        return marked(number, self.writing)
