"""What stands in the figure of a stop sweep."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from plots import history_figure, sweep_figure
from tests.plots import builders
from tests.plots.looking import curves, marks, panel, words_of


def test_panels_from_speed_to_stopping_distance() -> None:
    figure = sweep_figure(builders.simple_result(), "power loss")
    names = [a.get_ylabel().split("\n")[0] for a in figure.axes]
    assert names == [
        "Planned line speed,", "Peak g load", "Peak tension,", "Peak force (kN)", "Lowest height of",
        "Stopping distance",
    ]  # fmt: skip
    assert figure.axes[-1].get_xlabel() == "Stop instant (s)"


def test_a_line_is_drawn_once_by_its_most_loaded_span() -> None:
    figure = sweep_figure(builders.simple_result(), "power loss")
    labels = [line.get_label() for line in curves(panel(figure, "Peak tension"))]
    assert labels == ["drop line"]
    assert "head sheave → lamplighter" in " ".join(words_of(figure).split())
    others = [str(line.get_label()) for line in curves(panel(figure, "Peak force"))]
    assert sorted(others) == ["head sheave", "head sling", "winch"]


def test_the_tables_own_extremes_are_drawn_and_marked() -> None:
    result = builders.simple_result()
    figure, table = sweep_figure(result, "power loss"), result.sweeps["power loss"]
    drawn = {str(line.get_label()): np.asarray(line.get_ydata()) for line in curves(panel(figure, "Peak force"))}
    assert drawn["head sheave"].max() == table.columns["force_N:head sheave"].max() / 1000
    assert marks(panel(figure, "Lowest")) == [table.columns["lowest_height_m:lamplighter"].min()]
    assert "worst force" in words_of(figure)
    assert "limit: g load 6" in words_of(figure)
    assert "whole load; one leg bears 58% of it" in " ".join(words_of(figure).split())


def test_the_floor_is_under_the_lowest_heights() -> None:
    lowest = panel(sweep_figure(builders.simple_result(), "power loss"), "Lowest")
    floor = next(line for line in lowest.lines if line.get_label() == "floor")
    assert float(np.asarray(floor.get_ydata())[0]) == 0.0
    assert lowest.get_ylim()[0] < 0.0
    bare = replace(builders.simple_result(), drawing=replace(builders.simple_drawing(), floor_m=None))
    assert "floor" not in words_of(sweep_figure(bare, "power loss"))


def test_the_water_is_drawn_where_it_is() -> None:
    over = replace(builders.simple_result(), drawing=replace(builders.simple_drawing(), floor_m=-3.0, water_m=-0.4))
    for figure, what in (
        (sweep_figure(over, "power loss"), "Lowest"),
        (history_figure(over, "power loss, worst force"), "Height"),
    ):
        levels = {str(line.get_label()): float(np.asarray(line.get_ydata())[0]) for line in panel(figure, what).lines}
        assert (levels["water"], levels["floor"]) == (-0.4, -3.0)
        assert "water" in words_of(figure)


def test_unfinished_runs_are_gaps_and_said() -> None:
    figure = sweep_figure(builders.gappy_result(), "power loss")
    drawn = np.asarray(curves(panel(figure, "Peak g"))[0].get_ydata())
    assert np.isnan(drawn).sum() == 3
    assert marks(panel(figure, "Peak g")) == [np.nanmax(drawn)]
    assert np.nanmax(drawn) < 50
    assert "3 of them did not finish" in words_of(figure)
    assert "not finished (3)" in words_of(figure)


@pytest.mark.parametrize("causes", [(), ("failed: the step fell too low",), ("",) * 500])
def test_a_table_with_fewer_or_more_causes_than_rows_is_drawn(causes: tuple[str, ...]) -> None:
    result = builders.simple_result()
    table = replace(result.sweeps["power loss"], causes=causes)
    figure = sweep_figure(replace(result, sweeps={"power loss": table}), "power loss")
    drawn = np.asarray(curves(panel(figure, "Peak g"))[0].get_ydata())
    assert np.isnan(drawn).sum() == sum(1 for cause in causes if cause)


def test_a_sweep_of_which_no_run_finished_says_so() -> None:
    result = builders.simple_result()
    table = result.sweeps["power loss"]
    failed = replace(table, causes=("failed: too many steps",) * len(table.stop_time_s))
    figure = sweep_figure(replace(result, sweeps={"power loss": failed}), "power loss")
    assert "did not finish" in words_of(figure)
    assert marks(panel(figure, "Peak g")) == []


def test_a_sweep_without_anything_to_show_is_refused() -> None:
    result = builders.simple_result()
    bare = replace(result.sweeps["power loss"], columns={})
    with pytest.raises(ValueError, match="none of the columns"):
        sweep_figure(replace(result, sweeps={"power loss": bare}), "power loss")


def test_how_the_sweep_was_made_is_said_as_the_result_says_it() -> None:
    made = "power loss, every instant: 367 instants. Its curves show the worst of all ends."
    result = replace(builders.simple_result(), assumptions=("the hook weighs 1 kg", made))
    said = " ".join(words_of(sweep_figure(result, "power loss")).split())
    assert made in said
    assert "the hook weighs" not in said


def test_an_instant_of_a_failure_is_not_called_a_stops() -> None:
    result = builders.simple_result()
    table = replace(result.sweeps["power loss"], happens="left leg: line parts")
    figure = sweep_figure(replace(result, sweeps={"power loss": table}), "power loss")
    assert figure.axes[-1].get_xlabel() == "Instant of the failure: left leg: line parts (s)"
