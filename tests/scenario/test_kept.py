"""The inputs of a scenario as flat keys: the same from the file as from its filled-in copy, and what cannot be read."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.results.inputs import Input, compare_inputs
from sim.scenario import changed, filled_in, read_file
from sim.scenario.kept import inputs_of, kept_inputs

SCENARIOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*.yaml"))
DROP = next(path for path in SCENARIOS if path.stem == "lamplighters-drop")


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_a_filled_in_scenario_has_the_inputs_of_the_file(path: Path) -> None:
    scenario = read_file(path)
    inputs, note = kept_inputs(filled_in(scenario))
    assert note == ""
    assert len(inputs) > 20
    assert compare_inputs(inputs_of(scenario), inputs) == []


def test_keys_are_named_as_a_reader_of_the_file_would() -> None:
    inputs = inputs_of(read_file(DROP))
    assert inputs["performers", "lamplighter", "mass"] == Input("84 kg", 84.0, "kg")
    assert inputs["performers", "lamplighter", "mass", "least"].value_si == 81.0
    assert inputs["performers", "lamplighter", "mass", "from"].text == "weighed in costume and harness"
    assert inputs["performers", "lamplighter", "at", "z"] == Input("11 m", 11.0, "m")
    assert inputs["lines", "drop line", "route"].text == "winch, lead sheave, head sheave, lamplighter"
    assert inputs["stops", "power loss", "when"].text == "every instant"
    assert inputs["drives", "winch", "brakes", "1", "delay"] == Input("80 ms", 0.08, "s")
    assert inputs["moves", "1", "speed"].value_si == 6.0


def test_one_changed_key_is_one_difference_however_it_is_written() -> None:
    scenario = read_file(DROP)
    before = inputs_of(scenario)
    heavier = inputs_of(changed(scenario, {"performers": {"lamplighter": {"body_below": "1.5 m"}}}, "case"))
    (only,) = compare_inputs(before, heavier)
    assert (only.words, only.first, only.second) == ("performers / lamplighter / body_below", "1.3 m", "1.5 m")
    assert only.absolute == pytest.approx(0.2)
    otherwise = inputs_of(changed(scenario, {"performers": {"lamplighter": {"body_below": "130 cm"}}}, "case"))
    assert compare_inputs(before, otherwise) == []


def test_what_this_version_does_not_read_is_compared_by_its_words() -> None:
    text = filled_in(read_file(DROP)).replace("hook_mass:", "hook_weight:")
    inputs, note = kept_inputs(text)
    assert "compared as words" in note
    assert inputs["performers", "lamplighter", "mass", "value"] == Input("84 kg")
    assert inputs["performers", "lamplighter", "hook_weight", "value"] == Input("1 kg")
    assert kept_inputs("{")[0] == {}
    assert "not compared" in kept_inputs("{")[1]
