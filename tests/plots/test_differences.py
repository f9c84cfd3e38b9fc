"""What stands in the figure of two results: every point a difference of the comparison, and what the table says."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from plots import differences_figure, write_difference_plots
from sim.results.folder import write_result
from sim.results.kept import read_kept
from sim.results.model import Result
from sim.results.shown import Units
from sim.results.two_results import Compared, compare_kept, side_of
from sim.studies.differ import curves_of
from tests.plots.looking import words_of
from tests.results.made_up import INPUTS, made_up_result


def _compared(tmp_path: Path, first: Result, second: Result, names: tuple[str, str] = ("then", "now")) -> Compared:
    kept = [read_kept(write_result(tmp_path / name, each, INPUTS)) for name, each in (("1", first), ("2", second))]
    return Compared(side_of(kept[0], names[0]), side_of(kept[1], names[1]), compare_kept(kept[0], kept[1], ({}, {})))


def _changed(title: str = "The lamplighter's drop") -> Result:
    plain = made_up_result()
    case = plain.cases["planned move"]
    peaks = {"drop line": replace(case.peaks["drop line"], force_N=5000.0), "head sling": case.peaks["head sling"]}
    seen = replace(case.performers["lamplighter"], peak_g=2.0)
    changed = replace(case, peaks=peaks, performers={"lamplighter": seen})
    return replace(plain, title=title, verdict="within limits", cases={**plain.cases, "planned move": changed})


def test_points_are_the_differences_and_their_direction(tmp_path: Path) -> None:
    compared = _compared(tmp_path, made_up_result(), _changed())
    figure = differences_figure(compared)
    (axes,) = figure.axes
    points = {
        str(line.get_label()): (float(np.asarray(line.get_xdata())[0]), line.get_marker())
        for line in axes.lines if line.get_marker() in ("^", "v")
    }  # fmt: skip
    assert points == {
        "planned move / peak / drop line / force": (pytest.approx(1 - 4210.123456789 / 5000.0), "^"),
        "planned move / lamplighter / peak g": (pytest.approx(0.31 / 2.31), "v"),
    }
    claimed = [float(np.asarray(line.get_xdata())[0]) for line in axes.lines if line.get_marker() == "|"]
    assert claimed == [3e-5, 3e-5]
    said = words_of(figure)
    assert "4.21 kN → 5.00 kN (+0.79 kN, 16 %)" in said
    assert "then against now" in said
    assert "outside limits" in said  # the verdict of the one beside that of the other
    assert "within limits" in said
    assert "Different: 1 outcome, 2 figures" in " ".join(said.split())


def test_in_us_units_the_values_turn_and_the_points_stay(tmp_path: Path) -> None:
    compared = _compared(tmp_path, made_up_result(), _changed())
    si, us = differences_figure(compared), differences_figure(compared, Units.US)
    assert "946 lbf → 1,124 lbf" in words_of(us)
    places = [
        [np.asarray(line.get_xdata()).tolist() for line in figure.axes[0].lines if line.get_marker() in ("^", "v")]
        for figure in (si, us)
    ]
    assert places[0] == places[1]


def test_two_results_without_a_difference_say_so(tmp_path: Path) -> None:
    compared = _compared(tmp_path, made_up_result(), made_up_result())
    figure = differences_figure(compared)
    assert figure.axes == []
    assert "Same: nothing differs" in words_of(figure)


def test_an_altered_folder_stands_in_the_heading(tmp_path: Path) -> None:
    compared = _compared(tmp_path, made_up_result(), _changed())
    note = "then: no longer what was written, altered or missing: result.json."
    assert note in words_of(differences_figure(replace(compared, notes=(note,), altered=True)))


def test_all_figures_are_written_with_any_names_and_the_same_bytes_again(tmp_path: Path) -> None:
    names = ("a_{b}$ <b>& 点", "x" * 150)
    compared = _compared(tmp_path, made_up_result(), _changed("<script>1</script> $x_2$"), names)
    kept = read_kept(tmp_path / "1"), read_kept(tmp_path / "2")
    curves = curves_of(*kept, names)
    assert curves is not None
    assert [variant.name for variant in curves.variants] == list(names)
    written = write_difference_plots(compared, curves, tmp_path / "plots")
    assert [path.name for path in written] == [
        "differences.svg", "compared power loss.svg", "compared planned move.svg", "compared operator stop.svg",
    ]  # fmt: skip
    text = written[0].read_text(encoding="utf-8")
    assert "<script>" not in text
    assert "$x_2$" in text
    again = write_difference_plots(compared, curves, tmp_path / "again")
    assert [path.read_bytes() for path in again] == [path.read_bytes() for path in written]
    (tmp_path / "1/input.yaml").write_text("altered")
    altered = curves_of(read_kept(tmp_path / "1"), kept[1], ("then", "now"))
    assert altered is not None
    assert [variant.name for variant in altered.variants] == ["then (altered)", "now"]
