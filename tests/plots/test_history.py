"""What stands in the history of a case."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from matplotlib.figure import Figure

from plots import history_figure, rig_figure, sweep_figure
from plots.events import ruled_and_ticked
from sim.results.model import Event
from tests.plots import builders
from tests.plots.looking import curves, panel, words_of

CASE = "power loss, worst force"


@pytest.fixture(scope="module")
def simple() -> Figure:
    return history_figure(builders.simple_result(), CASE)


@pytest.fixture(scope="module")
def crowded() -> Figure:
    return history_figure(builders.crowded_result(), CASE)


def test_axes_name_quantity_and_unit(simple: Figure) -> None:
    names = [a.get_ylabel().replace("\n", " ") for a in simple.axes]
    assert names == [
        "Height of suspension point (m)", "Speed, up positive (m/s)", "g load (force over weight, 1 at rest)",
        "g load, filtered (SAE J211-1)", "Tension (kN)", "Force on element (kN)",
    ]  # fmt: skip
    assert simple.axes[-1].get_xlabel() == "Time (s)"


def test_us_units_turn_axes_values_and_limits() -> None:
    result = builders.simple_result()
    us = history_figure(result, CASE, "us")
    assert [a.get_ylabel().split("(")[-1] for a in us.axes if "g load" not in a.get_ylabel()] == [
        "ft)", "ft/s)", "lbf)", "lbf)"
    ]  # fmt: skip
    drawn = np.asarray(curves(panel(us, "Height"))[0].get_ydata())
    assert drawn.max() == pytest.approx(result.traces[CASE].columns["height_m:lamplighter"].max() / 0.3048)
    assert "limit: clearance 1.0 ft" in words_of(us)
    with pytest.raises(ValueError, match="furlong"):
        history_figure(result, CASE, "furlong")


@pytest.mark.parametrize("made", [builders.simple_result, builders.crowded_result])
def test_every_curve_keeps_its_extremes_and_ends(made: object) -> None:
    result = made()  # type: ignore[operator]
    figure, trace = history_figure(result, CASE), result.traces[CASE]
    drawn = [line for a in figure.axes for line in curves(a)]
    drawn = [line for line in drawn if line.get_label() != "floor"]
    expected = [
        values / (1000.0 if "_N:" in name else 1.0) for name, values in trace.columns.items()
        if name.partition(":")[0] in ("height_m", "speed_m_s", "g", "g_cfc60", "g_cfc180", "tension_N", "force_N")
    ]  # fmt: skip
    have = sorted((*ends(line.get_ydata()),) for line in drawn)
    want = sorted((*ends(values),) for values in expected)
    assert np.allclose(have, want, rtol=1e-12)


def ends(values: object) -> tuple[float, float, float, float]:
    v = np.asarray(values, dtype=float)
    return float(v.max()), float(v.min()), float(v[0]), float(v[-1])


def test_limits_and_floor_are_drawn_and_named(simple: Figure) -> None:
    result = builders.simple_result()
    levels = {
        str(line.get_label()): float(np.asarray(line.get_ydata())[0])
        for a in simple.axes
        for line in a.lines
        if "limit" in str(line.get_label())
    }
    assert levels["limit: g load 6"] == 6.0
    seen = result.cases[CASE].performers["lamplighter"]
    assert seen.clearance_m is not None
    assert levels["limit: clearance 0.30 m"] == pytest.approx(0.3 + 1.3)
    assert all(name in words_of(simple) for name in (*levels, "floor"))
    g = panel(simple, "g load")
    assert g.get_ylim()[1] > 6.0


def test_peaks_are_marked_with_the_results_own_figures(simple: Figure) -> None:
    case = builders.simple_result().cases[CASE]
    marks = [m for m in panel(simple, "Force").lines if m.get_label() == "_mark"]
    assert sorted(float(np.asarray(m.get_ydata())[0]) for m in marks) == pytest.approx(
        sorted(p.force_N / 1000 for name, p in case.peaks.items() if name != "drop line")
    )
    assert f"peak {case.peaks['head sheave'].force_N / 1000:.2f} kN" in words_of(simple)
    assert [t.get_text() for t in panel(simple, "g load").texts] == [f"{case.performers['lamplighter'].peak_g:.2f}"]


def test_filtered_g_stands_apart_with_its_peaks_and_how_long_it_was_above_a_level(simple: Figure) -> None:
    case = builders.simple_result().cases[CASE]
    seen, said = case.performers["lamplighter"], " ".join(words_of(simple).split())
    assert seen.body is not None
    assert f"lamplighter, CFC 60 peak {seen.peak_g_cfc60:.2f}; longest above 2 g: 512 ms" in said
    assert f"lamplighter, CFC 180 peak {seen.body.peak_g_cfc180:.2f}" in said
    filtered = panel(simple, "g load, filtered")
    assert [line.get_label() for line in curves(filtered)] == ["lamplighter, CFC 60", "lamplighter, CFC 180"]
    assert "limit: g load 6" in [line.get_label() for line in filtered.lines]


def test_heading_and_foot(simple: Figure, crowded: Figure) -> None:
    assert "The lamplighter's drop" in words_of(simple)
    assert f"{CASE} (emergency)" in words_of(simple)
    assert "stopload 0.1.0" in words_of(simple)
    assert "sha256 0123456789ab" in words_of(simple)
    assert "competent person" in words_of(simple)
    assert "Audit" not in words_of(simple)
    assert "Audit not passed: energy does not close" in words_of(crowded)


def test_many_events_are_ticked_and_rare_ones_named(crowded: Figure) -> None:
    rows = crowded.axes[-1]
    assert sum(len(c.get_segments()) for c in rows.collections) == 200  # type: ignore[attr-defined]
    assert "line sticks (100 times)" in words_of(crowded)
    rules = [line for line in crowded.axes[0].lines if line.get_label() == "_rule"]
    assert len(rules) == len({e.time_s for e in builders.SIMPLE_EVENTS})
    assert "stop, brake signal" in words_of(crowded)


@pytest.mark.parametrize("draw", [lambda: history_figure(builders.crowded_result(), CASE),
                                  lambda: sweep_figure(builders.simple_result(), "power loss")])  # fmt: skip
def test_black_and_white_tells_every_curve(draw: object) -> None:
    for axes in draw().axes:  # type: ignore[operator]
        # The dash lengths themselves are only in a private field; get_linestyle() says '--' for every pattern.
        looks = [(str(vars(line)["_unscaled_dash_pattern"]), line.get_marker()) for line in curves(axes)]
        assert len(set(looks)) == len(looks)


def test_a_sling_with_legs_says_which_load_is_shown() -> None:
    result = builders.simple_result()
    leg = f"{(result.elements['head sling'].emergency_N or 0) / 1000:.2f} kN"
    whole = f"peak {result.cases[CASE].peaks['head sling'].force_N / 1000:.2f} kN"
    said = " ".join(words_of(history_figure(result, CASE)).split())
    assert whole in said
    assert "whole load; one leg bears 58% of it" in said
    assert f"{leg} in one leg" in words_of(rig_figure(result.drawing, result))
    assert said.count("one leg") == 1


def test_events_of_a_kind_that_lie_together_share_a_rule() -> None:
    result = builders.simple_result()
    slack = tuple(Event(t, "line goes slack", "drop line") for t in (2.500, 2.501, 2.502, 4.0))
    case = replace(result.cases[CASE], events=slack)
    rules, rows = ruled_and_ticked(case)
    named = {rule.time_s: rule.text for rule in rules}
    assert named == {1.94: "stop", 2.5: "line goes slack (3 times)", 4.0: "line goes slack"}
    assert rows == []


def test_what_is_no_performer_has_no_suspension_point() -> None:
    result = builders.simple_result()
    trace = result.traces[CASE]
    more = replace(trace, columns={**trace.columns, "height_m:sand carriage": trace.columns["height_m:lamplighter"]})
    figure = history_figure(replace(result, traces={CASE: more}), CASE)
    assert figure.axes[0].get_ylabel() == "Height of point\n(m)"
