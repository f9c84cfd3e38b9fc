"""What stands in the figures of a comparison."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from plots import compare_figure, overview_figure, write_comparison_plots
from sim.results.comparison import Comparison, Curves, Figures, Margin, Variant, Worst
from sim.results.model import SweepTable, Trace
from tests.plots import builders
from tests.plots.looking import curves, marks, panel, words_of

NAMES = ("HMPE", "wire 5 mm", "polyester 点")


def variant(name: str, factor: float) -> Variant:
    figures = Figures(
        peak_g=Worst(5.3 * factor, "lamplighter", "power loss"),
        peak_tension_N=Worst(4500.0 * factor, "drop line", "power loss"),
        clearance_m=Worst(1.2 / factor - 0.9, "lamplighter", "power loss"),
        least_margin=Margin(1.3 / factor - 1.0, "drop line", "emergency", 3.9 / factor, 3.0),
    )
    return Variant(name, {}, 0, "within limits", figures=figures)


def compared(names: tuple[str, ...] = NAMES, speeds: tuple[float, ...] = ()) -> Comparison:
    result = builders.simple_result()
    told: dict[str, Curves] = {}
    for i, name in enumerate(names):
        table = builders.simple_sweep()
        columns = {key: (1 + 0.1 * i) * values for key, values in table.columns.items()}
        trace = result.traces["planned move"]
        if speeds:
            trace = Trace(trace.time_s, {k: speeds[i] * v for k, v in trace.columns.items()})
        told[name] = Curves({"power loss": replace(table, columns=columns)}, trace)
    lost = Variant("lost", {}, 2, "not run", cause="no such size")
    return Comparison(
        result.title, "type of drop line", (*(variant(n, 1 + 0.1 * i) for i, n in enumerate(names)), lost), (),
        {"g_load": 6.0, "clearance_m": 0.3}, result.drawing, builders.STAMP, 2, told,
    )  # fmt: skip


def labels(quantity: str, comparison: Comparison) -> list[str]:
    return [str(line.get_label()) for line in curves(panel(compare_figure(comparison, "power loss"), quantity))]


def test_every_variant_is_on_one_axis_and_looks_different() -> None:
    comparison = compared(tuple(f"variant {i}" for i in range(12)))
    figure = compare_figure(comparison, "power loss")
    for quantity in ("Peak g", "Peak tension", "Stopping"):
        drawn = curves(panel(figure, quantity))
        assert [line.get_label() for line in drawn] == [f"variant {i}" for i in range(12)]
        looks = {(str(vars(line)["_unscaled_dash_pattern"]), line.get_marker()) for line in drawn}
        assert len(looks) == 12


def test_curves_and_marks_are_the_tables_own() -> None:
    comparison = compared()
    figure = compare_figure(comparison, "power loss")
    for i, line in enumerate(curves(panel(figure, "Peak g"))):
        table = comparison.curves[NAMES[i]].sweeps["power loss"]
        assert np.nanmax(np.asarray(line.get_ydata())) == table.columns["peak_g:lamplighter"].max()
    lowest = [comparison.curves[n].sweeps["power loss"].columns["lowest_height_m:lamplighter"].min() for n in NAMES]
    assert sorted(marks(panel(figure, "Lowest"))) == sorted(lowest)
    said = words_of(figure)
    assert "limit: g load 6" in said
    assert "floor" in said
    assert "Without such stops: lost" in said
    assert "over type of drop line" in said


def test_the_same_move_is_drawn_once_and_others_each() -> None:
    assert labels("Planned", compared()) == ["winch"]
    assert labels("Planned", compared(speeds=(1.0, 0.5, 0.25))) == [f"{name}: winch" for name in NAMES]


def test_long_rest_after_the_shortest_sweep_is_left_out_and_said() -> None:
    comparison = compared()
    table = comparison.curves[NAMES[1]].sweeps["power loss"]
    later = np.concatenate((table.stop_time_s, np.arange(4.1, 30.0, 0.1)))
    columns = {name: np.concatenate((c, np.full(len(later) - len(c), c[-1]))) for name, c in table.columns.items()}
    longer = replace(comparison.curves[NAMES[1]], sweeps={"power loss": SweepTable("power loss", later, columns)})
    figure = compare_figure(replace(comparison, curves={**comparison.curves, NAMES[1]: longer}), "power loss")
    assert figure.axes[0].get_xlim()[1] == pytest.approx(4.0)
    assert "Shown until 4.00 s" in words_of(figure)
    worse = {**columns, "peak_g:lamplighter": np.where(later > 20.0, 99.0, columns["peak_g:lamplighter"])}
    bad = replace(longer, sweeps={"power loss": SweepTable("power loss", later, worse)})
    figure = compare_figure(replace(comparison, curves={**comparison.curves, NAMES[1]: bad}), "power loss")
    assert figure.axes[0].get_xlim()[1] > 20.0


def test_unfinished_runs_of_a_variant_are_gaps_and_ticked() -> None:
    comparison = compared()
    gappy = builders.gappy_result().sweeps["power loss"]
    told = {**comparison.curves, NAMES[0]: Curves({"power loss": gappy})}
    figure = compare_figure(replace(comparison, curves=told), "power loss")
    assert np.isnan(np.asarray(curves(panel(figure, "Peak g"))[0].get_ydata())).sum() == 3
    assert "not finished: HMPE (3)" in words_of(figure)


def test_the_overview_shows_every_variant_worst_first_with_the_limits() -> None:
    comparison = compared()
    figure = overview_figure(comparison)
    said = words_of(figure)
    assert "lost: no result" in said
    order = [said.index(name) for name in ("lost", "polyester", "wire", "HMPE")]
    assert order == sorted(order)
    limits = [line for axes in figure.axes for line in axes.lines if line.get_label() == "limit"]
    assert [float(np.asarray(line.get_xdata())[0]) for line in limits] == [6.0, 0.3, 0.0]
    written = {t.get_text() for axes in figure.axes for t in axes.texts}
    assert {"5.30", "4.50 kN", "0.30 m", "0.30"} <= written
    us = {t.get_text() for axes in overview_figure(comparison, "us").axes for t in axes.texts}
    assert "1,012 lbf" in us
    with pytest.raises(ValueError, match="no variant"):
        overview_figure(replace(comparison, variants=()))


def test_files_are_written_and_the_same_again(tmp_path: Path) -> None:
    first, second = (write_comparison_plots(compared(), tmp_path / each) for each in "ab")
    assert [path.name for path in first] == ["overview.svg", "compared power loss.svg"]
    assert all(a.read_bytes() == b.read_bytes() for a, b in zip(first, second, strict=True))
    assert b"competent person" in first[1].read_bytes()


def test_a_stop_that_no_variant_has_is_refused() -> None:
    with pytest.raises(KeyError):
        compare_figure(compared(), "no such stop")
