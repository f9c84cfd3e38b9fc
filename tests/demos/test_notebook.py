"""The worked notebook runs without an error, and what it shows is the result's own figures."""

from __future__ import annotations

import os
import re
from html import unescape
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbclient import NotebookClient

import sim
from plots import comparison_page, moving_page, result_page
from sim.results.cautions import FULL
from sim.results.model import Result
from sim.results.shown import bare
from sim.results.verdict import verdict_sentence

SCENARIOS = Path(__file__).parents[2] / "scenarios"
NOTEBOOK = SCENARIOS / "stonemasons-fall.ipynb"


@pytest.fixture(scope="module")
def outputs() -> list[list[Any]]:
    """What each code cell left, in order."""
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    paths = os.pathsep.join([str(SCENARIOS.parent), os.environ.get("PYTHONPATH", "")])
    client = NotebookClient(notebook, timeout=600, resources={"metadata": {"path": str(SCENARIOS)}})
    client.execute(env={**os.environ, "PYTHONPATH": paths})
    return [cell.outputs for cell in notebook.cells if cell.cell_type == "code"]


@pytest.fixture(scope="module")
def result() -> Result:
    return sim.run_scenario(sim.read_file(SCENARIOS / "stonemasons-fall.yaml"))


def printed(cell: list[Any]) -> str:
    return "".join(each.text for each in cell if each.output_type == "stream" and each.name == "stdout")


def html(cell: list[Any]) -> str:
    (shown,) = (each.data["text/html"] for each in cell if each.output_type == "execute_result")
    return shown


def test_no_cell_fails_or_complains(outputs: list[list[Any]]) -> None:
    for cell in outputs:
        assert not [each for each in cell if each.output_type == "error" or each.get("name") == "stderr"]


def test_the_result_shows_itself_with_its_own_figures(outputs: list[list[Any]], result: Result) -> None:
    page = html(outputs[0])
    assert page == result_page(result)
    said = unescape(page)
    assert verdict_sentence(result) in said
    rows = {tuple(re.findall(r"<td[^>]*>(.*?)</td>", row)) for row in re.findall(r"<tr>(.*?)</tr>", page, re.DOTALL)}
    for case in result.cases.values():
        seen = case.performers["stonemason"]
        figures = (bare(seen.peak_g, "g"), bare(seen.clearance_m, "m"), bare(seen.lowest_height_m, "m"))
        assert (case.name, "stonemason", *figures) in rows
    for element in result.elements.values():
        assert any(element.name in row for row in rows)
    for caution in FULL:
        assert caution in said
    for image in re.findall(r"<img[^>]*>", page):
        assert re.search(r'alt="[^"]+"', image)
        assert 'src="data:image/svg+xml;base64,' in image


def test_what_is_printed_are_the_results_fields(outputs: list[list[Any]], result: Result) -> None:
    case, trace = result.cases["planned move"], result.traces["planned move"]
    seen, peak = case.performers["stonemason"], case.peaks["catch line"]
    numbers = [float(x) for x in re.findall(r"(?<![\w.])\d+\.\d+(?![\de])", printed(outputs[1]))]
    wanted = [seen.peak_g, seen.peak_g_time_s, seen.lowest_height_m, seen.clearance_m, peak.force_N, peak.time_s]
    assert numbers[:6] == pytest.approx(wanted, abs=0.06)
    assert numbers[0] == round(seen.peak_g, 4)
    count, sampled = re.findall(r"[\d.]+", printed(outputs[2]))
    assert int(count) == len(trace.time_s)
    assert float(sampled) == round(float(trace.columns["g:stonemason"].max()), 4)
    assert float(sampled) <= round(seen.peak_g, 4)


def test_the_moving_page_is_within(outputs: list[list[Any]], result: Result) -> None:
    frame = html(outputs[3])
    (inner,) = re.findall(r'srcdoc="([^"]*)"', frame)
    assert unescape(inner) == moving_page(result, "planned move")


def test_the_comparison_shows_itself_and_more_slack_is_a_longer_fall(outputs: list[list[Any]], result: Result) -> None:
    scenario = sim.read_file(SCENARIOS / "stonemasons-fall.yaml")
    compared = sim.compare_values(scenario, "lines / catch line / slack", ["0.6 m", "1.2 m", "1.8 m"])
    assert html(outputs[4]) == comparison_page(compared)
    lines = printed(outputs[5]).splitlines()
    told = [float(re.findall(r"peak g ([\d.]+)", line)[0]) for line in lines]
    assert told == [round(v.figures.peak_g.value, 4) for v in compared.variants if v.figures.peak_g]
    # Mechanics: the longer the free fall onto the same rope, the larger the force; common knowledge of fall arrest.
    assert told == sorted(told)
    assert compared.variants[1].figures.peak_g is not None
    assert compared.variants[1].figures.peak_g.value == max(
        each.performers["stonemason"].peak_g for each in result.cases.values()
    )
