"""Every kind of quantity there is. Add one by writing its class here and its list of units in units.py."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any, ClassVar

from typing_extensions import override

from sim.scenario import units
from sim.scenario.lengths import Coordinate as Coordinate
from sim.scenario.lengths import Length as Length
from sim.scenario.number import split_number
from sim.scenario.quantity import Quantity
from sim.scenario.refused import Refused, listed, quoted
from sim.scenario.shares import Ratio as Ratio
from sim.scenario.shares import Share as Share

STANDARD_GRAVITY_M_S2 = 9.80665
"""Standard acceleration of free fall: NIST SP 811 (2008), appendix B.8."""

_MASS_TO_FORCE = {"kg": "kgf", "lb": "lbf", "lbs": "lbf", "t": "metric tonf"}
_MASS_TO_FORCE |= {f"{size} ton": f"{size} tonf" for size in ("metric", "short", "long")}
_FORCE_TO_MASS = {force: mass for mass, force in _MASS_TO_FORCE.items() if mass != "lbs"}


class Mass(Quantity):
    """A mass; never a force."""

    kind: ClassVar[str] = "a mass"
    si_unit: ClassVar[str] = "kg"
    pint_si: ClassVar[str] = "kilogram"
    accepts: ClassVar[units.Units] = units.MASS
    hints: ClassVar[Mapping[str, str]] = _FORCE_TO_MASS

    @property
    def kg(self) -> float:
        """Kilograms."""
        return self.si


class Time(Quantity):
    """A time."""

    kind: ClassVar[str] = "a time"
    si_unit: ClassVar[str] = "s"
    pint_si: ClassVar[str] = "second"
    accepts: ClassVar[units.Units] = units.TIME
    usual: ClassVar[tuple[str, ...]] = ("s", "ms")
    hints: ClassVar[Mapping[str, str]] = {"sec": "s", "secs": "s", "seconds": "s", "msec": "ms"}

    @property
    def s(self) -> float:
        """Seconds."""
        return self.si


class Force(Quantity):
    """A force; never a mass."""

    kind: ClassVar[str] = "a force"
    si_unit: ClassVar[str] = "N"
    pint_si: ClassVar[str] = "newton"
    accepts: ClassVar[units.Units] = units.FORCE
    hints: ClassVar[Mapping[str, str]] = _MASS_TO_FORCE

    @property
    def N(self) -> float:
        """Newtons."""
        return self.si


class Stiffness(Quantity):
    """Force per length."""

    kind: ClassVar[str] = "a stiffness"
    si_unit: ClassVar[str] = "N/m"
    pint_si: ClassVar[str] = "newton / meter"
    accepts: ClassVar[units.Units] = units.STIFFNESS
    hints: ClassVar[Mapping[str, str]] = {"kg/mm": "kgf/mm", "lb/in": "lbf/in", "lb/ft": "lbf/ft"}

    @property
    def N_per_m(self) -> float:
        """Newtons per metre."""
        return self.si


class Torque(Quantity):
    """A turning moment."""

    kind: ClassVar[str] = "a torque"
    si_unit: ClassVar[str] = "N m"
    pint_si: ClassVar[str] = "newton * meter"
    accepts: ClassVar[units.Units] = units.TORQUE
    hints: ClassVar[Mapping[str, str]] = {"lb ft": "lbf ft", "ft lb": "ft lbf", "lb in": "lbf in", "in lb": "in lbf"}

    @property
    def N_m(self) -> float:
        """Newton metres."""
        return self.si


class Speed(Quantity):
    """A speed."""

    kind: ClassVar[str] = "a speed"
    si_unit: ClassVar[str] = "m/s"
    pint_si: ClassVar[str] = "meter / second"
    accepts: ClassVar[units.Units] = units.SPEED
    hints: ClassVar[Mapping[str, str]] = {"fps": "ft/s", "fpm": "ft/min", "kph": "km/h", "kmh": "km/h"}

    @property
    def m_s(self) -> float:
        """Metres per second."""
        return self.si


class Acceleration(Quantity):
    """An acceleration. Multiples of g are refused: g is also the gram, and a limit in g counts something else."""

    kind: ClassVar[str] = "an acceleration"
    si_unit: ClassVar[str] = "m/s^2"
    pint_si: ClassVar[str] = "meter / second ** 2"
    accepts: ClassVar[units.Units] = units.ACCELERATION

    @property
    def m_s2(self) -> float:
        """Metres per second squared."""
        return self.si

    @classmethod
    @override
    def _wrong_unit(cls, number: Fraction, unit: str, text: str) -> Refused:
        if unit in ("g", "G", "g0", "g_n"):
            offered = f"{float(number) * STANDARD_GRAVITY_M_S2:.3g} m/s^2"
            return Refused(quoted(text), "an acceleration in m/s^2 or ft/s^2, and g is none of its units", offered)
        return super()._wrong_unit(number, unit, text)


class Jerk(Quantity):
    """The rate at which an acceleration changes."""

    kind: ClassVar[str] = "a jerk"
    si_unit: ClassVar[str] = "m/s^3"
    pint_si: ClassVar[str] = "meter / second ** 3"
    accepts: ClassVar[units.Units] = units.JERK

    @property
    def m_s3(self) -> float:
        """Metres per second cubed."""
        return self.si


class Angle(Quantity):
    """An angle; a wrap may be given in turns."""

    kind: ClassVar[str] = "an angle"
    si_unit: ClassVar[str] = "rad"
    pint_si: ClassVar[str] = "radian"
    accepts: ClassVar[units.Units] = units.ANGLE

    @property
    def rad(self) -> float:
        """Radians."""
        return self.si


class Temperature(Quantity):
    """A temperature, kept in °C. Its spread is a difference: `within: 3 degC`."""

    kind: ClassVar[str] = "a temperature"
    si_unit: ClassVar[str] = "degC"
    pint_si: ClassVar[str] = "degC"
    accepts: ClassVar[units.Units] = units.TEMPERATURE
    percent_within: ClassVar[bool] = False
    hints: ClassVar[Mapping[str, str]] = {"C": "degC", "F": "degF"}

    @property
    def degC(self) -> float:
        """Degrees Celsius."""
        return self.si


class Frequency(Quantity):
    """A frequency or a rate of samples."""

    kind: ClassVar[str] = "a frequency"
    si_unit: ClassVar[str] = "Hz"
    pint_si: ClassVar[str] = "hertz"
    accepts: ClassVar[units.Units] = units.FREQUENCY

    @property
    def Hz(self) -> float:
        """Hertz."""
        return self.si


class Power(Quantity):
    """A power; hp is 550 ft·lbf/s."""

    kind: ClassVar[str] = "a power"
    si_unit: ClassVar[str] = "W"
    pint_si: ClassVar[str] = "watt"
    accepts: ClassVar[units.Units] = units.POWER

    @property
    def W(self) -> float:
        """Watts."""
        return self.si


class MassPerLength(Quantity):
    """Mass of line per length."""

    kind: ClassVar[str] = "a mass per length"
    si_unit: ClassVar[str] = "kg/m"
    pint_si: ClassVar[str] = "kilogram / meter"
    accepts: ClassVar[units.Units] = units.MASS_PER_LENGTH

    @property
    def kg_per_m(self) -> float:
        """Kilograms per metre."""
        return self.si


class Area(Quantity):
    """An area; a drag area is the drag coefficient times the frontal area."""

    kind: ClassVar[str] = "an area"
    si_unit: ClassVar[str] = "m^2"
    pint_si: ClassVar[str] = "meter ** 2"
    accepts: ClassVar[units.Units] = units.AREA

    @property
    def m2(self) -> float:
        """Square metres."""
        return self.si


class Inertia(Quantity):
    """A moment of inertia."""

    kind: ClassVar[str] = "a moment of inertia"
    si_unit: ClassVar[str] = "kg m^2"
    pint_si: ClassVar[str] = "kilogram * meter ** 2"
    accepts: ClassVar[units.Units] = units.INERTIA

    @property
    def kg_m2(self) -> float:
        """Kilogram square metres."""
        return self.si


def either(*kinds: type[Quantity]) -> Callable[[object], object]:
    """A reader for a value that may be of several kinds: its unit says which. Raises Refused."""

    def read(written: object) -> object:
        text: Any = written.get("value") if isinstance(written, dict) else written
        if not isinstance(text, str):
            return written
        _, unit = split_number(text)
        for kind in kinds:
            if (not unit and kind.bare) or units.plain_unit(unit, kind.accepts) in kind.accepts:
                return kind.read(written)
        raise Refused(quoted(text), listed(f"{k.kind} such as {k.example()}" for k in kinds))

    return read
