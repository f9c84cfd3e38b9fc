"""The number grammar: what is a number, what is refused, and that nothing else can happen."""

import math
import time
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.scenario.kinds import Length, Mass, Ratio, Share
from sim.scenario.number import read_plain_number, split_number
from sim.scenario.quantity import plain_digits
from sim.scenario.refused import Refused
from sim.scenario.shares import percent_text


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("82 kg", 82, "kg"),
        ("82kg", 82, "kg"),
        ("12.6 m", Fraction(126, 10), "m"),
        ("12. m", 12, "m"),
        (".5 m", Fraction(1, 2), "m"),
        ("1 1/4 in", Fraction(5, 4), "in"),
        ("3/8 in", Fraction(3, 8), "in"),
        ("-3 m", -3, "m"),
        ("- 3 m", -3, "m"),
        ("−3 m", -3, "m"),
        ("–3 m", -3, "m"),
        ("−1 1/2 in", Fraction(-3, 2), "in"),
        ("+3 m", 3, "m"),
        ("35 °C", 35, "°C"),
        ("35°C", 35, "°C"),
        ("0.6 %", Fraction(6, 1000) * 100, "%"),
        ("5e3 N", 5000, "N"),
        ("1.5E-6", Fraction(15, 10**7), ""),
        ("1e−6", Fraction(1, 10**6), ""),
        ("010 m", 10, "m"),
        ("1.10 m", Fraction(11, 10), "m"),
        ("3 kg/100 m", 3, "kg/100 m"),
        ("5 µs", 5, "µs"),
    ],
)
def test_reads_a_number_exactly_and_leaves_its_unit(text: str, number: Fraction, unit: str) -> None:
    assert split_number(text) == (number, unit)


@pytest.mark.parametrize(
    ("text", "expected", "nearest"),
    [
        ("12,6 m", "a decimal point, and no comma in a number", "12.6 m"),
        ("1,200 N", "a decimal point, and no comma in a number", "1.200 N or 1200 N"),
        ("NaN m", "a finite number", ""),
        (".nan m", "a finite number", ""),
        ("inf kg", "a finite number", ""),
        ("-Infinity m", "a finite number", ""),
        ("−inf m", "a finite number", ""),
        ("1-1/4 in", "a blank between whole number and fraction", "1 1/4 in"),
        ("1¼ in", "a fraction written with a stroke", "1 1/4 in"),
        ("1/0 in", "a fraction that does not divide by zero", ""),
    ],
)
def test_says_what_is_wrong_with_a_known_trap(text: str, expected: str, nearest: str) -> None:
    with pytest.raises(Refused) as caught:
        split_number(text)
    assert (caught.value.expected, caught.value.nearest) == (expected, nearest)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "m",
        "kg 5",
        "9**9**9 m",
        "9*9 m",
        "1_000 m",
        "1:30",
        "0x10 m",
        "1..2 m",
        "1.2.3 m",
        "--3 m",
        "1 2 m",
        "1/2/3 in",
        "1.5/2 in",
        "5e",
        "5e999 N",
        "1e100 m",
        "1" * 19,
        "0." + "1" * 41,
        "٣ m",
        "1 1/4/2 in",
        "five m",
        "$5",
        "5\n6 m",
        "=5 m",
    ],
)
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        Length.read(text)
    with pytest.raises(Refused):
        read_plain_number(text)


@given(st.text(max_size=200))
def test_any_text_is_a_finite_number_or_refused(text: str) -> None:
    for kind in (Length, Mass, Ratio, Share):
        try:
            value = kind.read(text)
        except Refused:
            continue
        assert math.isfinite(value.si)


@given(st.text(alphabet="0123456789eE+-−./, *°'\"%mkgftin_", max_size=100))
def test_any_text_of_number_like_characters_is_a_finite_number_or_refused(text: str) -> None:
    try:
        value = Length.read(text)
    except Refused:
        return
    assert math.isfinite(value.si)


@pytest.mark.parametrize(
    "text", ["9" * 10**6, "1 " * 10**5 + "m", "9**" * 10**5, "1e" + "9" * 10**5, "-" * 10**5, "1/" * 10**5]
)
def test_no_text_takes_long(text: str) -> None:
    begun = time.thread_time()
    with pytest.raises(Refused):
        Length.read(text)
    assert time.thread_time() - begun < 0.5


@given(st.decimals(min_value=-(10**5), max_value=10**5, allow_nan=False, places=6))
def test_a_decimal_is_read_to_the_nearest_float(number) -> None:
    assert Length.read(f"{number:f} m").si == float(Fraction(number))


@given(st.floats(min_value=-1e17, max_value=1e17))
def test_the_shortest_digits_read_back_as_the_same_float(value: float) -> None:
    if value != 0 and abs(value) < 1e-90:
        return
    assert float(split_number(plain_digits(value))[0]) == value


@given(st.floats(min_value=1e-9, max_value=1.0))
def test_percent_text_reads_back_as_the_same_float(share: float) -> None:
    assert Share.read(percent_text(share)).ratio == share
