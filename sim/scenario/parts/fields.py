"""Field types the models share: text, plain numbers, yes and no, positions, and the constraints on quantities."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from sim.scenario.kinds import Coordinate, Time
from sim.scenario.number import read_plain_number
from sim.scenario.quantity import Quantity
from sim.scenario.reach import out_of_reach
from sim.scenario.refused import Refused, nearest_word, quoted

EVERY_INSTANT = "every instant"


def _read_plain(written: Any) -> Any:
    if not isinstance(written, str):
        return written
    number = read_plain_number(written)
    expected = out_of_reach(number, "")
    if expected:
        raise Refused(quoted(written), f"a plain number {expected}")
    return float(number)


def _read_count(written: Any) -> Any:
    if not isinstance(written, str):
        return written
    number = read_plain_number(written)
    if number.denominator != 1:
        raise Refused(quoted(written), "a whole number")
    return int(number)


def _read_yes_no(written: Any) -> Any:
    if not isinstance(written, str):
        return written
    words = {"yes": True, "true": True, "no": False, "false": False}
    if written.casefold() not in words:
        raise Refused(quoted(written), "yes or no (or true or false)", nearest_word(written, words))
    return words[written.casefold()]


def _read_when(written: Any) -> Any:
    if not isinstance(written, str) or written == EVERY_INSTANT:
        return written
    if not any(c.isdigit() for c in written):
        near = nearest_word(written, [EVERY_INSTANT])
        raise Refused(quoted(written), "a time such as 2.1 s, or every instant", near)
    return Time.read(written)


def _above_zero(value: Any) -> Any:
    low = value.low_si if isinstance(value, Quantity) else value
    if low <= 0:
        raise Refused(_shown(value, low, lambda x: x > 0), "more than zero")
    return value


def _not_negative(value: Any) -> Any:
    low = value.low_si if isinstance(value, Quantity) else value
    if low < 0:
        raise Refused(_shown(value, low, lambda x: x >= 0), "zero or more")
    return value


def _at_most_whole(value: Any) -> Any:
    high = value.high_si if isinstance(value, Quantity) else value
    if high > 1:
        raise Refused(_shown(value, high, lambda x: x <= 1), "at most 1, which is 100 %")
    return value


def _percent_above_one(value: Any) -> Any:
    if isinstance(value, Quantity) and value.si > 1 and "%" not in value.text:
        expected = "at most 1, which is 100 %, or a percentage"
        raise Refused(quoted(value.text), expected, f"{value.text} %")
    return value


def at_most(limit: float) -> AfterValidator:
    """A constraint: no more than this, in SI; `limit` is our own choice, far beyond any rig."""

    def check(value: Any) -> Any:
        high = value.high_si if isinstance(value, Quantity) else value
        if high > limit:
            raise Refused(_shown(value, high, lambda x: x <= limit), f"at most {limit:g}")
        return value

    return AfterValidator(check)


def _shown(value: Any, bound: float, holds: Callable[[float], bool]) -> str:
    if not isinstance(value, Quantity):
        return f"'{value:g}'"
    if bound == value.si or not holds(value.si):
        return quoted(value.text)
    return f"{quoted(value.text)}, with its spread as much as {type(value).of(bound).text}"


Words = Annotated[str, Field(min_length=1)]
"""Any text; never empty."""
Plain = Annotated[float, BeforeValidator(_read_plain, json_schema_input_type=float | str)]
"""A number without a unit."""
Count = Annotated[int, BeforeValidator(_read_count, json_schema_input_type=int | str)]
"""A whole number."""
YesNo = Annotated[bool, BeforeValidator(_read_yes_no, json_schema_input_type=bool | Literal["yes", "no"])]
When = Annotated[Time | Literal["every instant"], BeforeValidator(_read_when)]
"""A time, or `every instant`."""
Position = tuple[Coordinate, Coordinate, Coordinate]
"""[x, y, z], z up; each number with its unit."""

AboveZero = AfterValidator(_above_zero)
NotNegative = AfterValidator(_not_negative)
AtMostWhole = AfterValidator(_at_most_whole)
PercentAboveOne = AfterValidator(_percent_above_one)
"""A bare 15 where a ratio is due is a percentage whose sign was left off far more often than 15 times the whole."""


def word_or_table(written: Any) -> str:
    """Discriminator of a field that is either a word or a table of keys."""
    return "word" if isinstance(written, str) else "table"
