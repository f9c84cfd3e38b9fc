"""The moving drawing: its data are the trace's own samples, and the SVG has what they move."""

from __future__ import annotations

import json
from dataclasses import replace
from html import unescape
from xml.etree import ElementTree

import numpy as np
import pytest

from plots import moving_drawing, moving_page
from plots.frames import frames
from sim.results.cautions import FULL
from sim.results.model import Trace
from tests.plots import builders
from tests.plots.moving_results import NASTY, moving_result, nasty_result

PLANNED = "planned move"
SVG = "{http://www.w3.org/2000/svg}"


def test_frames_are_samples_of_the_trace_and_hold_the_cases_own_instants() -> None:
    result = moving_result()
    trace, case, of = result.traces[PLANNED], result.cases[PLANNED], frames(result, PLANNED)
    at = np.searchsorted(trace.time_s, of.time_s)
    assert np.array_equal(trace.time_s[at], of.time_s)
    assert np.array_equal(of.places["lamplighter"][:, 2], trace.columns["height_m:lamplighter"][at])
    assert np.array_equal(of.places["left hip"] - of.places["lamplighter"], np.tile([0, 0.25, 0], (len(at), 1)))
    assert np.array_equal(of.places["ring"][:, 1], trace.columns["y_m:ring"][at])
    who, foot = of.feet["lamplighter body"]
    assert who == "lamplighter"
    assert np.array_equal(foot[:, 2], trace.columns["body_height_m:lamplighter"][at])
    assert of.taut["left leg"][:, 0].tolist() == (of.time_s < 2.0).tolist()
    assert "winch" not in of.places
    step_s = trace.time_s[1] - trace.time_s[0]
    for instant_s in (case.performers["lamplighter"].peak_g_time_s, *(e.time_s for e in case.events)):
        assert np.abs(of.time_s - instant_s).min() <= step_s / 2 + 1e-9
    assert np.diff(of.time_s).max() <= 1 / 30 + 2 * step_s


def test_a_long_case_has_no_more_frames_than_a_page_bears() -> None:
    result = moving_result()
    t = result.traces[PLANNED].time_s
    long = Trace(100 * t, result.traces[PLANNED].columns)
    assert len(frames(replace(result, traces={PLANNED: long}), PLANNED).time_s) < 1100


def test_a_trace_that_does_not_say_where_everybody_is_is_told() -> None:
    result = builders.simple_result()
    trace = result.traces[PLANNED]
    blind = Trace(trace.time_s, {n: c for n, c in trace.columns.items() if not n.startswith("height_m")})
    with pytest.raises(ValueError, match="does not say where lamplighter is"):
        moving_drawing(replace(result, traces={PLANNED: blind}), PLANNED)


@pytest.mark.parametrize("units", ["si", "us"])
def test_places_meet_the_drawing_at_the_start(units: str) -> None:
    """By the mapping told, the first frame's places are the vertices of the lines as drawn, to 0.1 pt."""
    drawn = moving_drawing(moving_result(), PLANNED, units, prefix="p")
    root = ElementTree.fromstring(drawn.svg)
    by_id = {e.get("id"): e for e in root.iter() if e.get("id")}
    lines = [thing for thing in drawn.data["things"] if thing["does"] == "line"]
    assert {thing["line"] for thing in lines} == {"drop line", "left leg"}
    for thing in lines:
        path = by_id[thing["ids"][0]].find(f"{SVG}path")
        assert path is not None
        numbers = [float(x) for x in path.attrib["d"].replace("M", " ").replace("L", " ").split()]
        told = drawn.data["views"][thing["view"]]
        for (x, y), name in zip(zip(numbers[::2], numbers[1::2], strict=True), thing["of"], strict=True):
            place = [axis if isinstance(axis, int | float) else axis[0] for axis in drawn.data["places"][name]]
            assert told["left"] + told["scale"] * place[told["across"]] == pytest.approx(x, abs=0.1)
            assert told["top"] - told["rise"] * place[told["up"]] == pytest.approx(y, abs=0.1)


def test_every_thing_that_moves_is_in_the_svg_and_ids_are_its_own() -> None:
    drawn = moving_drawing(moving_result(), PLANNED, prefix="mine")
    root = ElementTree.fromstring(drawn.svg)
    ids = [e.attrib["id"] for e in root.iter() if "id" in e.attrib]
    assert all(name.startswith("mine-") for name in ids)
    wanted = {name for thing in drawn.data["things"] for name in thing["ids"]}
    assert wanted <= set(ids)
    assert {thing["does"] for thing in drawn.data["things"]} == {"shift", "body", "line"}
    assert not list(root.iter(f"{SVG}style"))
    told = {e.attrib["id"]: e.text for e in root if e.tag in (f"{SVG}title", f"{SVG}desc")}
    assert root.attrib["aria-labelledby"] == "mine-title mine-words"
    assert told["mine-words"] == drawn.words


def test_words_and_readings_are_the_results_figures() -> None:
    result = moving_result()
    drawn, seen = moving_drawing(result, PLANNED), result.cases[PLANNED].performers["lamplighter"]
    assert f"lamplighter is lowest at {seen.lowest_height_m:.2f} m at {seen.lowest_height_time_s:.2f} s" in drawn.words
    assert f"feels {seen.peak_g:.2f} g" in drawn.words
    height = next(r for r in drawn.data["readings"] if r["name"] == "lamplighter: height")
    trace = result.traces[PLANNED]
    at = np.searchsorted(trace.time_s, frames(result, PLANNED).time_s)
    assert height["values"] == [round(float(v), 2) for v in trace.columns["height_m:lamplighter"][at]]


def test_the_same_case_gives_the_same_page() -> None:
    assert moving_page(moving_result(), PLANNED) == moving_page(moving_result(), PLANNED)


def test_the_page_carries_cautions_source_and_what_is_wrong() -> None:
    result = moving_result()
    page = unescape(moving_page(result, PLANNED))
    for caution in FULL:
        assert caution in page
    assert "input.yaml sha256 0123456789ab" in page
    unfit = replace(result, cases={PLANNED: builders.crowded_result().cases["power loss, worst force"]})
    assert "Audit not passed: energy does not close to 1e-5" in moving_page(
        replace(unfit, traces={PLANNED: result.traces[PLANNED]}), PLANNED
    )


def test_names_are_text_wherever_they_stand() -> None:
    page = moving_page(nasty_result(), NASTY)
    assert "<img" not in page
    assert page.count("</script>") == 2
    data = page.split('id="data">')[1].split("</script>")[0]
    assert NASTY in json.loads(data)["places"]
