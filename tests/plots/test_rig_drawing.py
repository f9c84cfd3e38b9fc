"""The rig drawing is to scale and nothing in it covers a name."""

from __future__ import annotations

import numpy as np
import pytest
from matplotlib.axes import Axes

from plots import rig_figure
from plots.views import first_passage, views_of
from sim.results.drawn import Drawing, DrawnLine, DrawnPoint
from tests.plots import builders

NAMES = [f"sheave {c}" for c in "abcdefgh"]


def spots(axes: Axes) -> dict[str, tuple[float, float]]:
    """Where each named thing drawn at one spot is, in the axes' units."""
    return {
        str(line.get_label()): (float(np.asarray(line.get_xdata())[0]), float(np.asarray(line.get_ydata())[0]))
        for line in axes.lines if len(np.asarray(line.get_xdata())) == 1 and not str(line.get_label()).startswith("_")
    }  # fmt: skip


@pytest.mark.parametrize(("units", "factor"), [("si", 1.0), ("us", 1 / 0.3048)])
def test_to_scale_in_both_views(units: str, factor: float) -> None:
    drawing = builders.crowded_drawing(NAMES)
    figure = rig_figure(drawing, units=units)
    elevation, plan = (a for a in figure.axes if a.get_title(loc="left") in ("Elevation", "Plan"))
    for axes, up in ((elevation, 2), (plan, 1)):
        assert axes.get_aspect() == 1.0
        at = spots(axes)
        for point in drawing.points:
            if point.kind != "body":
                p = point.position_m
                assert at[point.name] == pytest.approx((factor * p[0], factor * p[up]))
        figure.draw_without_rendering()
        (a, b), (c, d) = axes.transData.transform([(0, 0), (1, 1)])
        assert c - a == pytest.approx(d - b, rel=1e-6)
        assert axes.get_xlabel() == f"x ({'m' if units == 'si' else 'ft'})"


def test_plane_follows_the_greater_extent() -> None:
    line = DrawnLine("l", ("a", "b"), ((0, 0, 3), (1, 9, 3)))
    points = (DrawnPoint("a", "anchor", (0, 0, 3)), DrawnPoint("b", "anchor", (1, 9, 3)))
    figure = rig_figure(Drawing(points, (line,), 0.0))
    elevation, plan = figure.axes[0], figure.axes[1]
    assert (elevation.get_xlabel(), elevation.get_ylabel()) == ("y (m)", "z (m)")
    assert (plan.get_xlabel(), plan.get_ylabel()) == ("y (m)", "x (m)")
    low, high = plan.get_ylim()
    assert low > high, "seen from above with y to the right, x runs down"


def test_flat_rig_has_no_plan_and_shows_floor_path_and_forces() -> None:
    result = builders.simple_result()
    figure = rig_figure(result.drawing, result)
    names = [str(line.get_label()) for line in figure.axes[0].lines]
    assert [a.get_title(loc="left") for a in figure.axes if a.get_title(loc="left")] == ["Elevation"]
    assert {"floor", "path of lamplighter", "drop line"} <= set(names)
    texts = [t.get_text() for t in figure.axes[0].texts]
    assert f"head sheave\n{result.elements['head sheave'].emergency_N / 1000:.2f} kN" in texts  # type: ignore[operator]
    sheet = "\n".join(t.get_text() for t in figure.texts)
    assert "head sling" in sheet
    assert "competent person" in sheet


def test_no_label_covers_another_or_leaves_the_view() -> None:
    figure = rig_figure(builders.crowded_drawing(NAMES))
    figure.draw_without_rendering()
    for axes in figure.axes[:2]:
        boxes = [t.get_window_extent() for t in axes.texts if t.get_text() and "点" not in t.get_text()]
        for i, a in enumerate(boxes):
            for b in boxes[:i]:
                across, up = min(a.x1, b.x1) - max(a.x0, b.x0), min(a.y1, b.y1) - max(a.y0, b.y0)
                assert min(across, up) <= 0.5


def test_every_name_is_in_the_drawing_or_in_the_key() -> None:
    points = tuple(DrawnPoint(f"sheave number {i}", "sheave", (0.02 * i, 0, 5), 0.1) for i in range(60))
    figure = rig_figure(Drawing(points, (), 0.0))
    said = " ".join(t.get_text().replace("\n", " ") for a in [figure, figure.axes[0]] for t in a.texts)
    assert [p.name for p in points if p.name not in said] == []


def test_one_scale_for_both_views() -> None:
    elevation, plan = views_of(builders.crowded_drawing(NAMES), 6.0, 7.0)
    assert elevation.in_per_m == plan.in_per_m
    assert elevation.width_in <= 6.0
    assert elevation.height_in + plan.height_in <= 7.0 + 1e-9
    assert (elevation.frame.left, elevation.frame.width) == (plan.frame.left, plan.frame.width)


def test_a_path_is_dashed_once_where_it_runs_to_and_fro() -> None:
    angle = 0.9 * np.cos(np.linspace(0, 20, 400))
    path = [(8 * float(np.sin(a)), 0.0, 12 - 8 * float(np.cos(a))) for a in angle]
    once = np.array(first_passage(path, 0.1))
    kept = once[~np.isnan(once[:, 0])]
    length = np.linalg.norm(np.diff(kept, axis=0), axis=1).sum()
    assert length == pytest.approx(8 * 1.8, rel=0.15)
    assert (kept[:, 0].min(), kept[:, 0].max()) == pytest.approx((-8 * np.sin(0.9), 8 * np.sin(0.9)), abs=0.5)


@pytest.mark.parametrize(("units", "factor"), [("si", 1.0), ("us", 1 / 0.3048)])
def test_water_is_drawn_where_its_surface_is(units: str, factor: float) -> None:
    line = DrawnLine("l", ("a", "b"), ((0, 0, 3), (9, 0, 3)))
    points = (DrawnPoint("a", "anchor", (0, 0, 3)), DrawnPoint("b", "anchor", (9, 0, 3)))
    axes = rig_figure(Drawing(points, (line,), 0.0, water_m=-2.5), units=units).axes[0]
    water = next(each for each in axes.lines if each.get_label() == "water")
    assert np.max(np.asarray(water.get_ydata())) == pytest.approx(-2.5 * factor)
    low, high = axes.get_ylim()
    assert low < -2.5 * factor < high
    assert "water" in [each.get_text().strip() for each in axes.texts]
    dry = rig_figure(Drawing(points, (line,), 0.0), units=units).axes[0]
    assert "water" not in [each.get_label() for each in dry.lines]
