"""The elements' table holds the result's own numbers, a row for each load, weakest first."""

from __future__ import annotations

import csv
import math
from dataclasses import replace
from pathlib import Path

from sim.results.elements_table import COLUMNS, write_elements
from sim.results.model import Factors, Load, PlaceResult, Result
from tests.results.made_up import made_up_result


def rows(result: Result, folder: Path) -> list[dict[str, str]]:
    write_elements(folder / "elements.csv", result)
    with (folder / "elements.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_each_load_has_a_row_with_the_results_own_numbers(tmp_path: Path) -> None:
    result = made_up_result()
    found = rows(result, tmp_path)
    assert tuple(found[0]) == COLUMNS
    assert len(found) == sum(len(each.loads) for each in result.elements.values())
    for row in found:
        element = result.elements[row["element"]]
        load = element.loads[row["load"]]
        assert (row["case"], float(row["time_s"]), row["place"]) == (load.case, load.time_s, load.place)
        assert float(row["force_N"]) == getattr(element, f"{row['load']}_N")
        for column, value in (
            ("strength_N", load.strength_N),
            ("load_margin", load.margin),
            ("margin", element.margin),
            ("design_factor", getattr(element.design_factor, row["load"])),
        ):
            assert row[column] == ("" if value is None else repr(value))


def test_the_weakest_comes_first_and_the_deciding_load_has_the_chain(tmp_path: Path) -> None:
    found = rows(made_up_result(), tmp_path)
    assert [row["element"] for row in found[::2]] == ["head sling", "grid bolt", "drop line"]
    deciding = [row for row in found if row["decides"]]
    assert {(row["element"], row["load"]) for row in deciding} == {
        ("head sling", "emergency"), ("drop line", "emergency"),
    }  # fmt: skip
    for row in found:
        assert (row["reductions"] != "") == (row in deciding)
    assert deciding[0]["reductions"] == "0.9 long splice at lamplighter (value from memory, needs evidence)"


def test_what_needs_evidence_says_so_in_every_row(tmp_path: Path) -> None:
    result = made_up_result()
    sure = replace(result.elements["drop line"], needs_evidence=False)
    found = rows(replace(result, elements={**result.elements, "drop line": sure}), tmp_path)
    assert {row["element"]: row["needs_evidence"] for row in found} == {
        "head sling": "yes", "grid bolt": "yes", "drop line": "",
    }  # fmt: skip


def test_no_number_is_an_empty_cell_and_text_stays_on_its_line(tmp_path: Path) -> None:
    result = made_up_result()
    strange = replace(
        result.elements["drop line"],
        name='the "long"\nline, old',
        loads={"static": Load("a", 0.0, margin=math.nan)},
        design_factor=Factors(math.inf),
        remark="one\ntwo",
    )
    (row,) = rows(replace(result, elements={"x": strange}), tmp_path)
    assert (row["design_factor"], row["load_margin"], row["remark"]) == ("", "", "one two")
    assert row["element"] == 'the "long"\nline, old'
    nothing = replace(strange, loads={}, design_factor=Factors())
    (row,) = rows(replace(result, elements={"x": nothing}), tmp_path)
    assert (row["load"], row["force_N"], row["within"]) == ("", "", "within")


def test_places_of_a_line_stand_below_it(tmp_path: Path) -> None:
    result = made_up_result()
    line = result.elements["drop line"]
    end = PlaceResult(
        "lamplighter", "termination", 800.0, 1900.0, 4000.0, line.reductions,
        {"emergency": Load("late brake", 2.5, "span", 20300.0, 0.69)}, Factors(emergency=5.07), 0.69, True,
    )  # fmt: skip
    line_rows = rows(replace(result, elements={"x": replace(line, places=(end,))}), tmp_path)
    assert [row["element"] for row in line_rows] == ["drop line", "drop line", "drop line at lamplighter"]
    row = line_rows[-1]
    assert (row["kind"], row["within"], row["load"], row["decides"]) == ("termination", "", "emergency", "yes")
    assert (row["force_N"], row["strength_N"], row["margin"], row["design_factor"]) == (
        "4000.0",
        "20300.0",
        "0.69",
        "5.07",
    )
