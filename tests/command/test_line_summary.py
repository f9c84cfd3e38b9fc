"""What the summary says of lines is what the result holds, in SI and US units, and says where nobody knows."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.command.line_summary import line_lines
from sim.results.model import Result
from sim.results.shown import Units
from tests.results.made_up import made_up_result


def said(units: Units = Units.SI, result: Result | None = None) -> dict[str, str]:
    """The sentences by their subject."""
    return {each.partition(":")[0]: each.partition(": ")[2] for each in line_lines(result or made_up_result(), units)}


def without(**blocks: object) -> Result:
    made = made_up_result()
    return replace(made, lines={"drop line": replace(made.lines["drop line"], **blocks)})


def test_every_figure_of_the_fullest_line_is_said() -> None:
    told = said()
    parts = told["If it parts, drop line"]
    for words in (
        "310 J/m (124 to 484) at break",
        "11,216 J in all",
        "445 J at the greatest force, 4.74 kN",
        "159.54 m/s",
    ):
        assert words in parts
    assert "(aramid copolymer 12-strand as strong: 222 J/m, 50.77 m/s)" in parts
    weight = told["Weight and sag, drop line (most of 2 lines)"]
    for words in ("8.9 kg (11 % of lamplighter) in 65.08 m out", "75.07 m at most", "a -> b sags 0.34 m over 40.00 m"):
        assert words in weight
    assert "with 7.5 mm more line than the straight way" in weight
    assert "bears 4 N of it, 0.51 % of body weight; b -> c is slack" in weight
    bends = told["Bends, drop line"]
    for words in ("3 in the planned move", "2 over lead sheave, 1 over head sheave", "720 in a season of 240 moves"):
        assert words in bends
    assert "life of 18,000 bends is 6,000 moves, 25 seasons" in bends
    assert "over lead sheave, D:d 16, wire lasts 0.32 times" in bends
    assert "not counted over block" in bends
    assert (
        "0.83 kN, 2.9 % of its strength, it lengthens by at most 15 mm in an hour, 26 mm in a day"
        in told["Creep, drop line"]
    )
    assert (
        "turns lamplighter with 0.34 N·m while held, about 12 turns on a free hang of 16.03 m"
        in told["Spin, drop line"]
    )
    assert "100 °C stated at head sheave, in use up to 121 °C, 0.92 of its strength" in told["Heat, drop line"]
    water = told["Water, drop line"]
    assert (
        "a metre of it sinks, weighing 0.074 N, and soaked weighs 32 g; run soaked, with 0.85 of its strength" in water
    )
    assert "under water at winch" in water


def test_what_rests_on_memory_is_marked_and_what_is_missing_is_said() -> None:
    told = said()
    assert told["Creep, drop line"].endswith("(needs evidence: number)")
    assert "needs evidence" not in told["Bends, drop line"]
    assert told["tag line, energy at break"].startswith("no figure")


def test_us_units_leave_no_metric_sign() -> None:
    told = said(Units.US)
    text = " ".join(told.values())
    for words in ("70 ft·lbf/ft (28 to 109)", "523.4 ft/s", "0.25 lbf·ft", "212 °F", "0.91 lbf", "213.5 ft"):
        assert words in text
    for sign in (" J", " kN", " m/s", " °C", " mm", " N·m", " kg"):
        assert sign + " " not in text, sign
        assert sign + "," not in text, sign


NO_LIFE = {"moves_in_life": None, "life_bends": None, "per_season": None}


@pytest.mark.parametrize(
    ("block", "changes", "words"),
    [
        ("creep", {"first_hour_m": None, "first_day_m": None}, "2.9 % of its strength: no figure. Little."),
        ("spin", {"turns": None}, "turns: no figure on a free hang"),
        ("spin", {"turns": None, "free": False}, "and other lines hold against it"),
        ("spin", {"swivel": "hook swivel"}, "turns in hook swivel instead of turning lamplighter, about 12 turns"),
        ("spin", {"torque_Nm": None, "turns": None}, "Unlays under load."),
        ("heat", {"hottest_degC": None, "at": ""}, "no temperature is stated. No credit without a test."),
        ("heat", {"hottest_degC": 130.0, "margin_degC": -9.0}, "ABOVE the 121 °C it is in use up to"),
        ("bends", NO_LIFE, "3,000 in 1,000 moves; its bending life in bends: no figure"),
        ("in_water", {"weight_in_water_N_per_m": None}, "no figure, its material is not stated"),
        ("in_water", {"weight_in_water_N_per_m": -0.01, "floats": True, "wet": False}, "floats, lifted by 0.01 N"),
    ],
)
def test_what_is_not_known_is_said(block: str, changes: dict[str, object], words: str) -> None:
    changed = replace(getattr(made_up_result().lines["drop line"], block), **changes)
    assert words in " ".join(said(result=without(**{block: changed})).values())
