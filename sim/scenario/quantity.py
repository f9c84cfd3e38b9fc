"""Quantities: one small class per kind, each with its SI value under a property named after its SI unit.

`Length.read("5 ft 6 in").m` is 1.6764; a Length has no `.kg`. A kind is a subclass of Quantity that states its name,
its SI unit, its closed list of units and, where people mistake it for another kind, what to offer instead.
The long form `{value: 29 kN, from: certificate 4471, within: 5 %}` is read here too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, ClassVar, Self

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from sim.scenario import units
from sim.scenario.number import split_number
from sim.scenario.reach import out_of_reach
from sim.scenario.refused import Refused, listed, nearest_word, quoted

LONG_FORM_KEYS = ("value", "from", "within", "range")
ASSUMED = "assumed"
DEFAULT = "default"
SCHEMA_MARK = "quantity"
"""Stands in a model's schema where schema.py puts the reference to the kind."""

_TONS = "metric ton (1000 kg), short ton (2000 lb) or long ton (2240 lb)"


@dataclass(frozen=True, repr=False)
class Quantity:
    """A number that knows its kind. Equal and hashed by kind, value and spread; ordered by value within one kind."""

    si: float
    """The value in the kind's SI unit (a temperature in °C)."""
    low_si: float
    high_si: float
    """The least and the greatest it may be, from `within` or `range`; both equal `si` where neither was given."""
    text: str = field(default="", compare=False)
    """The value as written, unit and all."""
    origin: str = field(default=ASSUMED, compare=False)
    """Where it comes from: the `from` text, 'assumed' where none was written, 'default' where we filled it in."""

    kind: ClassVar[str] = "a quantity"
    si_unit: ClassVar[str] = ""
    pint_si: ClassVar[str] = ""
    accepts: ClassVar[units.Units] = {}
    bare: ClassVar[bool] = False
    """True where a plain number without unit is right."""
    percent_within: ClassVar[bool] = True
    """False where a percentage of the value says nothing (a position, a temperature)."""
    usual: ClassVar[tuple[str, ...]] = ()
    """Units that a number without one is likely meant in, where it is not the SI unit."""
    as_good_as_zero: ClassVar[bool] = False
    """True where next to zero means zero, as left by arithmetic; else that is a slip of the keyboard."""
    hints: ClassVar[Mapping[str, str]] = {}
    """Units of another kind that people write here, and what to offer."""

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self.text or self.written_si()!r})"

    def __lt__(self, other: object) -> bool:
        if not isinstance(other, type(self)):
            return NotImplemented
        return self.si < other.si

    @property
    def exact(self) -> bool:
        """True where no spread was given."""
        return self.low_si == self.high_si

    def written_si(self) -> str:
        """The value in its SI unit, so that reading it back gives the same float."""
        return f"{plain_digits(self.si)} {self.si_unit}".strip()

    @classmethod
    def of(cls, si: float, origin: str = DEFAULT, text: str = "") -> Self:
        """The quantity with this SI value. Needs no conversion, so it costs nothing."""
        return cls(si, si, si, text or f"{plain_digits(si)} {cls.si_unit}".strip(), origin)

    @classmethod
    def read(cls, written: object) -> Self:
        """The quantity from its text or its long form. Raises Refused.

        >>> from sim.scenario.kinds import Force, Length
        >>> Length.read("5 ft 6 in").m
        1.6764
        >>> Force.read({"value": "29 kN", "from": "certificate 4471", "within": "5 %"}).low_si
        27550.0
        """
        if isinstance(written, cls):
            return written
        if isinstance(written, str) and written.strip():
            value = cls._in_reach(cls._exact_si(written), written)
            return cls(value, value, value, written.strip())
        if isinstance(written, Mapping):
            return cls._read_long(written)
        found = "a list" if isinstance(written, list) else "nothing" if isinstance(written, str) else repr(written)
        raise Refused(found, f"{cls.kind} with its unit, such as {cls.example()}")

    @classmethod
    def example(cls) -> str:
        """How one is written, for messages."""
        return f"12.6 {cls.si_unit}".strip()

    @classmethod
    def _exact_si(cls, text: str) -> Fraction:
        number, unit = split_number(text)
        factor, offset = cls._scale(number, unit, text)
        return number * factor + offset

    @classmethod
    def _scale(cls, number: Fraction, unit: str, text: str) -> tuple[Fraction, Fraction]:
        """Factor and offset to SI of a unit of this kind's list. Raises Refused for any other unit."""
        if not unit:
            if cls.bare:
                return Fraction(1), Fraction(0)
            offered = " or ".join(f"{text.strip()} {usual}" for usual in cls.usual or (cls.si_unit,)).strip()
            raise Refused(f"{quoted(text)} without a unit", f"{cls.kind} with its unit", offered)
        plain = units.plain_unit(unit, cls.accepts)
        if plain not in cls.accepts:
            raise cls._wrong_unit(number, unit, text)
        return units.scale(cls.accepts[plain], cls.pint_si)

    @classmethod
    def _wrong_unit(cls, number: Fraction, unit: str, text: str) -> Refused:
        head = text.strip().removesuffix(unit).strip()
        if unit.casefold() in ("ton", "tons", "tonf") and (units.MASS is cls.accepts or units.FORCE is cls.accepts):
            tons = _TONS if cls.accepts is units.MASS else _TONS.replace(" ton ", " tonf ")
            return Refused(quoted(text), f"which ton it is: {tons}")
        if unit == "%":
            return Refused(quoted(text), f"{cls.kind} with its unit: a percentage says nothing without what it is of")
        if unit in cls.hints:
            return Refused(quoted(text), f"{cls.kind}, and {unit} is none", f"{head} {cls.hints[unit]}")
        if cls.accepts is units.MASS and unit in units.FORCE:
            return Refused(quoted(text), f"a mass, and {unit} is a unit of force")
        near = nearest_word(unit, cls.accepts)
        accepted = listed(cls.accepts) if cls.accepts else "no unit"
        return Refused(quoted(text), f"{cls.kind} in {accepted}", f"{head} {near}" if near else "")

    @classmethod
    def _read_long(cls, written: Mapping[str, Any]) -> Self:
        """{value, from, within | range}. Raises Refused."""
        for key in written:
            if key not in (*LONG_FORM_KEYS, "notes"):
                near = nearest_word(key, LONG_FORM_KEYS)
                raise Refused(quoted(key), f"only {listed(LONG_FORM_KEYS, 'and')} here", near, at=key)
        value = written.get("value")
        if not isinstance(value, str):
            raise Refused("no value" if value is None else "no text", f"value: {cls.kind}, such as {cls.example()}")
        origin = written.get("from", ASSUMED)
        if not isinstance(origin, str) or not origin.strip():
            raise Refused("no text", "from: where the value comes from", at=origin)
        si = cls._exact_at(value)
        if "within" in written and "range" in written:
            raise Refused("within and range", "one of the two", at=written["range"])
        low, high = si, si
        if "within" in written:
            low, high = cls._within(si, written["within"])
        elif "range" in written:
            low, high = cls._range(si, written["range"])
        value_si, low_si, high_si = (cls._in_reach(each, value) for each in (si, low, high))
        return cls(value_si, low_si, high_si, value.strip(), origin.strip())

    @classmethod
    def _in_reach(cls, si: Fraction, text: str) -> float:
        """The value, or an end of its spread, as a float. Raises Refused where it lies beyond what any rig has."""
        expected = out_of_reach(si, cls.si_unit)
        if expected and not (cls.as_good_as_zero and abs(si) < 1):
            raise Refused(quoted(text), f"{cls.kind} {expected}", at=text)
        return float(si)

    @classmethod
    def _exact_at(cls, text: str) -> Fraction:
        """As _exact_si, with the place of this very text in the refusal."""
        try:
            return cls._exact_si(text)
        except Refused as refused:
            raise Refused(refused.found, refused.expected, refused.nearest, at=refused.at or text) from None

    @classmethod
    def _within(cls, si: Fraction, text: object) -> tuple[Fraction, Fraction]:
        if not isinstance(text, str):
            raise Refused("no text", "within: such as 5 %, or a difference in the value's unit", at=text)
        try:
            number, unit = split_number(text)
            if unit == "%" and "%" in cls.accepts:
                raise Refused(quoted(text), "range: [least, greatest] here: a percentage of a share has two meanings")
            spread = cls._percent_of(si, number, text) if unit == "%" else number * cls._scale(number, unit, text)[0]
        except Refused as refused:
            raise Refused(refused.found, refused.expected, refused.nearest, at=text) from None
        if spread < 0:
            raise Refused(quoted(text), "a spread that is not negative", at=text)
        return si - spread, si + spread

    @classmethod
    def _percent_of(cls, si: Fraction, number: Fraction, text: str) -> Fraction:
        if not cls.percent_within:
            raise Refused(quoted(text), f"a spread in its unit: a percentage of {cls.kind} says nothing", at=text)
        if si == 0:
            raise Refused(quoted(text), "a spread in its unit: a percentage of nothing is nothing", at=text)
        if number > 100:
            raise Refused(quoted(text), "at most 100 %", at=text)
        return abs(si) * number / 100

    @classmethod
    def _range(cls, si: Fraction, pair: object) -> tuple[Fraction, Fraction]:
        if not isinstance(pair, list) or len(pair) != 2 or not all(isinstance(p, str) for p in pair):
            raise Refused("no pair", "range: [least, greatest], each with its unit", at=pair)
        low, high = (cls._exact_at(p) for p in pair)
        if not low <= si <= high:
            raise Refused(f"[{pair[0]}, {pair[1]}]", "a range, least first, that holds the value", at=pair)
        return low, high

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(cls.read)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {SCHEMA_MARK: cls.__name__}


def plain_digits(value: float) -> str:
    """The shortest decimal text that our number grammar reads back as the same float."""
    text = repr(value)
    return text[:-2] if text.endswith(".0") else text
