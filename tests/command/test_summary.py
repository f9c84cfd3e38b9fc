"""The printed summary: the result's own numbers, worst first, cautions on every page, SI or US."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from rich.console import Console

from sim.command.summary import print_summary, print_verdict
from sim.results.cautions import FULL, SHORT
from sim.results.model import Factors, Outcome, Result
from sim.results.shown import Units, shown, unit_shown
from sim.results.verdict import deciding_load, not_judged, verdict_sentence
from tests.results.made_up import made_up_result

FORBIDDEN = re.compile(r"\b(safe|safety|safely|unsafe|certified|approved)\b", re.IGNORECASE)


def _printed(result: Result, units: Units = Units.SI, width: int = 160) -> str:
    stream = io.StringIO()
    console = Console(file=stream, width=width, markup=False, highlight=False, emoji=False)
    print_summary(console, result, units, Path("results/drop"))
    return stream.getvalue()


def _one_line(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("units", list(Units))
def test_every_page_carries_the_cautions(units: Units) -> None:
    page = _one_line(_printed(made_up_result(), units))
    for caution in FULL:
        assert caution in page
    assert not FORBIDDEN.search(page)
    stream = io.StringIO()
    print_verdict(Console(file=stream, width=160), made_up_result(), None, cautions=True)
    assert SHORT in _one_line(stream.getvalue())


def test_cautions_say_what_they_must() -> None:
    for text in (SHORT, " ".join(FULL)):
        for part in ("one input to a risk assessment", "approves nothing", "competent person", "unmanned tests"):
            assert part in text
        assert not FORBIDDEN.search(text)
    for part in ("Local codes", "makers' instructions", "licensed practice", "medical question", "measured"):
        assert part in " ".join(FULL)


def test_worst_comes_first() -> None:
    page = _printed(made_up_result())
    rows = [line for line in page.splitlines() if line.strip().startswith(("OUTSIDE", "not judged", "within"))]
    words = [row.split("  ")[0].strip() for row in rows]
    assert words == ["OUTSIDE", "not judged", "within", "OUTSIDE", "within"]
    assert "head sling" in rows[0]
    assert "grid bolt" in rows[1]


def test_figures_are_the_results_own() -> None:
    page = _printed(made_up_result())
    sling = next(line for line in page.splitlines() if line.strip().startswith("OUTSIDE") and "head sling" in line)
    assert sling.split()[-4:] == ["26.10*", "2.40", "3", "-0.20"]  # 2.4 of 3 that are needed
    performer = next(line for line in page.splitlines() if line.strip().startswith("power loss, worst force"))
    assert performer.split()[-6:] == ["6.40", "6.38", "1.31", "2.61", "6.00", "0.70"]
    for part in ("no strength is given", "late brake", "the lead sling's strength is assumed", "1.2e-07", "3.0e-05"):
        assert part in page
    assert "the step fell below" not in page  # a failed instant is counted here and explained in sweep.csv
    assert "one instant of a stop sweep" in page


def test_us_units_turn_every_figure() -> None:
    page = _printed(made_up_result(), Units.US)
    assert not re.search(r"\b(kN|m/s)\b|\bm\b", page)
    sling = next(line for line in page.splitlines() if line.strip().startswith("OUTSIDE") and "head sling" in line)
    assert sling.split()[-4:] == ["5,868*", "2.40", "3", "-0.20"]


@pytest.mark.parametrize(
    ("unit", "sign", "size_si"),
    [
        # NIST Special Publication 811 (2008), B.8, exact
        ("N", "lbf", 4.4482216152605),
        ("m", "ft", 0.3048),
        ("m/s", "ft/s", 0.3048),
        ("m/s^2", "ft/s²", 0.3048),
        ("kg", "lb", 0.45359237),
    ],
)
def test_us_factors_are_exact(unit: str, sign: str, size_si: float) -> None:
    how = unit_shown(unit, Units.US)
    assert how.sign == sign
    assert how.number(size_si) == 1.0
    assert how.number(1000.0 * size_si) == pytest.approx(1000.0, rel=1e-15)


def test_pound_force_is_pound_times_standard_gravity() -> None:
    assert unit_shown("N", Units.US).size_si == pytest.approx(0.45359237 * 9.80665, rel=1e-15)


def test_an_unknown_unit_keeps_its_own_sign() -> None:
    assert shown(2.0, "rad", Units.US) == "2.000 rad"
    assert shown(-0.001, "m") == "0.00 m"
    assert shown(-0.5, "m") == "-0.50 m"


def test_verdict_counts_each_thing_once() -> None:
    sentence = verdict_sentence(made_up_result())
    assert sentence == (
        "Verdict: outside limits (2 within, 2 outside, 1 not judged, 1 not finished, 1 not simulated). "
        "Weakest element: head sling."
    )


def test_a_run_that_did_not_finish_is_told_with_its_remedy() -> None:
    result = made_up_result()
    case = replace(result.cases["planned move"], outcome=Outcome.FAILED, reason="the line jammed", remedy="lengthen it")
    page = _printed(replace(result, cases={**result.cases, "planned move": case}))
    assert "planned move: the line jammed (lengthen it)" in page


def test_names_are_never_taken_for_markup() -> None:
    page = _printed(replace(made_up_result(), title="[bold]the [/x] drop :smile:"))
    assert "[bold]the [/x] drop :smile:" in page


def test_the_deciding_load_is_the_one_with_least_margin() -> None:
    element = made_up_result().elements["drop line"]
    assert deciding_load(element) == "emergency"
    assert deciding_load(replace(element, design_factor=Factors(9.0, 13.7, 6.2))) == "static"
    assert deciding_load(replace(element, required=Factors(None, 5.0, None))) == "working"
    assert deciding_load(replace(element, required=Factors())) is None


@pytest.mark.parametrize("width", [80, 100])
def test_a_narrow_terminal_still_shows_every_number(width: int) -> None:
    page = _printed(made_up_result(), width=width)
    for number in ("2.40", "26.10", "6.38", "0.70", "OUTSIDE", "not judged"):
        assert number in page


def test_a_drive_that_never_stops_has_no_stopping_distance() -> None:
    result = made_up_result()
    name, case = next((n, c) for n, c in result.cases.items() if c.stop_time_s is not None)
    assert "runs on" not in _printed(result)
    drives = {"winch": replace(case.drives["winch"], stopping_distance_m=110.0, stopping_time_s=None)}
    page = _printed(replace(result, cases={**result.cases, name: replace(case, drives=drives)}))
    assert "runs on" in page
    assert "110" not in page


def test_what_is_not_judged_for_one_reason_stands_in_one_line() -> None:
    made = made_up_result()
    why = "no design factor is asked of it"
    elements = {name: replace(each, within=None, remark=why) for name, each in made.elements.items()}
    lines = not_judged(replace(made, elements=elements, findings=()))
    assert lines == [f"{', '.join(elements)}: {why}"]


def test_a_move_that_is_not_made_is_told_apart_from_other_remarks() -> None:
    result = made_up_result()
    short = "team ends 1.23 m away from where its moves lead: its people cannot give what they ask"
    case = replace(result.cases["planned move"], remarks=("a light sheave was given mass", short))
    page = _printed(replace(result, cases={**result.cases, "planned move": case}))
    assert f"Not moved as planned\n- {short} (planned move)" in page
    assert page.count(short) == 1
    assert page.index(short) < page.index("a light sheave was given mass (planned move)")
