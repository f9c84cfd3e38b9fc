"""The number grammar: how a number may be written, and nothing else.

    number   = [sign] ( mixed | fraction | decimal )
    mixed    = digits blank digits "/" digits            1 1/4
    fraction = digits "/" digits                         3/8
    decimal  = digits ["." digits] [exponent]            12.6   .5   1e-6
    sign     = "+" | "-" | the typographic minus (U+2212) | the en dash (U+2013)

Numbers are exact fractions until the unit has been converted, so 1 ft and 12 in are the same length to the last bit.
Digits and exponents are limited, so no text can make the reader slow or hungry.
"""

from __future__ import annotations

import re
from fractions import Fraction

from sim.scenario.refused import Refused, quoted

LONGEST_TEXT = 80
"""Characters; a quantity is never longer than this."""

_NUMBER = re.compile(
    r"""\s*(?P<sign>[-+\u2212\u2013])?\s*
    (?: (?P<whole>\d{1,9})[ ]+(?P<over>\d{1,6})/(?P<under>\d{1,6})
      | (?P<top>\d{1,9})/(?P<bottom>\d{1,6})
      | (?P<decimal>\d{1,18}(?:\.\d{0,40})?|\.\d{1,40})(?:[eE](?P<exponent>[-+\u2212]?\d{1,2})(?!\d))?
    )""",
    re.VERBOSE | re.ASCII,
)
_UNIT_START = re.compile(r"\s*(?:[^\W\d_]|[%°\"'\u2032\u2033]|$)")
_DECIMAL_COMMA = re.compile(r"\s*[-+\u2212\u2013]?\s*\d+,\d", re.ASCII)
_NOT_FINITE = re.compile(r"\s*[-+\u2212\u2013]?\s*\.?(?:nan|inf(?:inity)?)\b", re.IGNORECASE)
_HYPHENED = re.compile(r"\s*(\d+)-(\d+/\d+)(.*)", re.ASCII | re.DOTALL)
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


def split_number(text: str) -> tuple[Fraction, str]:
    """The number a text begins with, exactly, and what follows it (the unit, stripped).

    >>> split_number("1 1/4 in")
    (Fraction(5, 4), 'in')

    Raises Refused where the text does not begin with one well-formed finite number.
    """
    if len(text) > LONGEST_TEXT:
        raise Refused(quoted(text), f"at most {LONGEST_TEXT} characters")
    _refuse_traps(text)
    match = _NUMBER.match(text)
    if match is None or not _UNIT_START.match(text, match.end()):
        raise Refused(quoted(text), "one number such as 12.6, 3/8 or 1 1/4, and a unit where one is due")
    return _value(match, text), text[match.end() :].strip()


def read_plain_number(text: str) -> Fraction:
    """A number that has no unit. Raises Refused where anything follows it."""
    number, rest = split_number(text)
    if rest:
        raise Refused(quoted(text), "a plain number without a unit", text[: len(text.rstrip()) - len(rest)].strip())
    return number


def _value(match: re.Match[str], text: str) -> Fraction:
    """The exact value of a matched number."""
    part = match.groupdict()
    if part["decimal"] is not None:
        value = Fraction(part["decimal"] + ("0" if part["decimal"].endswith(".") else ""))
        if part["exponent"] is not None:
            value *= Fraction(10) ** int(part["exponent"].replace("\u2212", "-"))
    else:
        over, under = part["over"] or part["top"], part["under"] or part["bottom"]
        if int(under) == 0:
            raise Refused(quoted(text), "a fraction that does not divide by zero")
        value = int(part["whole"] or 0) + Fraction(int(over), int(under))
    return -value if part["sign"] and part["sign"] != "+" else value


def _refuse_traps(text: str) -> None:
    """Ways of writing a number that are common, or look like one, and that we will not guess about."""
    if _NOT_FINITE.match(text):
        raise Refused(quoted(text), "a finite number")
    if _DECIMAL_COMMA.match(text):
        offered = text.strip().replace(",", ".", 1)
        if re.search(r",\d{3}(?!\d)", text):
            offered += f" or {text.strip().replace(',', '')}"
        raise Refused(quoted(text), "a decimal point, and no comma in a number", offered)
    hyphened = _HYPHENED.fullmatch(text)
    if hyphened:
        raise Refused(quoted(text), "a blank between whole number and fraction", "{} {}{}".format(*hyphened.groups()))
    for sign, plain in _VULGAR.items():
        if sign in text:
            raise Refused(quoted(text), "a fraction written with a stroke", text.replace(sign, f" {plain}").strip())
