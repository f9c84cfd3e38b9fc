"""The closed lists of units, one per kind of quantity, and their conversion.

Each list gives the unit as it may be written and the same unit in pint's words; pint only converts. It is imported at
the first conversion, because importing it takes longer than reading a file, and it works in exact fractions.
Squares, cubes and products may also be typed m/s², m/s2, N·m or N*m: see `plain_unit`.
"""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from sim.cache import cache_base
from sim.results.whole import FolderError, whole_folder

Units = Mapping[str, str]

LENGTH: Units = {
    "m": "meter",
    "cm": "centimeter",
    "mm": "millimeter",
    "km": "kilometer",
    "in": "inch",
    "inch": "inch",
    "inches": "inch",
    "ft": "foot",
    "foot": "foot",
    "feet": "foot",
    "yd": "yard",
}
MASS: Units = {
    "kg": "kilogram",
    "g": "gram",
    "t": "metric_ton",
    "lb": "pound",
    "oz": "ounce",
    "metric ton": "metric_ton",
    "short ton": "short_ton",
    "long ton": "long_ton",
}
TIME: Units = {"s": "second", "ms": "millisecond", "us": "microsecond", "min": "minute"}
FORCE: Units = {
    "N": "newton",
    "daN": "decanewton",
    "kN": "kilonewton",
    "MN": "meganewton",
    "kgf": "kilogram_force",
    "lbf": "pound_force",
    "kip": "kip",
    "metric tonf": "metric_ton * standard_gravity",
    "short tonf": "short_ton * standard_gravity",
    "long tonf": "long_ton * standard_gravity",
}
STIFFNESS: Units = {
    "N/m": "newton / meter",
    "kN/m": "kilonewton / meter",
    "N/mm": "newton / millimeter",
    "kN/mm": "kilonewton / millimeter",
    "kgf/mm": "kilogram_force / millimeter",
    "lbf/in": "pound_force / inch",
    "lbf/ft": "pound_force / foot",
    "kip/in": "kip / inch",
}
TORQUE: Units = {
    "N m": "newton * meter",
    "Nm": "newton * meter",
    "kN m": "kilonewton * meter",
    "kNm": "kilonewton * meter",
    "kgf m": "kilogram_force * meter",
    "lbf ft": "pound_force * foot",
    "ft lbf": "pound_force * foot",
    "lbf in": "pound_force * inch",
    "in lbf": "pound_force * inch",
}
SPEED: Units = {
    "m/s": "meter / second",
    "mm/s": "millimeter / second",
    "m/min": "meter / minute",
    "km/h": "kilometer / hour",
    "ft/s": "foot / second",
    "ft/min": "foot / minute",
    "in/s": "inch / second",
    "mph": "mile / hour",
}
ACCELERATION: Units = {
    "m/s^2": "meter / second ** 2",
    "mm/s^2": "millimeter / second ** 2",
    "ft/s^2": "foot / second ** 2",
    "in/s^2": "inch / second ** 2",
}
JERK: Units = {"m/s^3": "meter / second ** 3", "ft/s^3": "foot / second ** 3", "in/s^3": "inch / second ** 3"}
ANGLE: Units = {"deg": "degree", "°": "degree", "rad": "radian", "turn": "turn", "turns": "turn"}
TEMPERATURE: Units = {"degC": "degC", "°C": "degC", "degF": "degF", "°F": "degF", "K": "kelvin"}
FREQUENCY: Units = {"Hz": "hertz", "kHz": "kilohertz"}
POWER: Units = {"W": "watt", "kW": "kilowatt", "hp": "horsepower"}
MASS_PER_LENGTH: Units = {
    "kg/m": "kilogram / meter",
    "g/m": "gram / meter",
    "kg/100 m": "kilogram / hectometer",
    "lb/ft": "pound / foot",
    "lb/100 ft": "pound / hectofoot",
}
AREA: Units = {
    "m^2": "meter ** 2",
    "cm^2": "centimeter ** 2",
    "mm^2": "millimeter ** 2",
    "ft^2": "foot ** 2",
    "in^2": "inch ** 2",
}
INERTIA: Units = {
    "kg m^2": "kilogram * meter ** 2",
    "kg cm^2": "kilogram * centimeter ** 2",
    "kg mm^2": "kilogram * millimeter ** 2",
    "g m^2": "gram * meter ** 2",
    "lb ft^2": "pound * foot ** 2",
    "lb in^2": "pound * inch ** 2",
}
PERCENT: Units = {"%": "percent"}

_TYPED = {"²": "^2", "³": "^3", "·": " ", "⋅": " ", "*": " ", "µ": "u", "μ": "u", "º": "°"}


def plain_unit(unit: str, units: Units) -> str:
    """The unit as the closed list writes it where only the typing differs (m/s², m/s2, N·m); otherwise unchanged."""
    plain = unit
    for typed, ours in _TYPED.items():
        plain = plain.replace(typed, ours)
    plain = " ".join(plain.split())
    if plain not in units and plain[-1:] in ("2", "3") and f"{plain[:-1]}^{plain[-1]}" in units:
        plain = f"{plain[:-1]}^{plain[-1]}"
    return plain if plain in units else unit


@cache
def _registry() -> Any:
    """pint's unit registry in exact fractions; reading its list takes 0.3 s, so what was read is kept on disk.

    pint itself writes there piece by piece: whoever was killed at it, or met a full disk, or was beside another start,
    left pieces that nobody could read any more. So it writes in a folder that appears whole or not at all.
    """
    folder = _kept_at()
    if folder.is_dir():
        try:
            return _read_units(folder)
        except Exception:  # noqa: BLE001  (whatever pieces that cannot be read make of the reader)
            shutil.rmtree(folder, ignore_errors=True)
    registry = None
    try:
        with whole_folder(folder) as part:
            registry = _read_units(part)
    except (OSError, FolderError):  # nowhere to keep it, or another start has just done so
        pass
    return _read_units(None) if registry is None else registry


def _read_units(kept: Path | None) -> Any:
    """The registry, what was read kept in a folder."""
    import pint

    exact: Any = Fraction  # pint takes any number type here, though its annotation names float
    return pint.UnitRegistry(non_int_type=exact, cache_folder=kept)


def _kept_at() -> Path:
    """Where what was read of this very list is kept: every installation of pint has its own."""
    import pint

    lists = sorted(Path(pint.__file__).parent.glob("*.txt"))
    mark = hashlib.sha256(repr([(str(path), path.stat().st_mtime_ns) for path in lists]).encode()).hexdigest()[:16]
    return cache_base() / f"units-{pint.__version__}-{mark}"


@cache
def scale(pint_unit: str, pint_si_unit: str) -> tuple[Fraction, Fraction]:
    """(factor, offset) so that SI value = factor · number + offset, exactly. The offset is 0 but for temperatures."""
    if pint_unit == pint_si_unit:
        return Fraction(1), Fraction(0)
    registry = _registry()
    unit, si_unit = registry.parse_units(pint_unit), registry.parse_units(pint_si_unit)

    def in_si(number: int) -> Fraction:
        return Fraction(registry.Quantity(Fraction(number), unit).to(si_unit).magnitude)

    offset = in_si(0)
    return in_si(1) - offset, offset
