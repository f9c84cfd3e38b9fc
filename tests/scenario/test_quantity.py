"""Quantities as objects: long form, spread, equality, order, and the kinds kept apart."""

import dataclasses
import pickle

import pytest

from sim.scenario.kinds import Coordinate, Force, Length, Mass, Ratio, Share, Temperature, Time, either
from sim.scenario.refused import Refused

NOTHING = "a spread in its unit: a percentage of "
TWICE = "range: [least, greatest] here: a percentage of a share has two meanings"


def test_the_si_value_stands_under_its_unit_and_no_other() -> None:
    length = Length.read("5 ft 6 in")
    assert length.m == length.si == 1.6764
    assert length.text == "5 ft 6 in"
    for other in ("kg", "N", "s", "m_s"):
        with pytest.raises(AttributeError):
            getattr(length, other)


def test_frozen() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        Length.read("1 m").si = 2.0  # type: ignore[misc]  # ty: that is the point


def test_equal_by_kind_value_and_spread_not_by_text_or_origin() -> None:
    assert Length.read("1 ft") == Length.read("12 in")
    assert hash(Length.read("1 ft")) == hash(Length.read("12 in"))
    assert Length.read("1 m") == Length.read({"value": "1 m", "from": "tape"})
    assert Length.read("1 m") != Length.read({"value": "1 m", "within": "5 %"})
    assert Length.of(1.0) != Time.of(1.0)
    assert Share.read("15 %") != Ratio.read("0.15")
    assert len({Length.read("1 ft"), Length.read("12 in"), Time.read("1 s")}) == 2


def test_ordered_within_a_kind_only() -> None:
    assert sorted([Mass.read("2 kg"), Mass.read("1 lb")]) == [Mass.read("1 lb"), Mass.read("2 kg")]
    with pytest.raises(TypeError):
        assert Mass.read("2 kg") < Force.read("3 N")


def test_pickles() -> None:
    force = Force.read({"value": "29 kN", "from": "certificate 4471", "within": "5 %"})
    again = pickle.loads(pickle.dumps(force))
    assert (again, again.text, again.origin) == (force, force.text, force.origin)


def test_origin_is_assumed_unless_written() -> None:
    assert Force.read("29 kN").origin == "assumed"
    assert Force.read({"value": "29 kN"}).origin == "assumed"
    assert Force.read({"value": "29 kN", "from": "certificate 4471"}).origin == "certificate 4471"
    assert Force.of(5.0).origin == "default"


@pytest.mark.parametrize(
    ("kind", "written", "low", "high"),
    [
        (Force, {"value": "29 kN", "within": "5 %"}, 27550.0, 30450.0),
        (Force, {"value": "29 kN", "within": "500 N"}, 28500.0, 29500.0),
        (Force, {"value": "7 kN", "range": ["6 kN", "9 kN"]}, 6000.0, 9000.0),
        (Mass, {"value": "84 kg", "within": "3 kg"}, 81.0, 87.0),
        (Length, {"value": "-2 m", "within": "10 %"}, -2.2, -1.8),
        (Coordinate, {"value": "2 m", "within": "1 in"}, 1.9746, 2.0254),
        (Temperature, {"value": "68 degF", "within": "9 degF"}, 15.0, 25.0),
        (Temperature, {"value": "20 degC", "within": "5 K"}, 15.0, 25.0),
        (Ratio, {"value": "0.15", "within": "0.05"}, 0.1, 0.2),
        (Share, {"value": "25 %", "range": ["20 %", "30 %"]}, 0.2, 0.3),
        (Force, {"value": "29 kN"}, 29000.0, 29000.0),
    ],
)
def test_spread(kind, written, low, high) -> None:
    value = kind.read(written)
    assert (value.low_si, value.high_si) == (low, high)
    assert value.low_si <= value.si <= value.high_si
    assert value.exact == (low == high)


@pytest.mark.parametrize(
    ("kind", "written", "expected"),
    [
        (Force, {"value": "29 kN", "within": "110 %"}, "at most 100 %"),
        (Force, {"value": "29 kN", "within": "-5 %"}, "a spread that is not negative"),
        (Force, {"value": "29 kN", "within": "5 kg"}, "a force, and kg is none"),
        (Force, {"value": "29 kN", "within": "5"}, "a force with its unit"),
        (Force, {"value": "0 N", "within": "5 %"}, NOTHING + "nothing is nothing"),
        (
            Coordinate,
            {"value": "2 m", "within": "5 %"},
            NOTHING + "a position says nothing",
        ),
        (
            Temperature,
            {"value": "20 degC", "within": "5 %"},
            NOTHING + "a temperature says nothing",
        ),
        (
            Share,
            {"value": "25 %", "within": "5 %"},
            TWICE,
        ),
        (Force, {"value": "7 kN", "range": ["8 kN", "9 kN"]}, "a range, least first, that holds the value"),
        (Force, {"value": "7 kN", "range": ["9 kN", "6 kN"]}, "a range, least first, that holds the value"),
        (Force, {"value": "7 kN", "range": ["6 kN"]}, "range: [least, greatest], each with its unit"),
        (Force, {"value": "7 kN", "range": "6 kN"}, "range: [least, greatest], each with its unit"),
        (Force, {"value": "7 kN", "range": ["6 kN", "9 kN"], "within": "5 %"}, "one of the two"),
        (Force, {"from": "certificate"}, "value: a force, such as 12.6 N"),
        (Force, {"value": ["7 kN"]}, "value: a force, such as 12.6 N"),
        (Force, {"value": "7 kN", "from": ""}, "from: where the value comes from"),
        (Force, {"value": "7 kN", "form": "certificate"}, "only value, from, within and range here"),
        (Force, ["7 kN"], "a force with its unit, such as 12.6 N"),
    ],
)
def test_long_forms_that_are_refused(kind, written, expected) -> None:
    with pytest.raises(Refused) as caught:
        kind.read(written)
    assert caught.value.expected == expected


def test_a_value_of_several_kinds_is_told_by_its_unit() -> None:
    read = either(Time, Share, Ratio)
    assert read("0.2 s") == Time.read("0.2 s")
    assert read("20 %") == Share.read("20 %")
    assert read("2") == Ratio.read("2")
    assert read({"value": "20 ms", "from": "test"}) == Time.read("20 ms")
    with pytest.raises(Refused):
        read("2 kg")


def test_written_si_reads_back() -> None:
    for value in (Length.read("1 1/7 in"), Share.read("1/3 %"), Temperature.read("70 °F"), Mass.read("1 oz")):
        assert type(value).read(value.written_si()) == value
