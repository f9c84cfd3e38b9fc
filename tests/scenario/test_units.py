"""Every unit against its outside definition.

Exact factors: NIST Special Publication 811, 2008 edition, appendix B.8 (where it rounds, the exact definition in its
footnotes: yard and pound of 1959, and standard gravity). SI prefixes: the SI brochure, 9th edition, table 7.
"""

import math
from fractions import Fraction

import pytest

from sim.scenario import kinds
from sim.scenario.kinds import (
    Acceleration,
    Angle,
    Area,
    Force,
    Frequency,
    Inertia,
    Jerk,
    Length,
    Mass,
    MassPerLength,
    Power,
    Ratio,
    Share,
    Speed,
    Stiffness,
    Temperature,
    Time,
    Torque,
)
from sim.scenario.quantity import Quantity
from sim.scenario.refused import Refused

IN = Fraction("0.0254")  # NIST SP 811 B.8: inch
FT = Fraction("0.3048")  # NIST SP 811 B.8: foot
LB = Fraction("0.45359237")  # NIST SP 811 B.8, footnote: pound (avoirdupois)
G = Fraction("9.80665")  # NIST SP 811 B.8: acceleration of free fall, standard
LBF = Fraction("4.4482216152605")  # NIST SP 811 B.8: pound-force
MILE = Fraction("1609.344")  # NIST SP 811 B.8: mile

FACTORS: dict[type[Quantity], dict[str, Fraction | float]] = {
    Length: {
        "m": Fraction(1),
        "cm": Fraction(1, 100),
        "mm": Fraction(1, 1000),
        "km": Fraction(1000),
        "in": IN,
        "inch": IN,
        "inches": IN,
        "ft": FT,
        "foot": FT,
        "feet": FT,
        "yd": 3 * FT,
    },
    Mass: {
        "kg": Fraction(1),
        "g": Fraction(1, 1000),
        "t": Fraction(1000),
        "metric ton": Fraction(1000),
        "lb": LB,
        "oz": LB / 16,
        "short ton": 2000 * LB,
        "long ton": 2240 * LB,
    },
    Time: {"s": Fraction(1), "ms": Fraction(1, 1000), "us": Fraction(1, 10**6), "min": Fraction(60)},
    Force: {
        "N": Fraction(1),
        "daN": Fraction(10),
        "kN": Fraction(1000),
        "MN": Fraction(10**6),
        "kgf": G,
        "lbf": LBF,
        "kip": 1000 * LBF,
        "metric tonf": 1000 * G,
        "short tonf": 2000 * LBF,
        "long tonf": 2240 * LBF,
    },
    Stiffness: {
        "N/m": Fraction(1),
        "kN/m": Fraction(1000),
        "N/mm": Fraction(1000),
        "kN/mm": Fraction(10**6),
        "kgf/mm": 1000 * G,
        "lbf/in": LBF / IN,
        "lbf/ft": LBF / FT,
        "kip/in": 1000 * LBF / IN,
    },
    Torque: {
        "N m": Fraction(1),
        "Nm": Fraction(1),
        "kN m": Fraction(1000),
        "kNm": Fraction(1000),
        "kgf m": G,
        "lbf ft": LBF * FT,
        "ft lbf": LBF * FT,
        "lbf in": LBF * IN,
        "in lbf": LBF * IN,
    },
    Speed: {
        "m/s": Fraction(1),
        "mm/s": Fraction(1, 1000),
        "m/min": Fraction(1, 60),
        "km/h": Fraction(1000, 3600),
        "ft/s": FT,
        "ft/min": FT / 60,
        "in/s": IN,
        "mph": MILE / 3600,
    },
    Acceleration: {"m/s^2": Fraction(1), "mm/s^2": Fraction(1, 1000), "ft/s^2": FT, "in/s^2": IN},
    Jerk: {"m/s^3": Fraction(1), "ft/s^3": FT, "in/s^3": IN},
    Angle: {"rad": 1.0, "deg": math.pi / 180, "°": math.pi / 180, "turn": 2 * math.pi, "turns": 2 * math.pi},
    Frequency: {"Hz": Fraction(1), "kHz": Fraction(1000)},
    # horsepower: NIST SP 811 B.8, 550 ft·lbf/s
    Power: {"W": Fraction(1), "kW": Fraction(1000), "hp": 550 * FT * LBF},
    MassPerLength: {
        "kg/m": Fraction(1),
        "g/m": Fraction(1, 1000),
        "kg/100 m": Fraction(1, 100),
        "lb/ft": LB / FT,
        "lb/100 ft": LB / FT / 100,
    },
    Area: {"m^2": Fraction(1), "cm^2": Fraction(1, 10**4), "mm^2": Fraction(1, 10**6), "ft^2": FT**2, "in^2": IN**2},
    Inertia: {
        "kg m^2": Fraction(1),
        "kg cm^2": Fraction(1, 10**4),
        "kg mm^2": Fraction(1, 10**6),
        "g m^2": Fraction(1, 1000),
        "lb ft^2": LB * FT**2,
        "lb in^2": LB * IN**2,
    },
    Ratio: {"%": Fraction(1, 100)},
    Share: {"%": Fraction(1, 100)},
}
CASES = [(kind, unit, factor) for kind, factors in FACTORS.items() for unit, factor in factors.items()]


@pytest.mark.parametrize(("kind", "unit", "factor"), CASES, ids=[f"{k.__name__} {u}" for k, u, _ in CASES])
def test_factor_is_the_outside_definition(kind: type[Quantity], unit: str, factor: Fraction | float) -> None:
    assert kind.read(f"1 {unit}").si == float(factor)
    assert kind.read(f"7.5 {unit}").si == pytest.approx(7.5 * float(factor), rel=1e-15)


def test_no_unit_is_left_unchecked() -> None:
    for kind, factors in FACTORS.items():
        assert set(factors) == set(kind.accepts), kind
    all_kinds = {
        k for k in vars(kinds).values() if isinstance(k, type) and issubclass(k, Quantity) and k is not Quantity
    }
    assert all_kinds - set(FACTORS) == {Temperature, kinds.Coordinate}


def test_pound_force_is_the_pound_times_standard_gravity() -> None:
    # NIST SP 811 B.8 gives both; they must agree with each other before we agree with them
    assert LB * G == LBF


@pytest.mark.parametrize(
    ("text", "degC"),
    [("35 degC", 35.0), ("35 °C", 35.0), ("95 degF", 35.0), ("95 °F", 35.0), ("-40 °F", -40.0), ("273.15 K", 0.0)],
)
def test_temperature_scales(text: str, degC: float) -> None:
    # NIST SP 811 B.8: t/°C = (t/°F − 32)/1.8 and t/°C = T/K − 273.15
    assert Temperature.read(text).degC == degC


@pytest.mark.parametrize(
    ("kind", "typed", "plain"),
    [
        (Acceleration, "5 m/s²", "5 m/s^2"),
        (Acceleration, "5 m/s2", "5 m/s^2"),
        (Jerk, "60 m/s³", "60 m/s^3"),
        (Torque, "3 N·m", "3 N m"),
        (Torque, "3 N*m", "3 N m"),
        (Inertia, "3 kg·m²", "3 kg m^2"),
        (Area, "3 m2", "3 m^2"),
        (Time, "5 µs", "5 us"),
    ],
)
def test_units_may_be_typed_either_way(kind: type[Quantity], typed: str, plain: str) -> None:
    assert kind.read(typed) == kind.read(plain)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("5 ft 6 in", 1.6764),
        ("5ft 6in", 1.6764),
        ("5 feet 6 1/2 inches", 1.6891),
        ("-5 ft 6 in", -1.6764),
        ("0 ft 0 in", 0.0),
        ("1 1/4 in", 0.03175),
        ("12 in", 0.3048),
        ("1 ft", 0.3048),
    ],
)
def test_feet_and_inches(text: str, metres: float) -> None:
    assert Length.read(text).m == metres


@pytest.mark.parametrize(
    ("kind", "text", "expected", "nearest"),
    [
        (Force, "350 kg", "a force, and kg is none", "350 kgf"),
        (Force, "800 lb", "a force, and lb is none", "800 lbf"),
        (Force, "5 kn", None, "5 kN"),
        (Force, "2 ton", "which ton it is: metric tonf (1000 kg), short tonf (2000 lb) or long tonf (2240 lb)", ""),
        (Mass, "2 ton", "which ton it is: metric ton (1000 kg), short ton (2000 lb) or long ton (2240 lb)", ""),
        (Mass, "2 tons", "which ton it is: metric ton (1000 kg), short ton (2000 lb) or long ton (2240 lb)", ""),
        (Mass, "350 kgf", "a mass, and kgf is none", "350 kg"),
        (Mass, "800 N", "a mass, and N is a unit of force", ""),
        (Mass, "84 KG", None, "84 kg"),
        (Mass, "84", "a mass with its unit", "84 kg"),
        (Acceleration, "2 g", "an acceleration in m/s^2 or ft/s^2, and g is none of its units", "19.6 m/s^2"),
        (Length, "5' 6\"", "feet and inches in words", "5 ft 6 in"),
        (Length, '3/16"', "inches in words", "3/16 in"),
        (Length, "5 ft 13 in", "less than 12 in after the feet", ""),
        (Length, "5 lbs", None, ""),
        (Temperature, "35 C", "a temperature, and C is none", "35 degC"),
        (Share, "0.5", "a percentage", "0.5 %"),
        (Speed, "6 m/sec", None, "6 m/s"),
        (Ratio, "5 kg", None, ""),
    ],
)
def test_other_units_are_refused_with_the_right_one(
    kind: type[Quantity], text: str, expected: str | None, nearest: str
) -> None:
    with pytest.raises(Refused) as caught:
        kind.read(text)
    assert caught.value.nearest == nearest
    if expected is not None:
        assert caught.value.expected == expected
    else:
        assert all(unit in caught.value.expected for unit in kind.accepts)
