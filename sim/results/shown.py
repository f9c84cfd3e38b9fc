"""How a figure is shown to a person: in SI or in US units, with its unit and the decimal mark asked for, rounded to
what can be read at a glance.

Results and files hold SI. Only what is printed, drawn or reported goes through here, so `--units us` turns all of it.
Factors are the exact ones of NIST SP 811 (2008), appendix B: 1 ft = 0.3048 m, 1 in = 25.4 mm,
1 lb = 0.453 592 37 kg, 1 lbf = 1 lb x 9.806 65 m/s² = 4.448 221 615 260 5 N; 1 ft·lbf = 1 ft x 1 lbf.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

FOOT_M = 0.3048
INCH_M = 0.0254
POUND_KG = 0.45359237
POUND_FORCE_N = 4.4482216152605


class Units(StrEnum):
    """What figures are shown in."""

    SI = "si"
    US = "us"


class Mark(StrEnum):
    """The decimal mark. With a comma, thousands are set apart by a narrow space, as ISO 80000-1 has it."""

    POINT = "point"
    COMMA = "comma"


@dataclass(frozen=True)
class Writing:
    """Units and decimal mark of figures."""

    units: Units = Units.SI
    mark: Mark = Mark.POINT


Asked: TypeAlias = Units | Writing
"""How figures were asked for; units alone mean the decimal point."""
_NARROW_SPACE = "\u202f"


def asked(units: Asked | str) -> Asked:
    """What is asked for by units or their name. Raises ValueError for unknown ones."""
    return units if isinstance(units, Writing) else Units(units)


def marked(number: str, how: Asked) -> str:
    """A plain number such as 1,234.5 with the decimal mark asked for.

    >>> marked("1,234.5", Units.SI), marked("1,234.5", Writing(mark=Mark.COMMA))
    ('1,234.5', '1\u202f234,5')
    """
    if not isinstance(how, Writing) or how.mark is Mark.POINT:
        return number
    return number.replace(",", _NARROW_SPACE).replace(".", ",")


def _units(how: Asked) -> Units:
    return how.units if isinstance(how, Writing) else how


@dataclass(frozen=True)
class ShownUnit:
    """One unit a figure is shown in: its sign, how many SI units it is, and the decimals shown."""

    sign: str
    size_si: float
    decimals: int

    def number(self, value_si: float) -> float:
        """The value in this unit, unrounded."""
        return value_si / self.size_si


_KILONEWTON = ShownUnit("kN", 1000.0, 2)
_SHOWN: dict[Units, dict[str, ShownUnit]] = {
    Units.SI: {
        "N": _KILONEWTON,
        "m": ShownUnit("m", 1.0, 2),
        "m/s": ShownUnit("m/s", 1.0, 2),
        "m/s^2": ShownUnit("m/s²", 1.0, 2),
        "kg": ShownUnit("kg", 1.0, 1),
        "J": ShownUnit("J", 1.0, 0),
        "J/m": ShownUnit("J/m", 1.0, 0),
        "N m": ShownUnit("N·m", 1.0, 2),
        "N/m": ShownUnit("N/m", 1.0, 3),
        "kg/m": ShownUnit("kg/m", 1.0, 4),
    },
    Units.US: {
        "N": ShownUnit("lbf", POUND_FORCE_N, 0),
        "m": ShownUnit("ft", FOOT_M, 1),
        "m/s": ShownUnit("ft/s", FOOT_M, 1),
        "m/s^2": ShownUnit("ft/s²", FOOT_M, 1),
        "kg": ShownUnit("lb", POUND_KG, 0),
        "J": ShownUnit("ft·lbf", FOOT_M * POUND_FORCE_N, 0),
        "J/m": ShownUnit("ft·lbf/ft", POUND_FORCE_N, 0),
        "N m": ShownUnit("lbf·ft", FOOT_M * POUND_FORCE_N, 2),
        "N/m": ShownUnit("lbf/ft", POUND_FORCE_N / FOOT_M, 4),
        "kg/m": ShownUnit("lb/ft", POUND_KG / FOOT_M, 4),
    },
}
_ALIKE = {
    "": ShownUnit("", 1.0, 2),
    "g": ShownUnit("g", 1.0, 2),
    "s": ShownUnit("s", 1.0, 2),
    "Hz": ShownUnit("Hz", 1.0, 1),
    "degC": ShownUnit("°C", 1.0, 0),
}


def unit_shown(unit: str, units: Asked) -> ShownUnit:
    """The unit in which a figure of the SI unit `unit` (as results name it: 'N', 'm', 'm/s', 's', 'g', '') is shown.

    A unit unknown here is shown as it is, so that nothing is ever shown under a wrong sign.
    """
    return _SHOWN[_units(units)].get(unit) or _ALIKE.get(unit) or ShownUnit(unit, 1.0, 3)


def shown(value_si: float | None, unit: str, units: Asked = Units.SI) -> str:
    """A figure with its unit, or a dash where there is none.

    >>> shown(4210.0, "N"), shown(4210.0, "N", Units.US), shown(2.61, "m", Units.US), shown(None, "N")
    ('4.21 kN', '946 lbf', '8.6 ft', '–')
    """
    if value_si is None:
        return "–"
    how = unit_shown(unit, units)
    return f"{bare(value_si, unit, units)} {how.sign}".rstrip()


def short(length_m: float, units: Asked = Units.SI) -> str:
    """A short length with its unit, to two figures: millimetres or inches below a decimetre, else as `shown`.

    >>> short(0.0093), short(0.0093, Units.US), short(0.34)
    ('9.3 mm', '0.37 in', '0.34 m')
    """
    return _small(length_m, "m", 0.1, units)


def small_force(force_N: float, units: Asked = Units.SI) -> str:
    """A small force with its unit, to two figures: newtons or pounds-force below 100 N, else as `shown`.

    >>> small_force(4.03), small_force(4.03, Units.US), small_force(830.0)
    ('4 N', '0.91 lbf', '0.83 kN')
    """
    return _small(force_N, "N", 100.0, units)


def small_mass(mass_kg: float, units: Asked = Units.SI) -> str:
    """A small mass with its unit, to two figures: grams or pounds below 1 kg, else as `shown`.

    >>> small_mass(0.0279), small_mass(0.749), small_mass(0.0279, Units.US), small_mass(8.9)
    ('28 g', '749 g', '0.062 lb', '8.9 kg')
    """
    return _small(mass_kg, "kg", 1.0, units)


_SMALLER = {
    "m": (ShownUnit("mm", 1e-3, 0), ShownUnit("in", INCH_M, 0)),
    "N": (ShownUnit("N", 1.0, 0), ShownUnit("lbf", POUND_FORCE_N, 0)),
    "kg": (ShownUnit("g", 1e-3, 0), ShownUnit("lb", POUND_KG, 0)),
}
"""Units for what is small, SI and US."""


def _small(value_si: float, unit: str, below_si: float, units: Asked) -> str:
    """In the smaller unit below a size, to two figures and without a power of ten; else as `shown`."""
    if abs(value_si) >= below_si:
        return shown(value_si, unit, units)
    how = _SMALLER[unit][_units(units) is Units.US]
    number = how.number(value_si)
    return f"{marked(f'{number:.2g}' if abs(number) < 99.5 else f'{number:.0f}', units)} {how.sign}"


def fitting(value_si: float, unit: str, units: Asked = Units.SI) -> str:
    """A figure with its unit, in the smaller unit where it is small, and a count as the whole number it is.

    >>> fitting(0.0093, "m"), fitting(4.03, "N"), fitting(3, ""), fitting(159.54, "m/s")
    ('9.3 mm', '4 N', '3', '159.54 m/s')
    """
    if isinstance(value_si, int):
        return f"{marked(f'{value_si:,}', units)} {unit}".rstrip()
    smaller = {"m": short, "N": small_force, "kg": small_mass}.get(unit)
    return smaller(value_si, units) if smaller is not None else shown(value_si, unit, units)


def temperature(degC: float, units: Asked = Units.SI) -> str:
    """A temperature with its unit, to the whole degree.

    >>> temperature(121.0), temperature(121.0, Units.US)
    ('121 °C', '250 °F')
    """
    return f"{1.8 * degC + 32.0:.0f} °F" if _units(units) is Units.US else f"{degC:.0f} °C"


def bare(value_si: float | None, unit: str, units: Asked = Units.SI) -> str:
    """The same figure without its unit, for a column whose head carries it."""
    if value_si is None:
        return "–"
    how = unit_shown(unit, units)
    text = f"{how.number(value_si):,.{how.decimals}f}"
    return marked(text[1:] if text.startswith("-") and not text.strip("-0.,") else text, units)
