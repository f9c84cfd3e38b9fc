"""One case of every variant over one another."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plots import compare_history_figure
from plots.compare_history import compared_cases
from sim.results.comparison import Comparison, Curves, History, Variant
from sim.results.model import Trace
from tests.plots import builders
from tests.plots.looking import curves, marks, panel, words_of

CASE = "power loss, worst force"


def compared(count: int = 3) -> Comparison:
    result = builders.simple_result()
    told: dict[str, Curves] = {}
    for i in range(count):
        trace = result.traces[CASE]
        scaled = Trace(trace.time_s, {name: (1 + 0.1 * i) * values for name, values in trace.columns.items()})
        case = builders.case_of(CASE, scaled, (), stop_time_s=1.94)
        told[f"variant {i}"] = Curves(histories={CASE: History(case, scaled), f"only {i}": History(case, scaled)})
    variants = tuple(Variant(name, {}, 0, "within limits") for name in (*told, "lost"))
    limits = {"g_load": 6.0}
    return Comparison("Drop", "types", variants, (), limits, result.drawing, builders.STAMP, 0, told)


def test_only_cases_that_two_variants_have_are_compared() -> None:
    assert compared_cases(compared()) == [CASE]
    assert compared_cases(compared(1)) == []


def test_every_variant_is_in_every_panel_with_its_cases_own_figures() -> None:
    comparison = compared()
    figure = compare_history_figure(comparison, CASE)
    names = [a.get_ylabel().split("\n")[0] for a in figure.axes]
    assert names == ["Height of", "g load", "Tension,"]
    for quantity, figure_of in (
        ("g load", lambda h: h.case.performers["lamplighter"].peak_g),
        ("Tension", lambda h: h.case.peaks["drop line"].force_N / 1000),
        ("Height", lambda h: h.case.performers["lamplighter"].lowest_height_m),
    ):
        drawn = [line for line in curves(panel(figure, quantity)) if line.get_label() != "floor"]
        assert [line.get_label() for line in drawn] == [f"variant {i}" for i in range(3)]
        expected = [figure_of(c.histories[CASE]) for c in comparison.curves.values()]
        assert sorted(marks(panel(figure, quantity))) == pytest.approx(sorted(expected))
    said = words_of(figure)
    assert "Without this case: lost" in said
    assert "limit: g load 6" in said
    assert "competent person" in said


def test_the_tension_drawn_is_that_of_the_most_loaded_span() -> None:
    comparison = compared()
    history = comparison.curves["variant 1"].histories[CASE]
    place = history.case.peaks["drop line"].place
    column = history.trace.columns[f"tension_N:drop line:{place}"]
    drawn = curves(panel(compare_history_figure(comparison, CASE), "Tension"))[1]
    assert np.asarray(drawn.get_ydata()).max() == pytest.approx(column.max() / 1000)


def test_what_cannot_be_drawn_is_refused() -> None:
    with pytest.raises(KeyError):
        compare_history_figure(compared(), "no such case")
    bare = History(replace(builders.simple_result().cases[CASE], peaks={}), Trace(np.arange(3.0), {}))
    nothing = replace(compared(), curves={"variant 0": Curves(histories={CASE: bare})})
    with pytest.raises(ValueError, match="none of the columns"):
        compare_history_figure(nothing, CASE)
