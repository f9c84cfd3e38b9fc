"""The whole format: every key is read somewhere, every default is filled in, every alternative is refused in pairs."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from sim.scenario import (
    Scenario,
    ScenarioErrors,
    changed,
    compare_cases,
    filled_in,
    not_simulated,
    read_file,
    read_text,
)
from sim.scenario.model import Failure, Harness, LaggingBody, LineMove, LineType, Source
from sim.scenario.parts.part import Part
from sim.scenario.quantity import Quantity

ROOT = Path(__file__).parents[2]
WHOLE = Path(__file__).with_name("whole")
DEMO = ROOT / "scenarios" / "lamplighters-drop.yaml"
FILES = [*sorted(WHOLE.glob("*.yaml")), *sorted((ROOT / "scenarios").glob("*.yaml"))]


def parts_in(value: Any) -> Iterator[Part]:
    """Every part of a scenario, inner ones too."""
    if isinstance(value, Part):
        yield value
        value = [getattr(value, name) for name in type(value).model_fields]
    if isinstance(value, dict):
        value = [*value.values()]
    if isinstance(value, list | tuple):
        for inner in value:
            yield from parts_in(inner)


def all_parts(base: type[Part] = Part) -> Iterator[type[Part]]:
    for model in base.__subclasses__():
        yield model
        yield from all_parts(model)


def test_every_key_of_every_model_is_read_from_a_file() -> None:
    seen: dict[type[Part], set[str]] = {}
    for file in WHOLE.glob("*.yaml"):
        for part in parts_in(read_file(file)):
            seen.setdefault(type(part), set()).update(part.model_fields_set)
    unread = {
        (model.__name__, name)
        for model in all_parts()
        if model in seen
        for name in model.model_fields
        if name not in seen[model]
    }
    never = {model.__name__ for model in all_parts() if model not in seen}
    # bases that no element is read as by itself
    assert never == {"Strength", "DriveMove"}
    # strengths may be written on any element; that each is read is tested on a few of each sort
    strength = {"breaking_strength", "working_load_limit", "marked_factor", "allowed_force", "design_factor"}
    assert {pair for pair in unread if pair[1] not in strength} == set()


def test_every_model_and_key_is_described() -> None:
    for model in all_parts():
        assert model.__doc__, model
        for name, info in model.model_fields.items():
            assert info.description or name in ("kind", "design_factor"), (model, name)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_scenario_written_out_reads_back_equal(file: Path, tmp_path: Path) -> None:
    scenario = read_file(file)
    text = filled_in(scenario)
    beside = tmp_path / "scenario.yaml"
    beside.write_text(text, encoding="utf-8")
    (tmp_path / "trace.csv").write_text("time_s,paid_out_m\n")
    again = read_file(beside)
    assert again.with_source(Source()) == scenario.with_source(Source())
    assert {(n.where, n.text) for n in again.notes} == {(n.where, n.text) for n in scenario.notes}
    assert origins(again) == origins(scenario)
    assert filled_in(again) == text


def origins(value: Any) -> list[tuple[str, str]]:
    """Text and origin of every quantity, in the order of the models."""
    if isinstance(value, Quantity):
        return [(value.text, value.origin)]
    if isinstance(value, BaseModel):
        value = [getattr(value, name) for name in type(value).model_fields]
    if isinstance(value, dict):
        value = [*value.keys(), *value.values()]
    return [pair for inner in value for pair in origins(inner)] if isinstance(value, list | tuple) else []


def test_defaults_are_filled_in_and_called_so() -> None:
    text = filled_in(read_file(WHOLE / "nothing-judged.yaml"))
    assert "hook_mass: {value: 1 kg, from: default}" in text
    assert "gravity: {value: 9.80665 m/s^2, from: default}" in text
    assert "stops: none\nlimits: none\n" in text
    assert "like:" not in filled_in(read_file(DEMO)).split("\n", 1)[1]


def test_a_harness_is_one_thing_however_it_is_written() -> None:
    performers = read_file(WHOLE / "two-of-everything.yaml").performers
    assert performers["climber"].harness == Harness(stiffness="rigid")
    assert performers["climber"].harness.rigid
    assert performers["swinger"].harness.rigid
    assert performers["climber"].body == "rigid"
    assert isinstance(performers["swinger"].body, LaggingBody)
    demo = read_file(DEMO).performers["lamplighter"].harness
    assert not demo.rigid
    assert demo.stiffness != "rigid"
    assert demo.stiffness.N_per_m == 45000.0


def test_a_stretch_curve_keeps_its_loads_and_strains() -> None:
    lines = read_file(WHOLE / "two-of-everything.yaml").lines
    left, bridle = lines["left line"].type, lines["bridle leg"].type
    assert isinstance(left, LineType)
    assert isinstance(bridle, LineType)
    assert left.stretch is not None
    assert bridle.stretch is not None
    assert [(load.si, strain.ratio) for load, strain in left.stretch.items()] == [(0.1, 0.008), (0.3, 0.016)]
    assert [(load.si, strain.ratio) for load, strain in bridle.stretch.items()] == [(2000.0, 0.005), (5000.0, 0.011)]


def test_a_failure_says_what_fails_and_by_how_much() -> None:
    faults = read_file(WHOLE / "two-of-everything.yaml").faults
    assert [(fault.kind, fault.of) for fault in faults[:4]] == [
        ("parted line", "left line"),
        ("lost point", "truss anchor"),
        ("snag", "left line"),
        ("late brake", "left winch"),
    ]
    assert faults[3].by is not None
    assert faults[3].by.si == 0.2
    assert faults[1].then == "power loss"
    assert faults[0].then == "moves go on"
    assert len(faults) == len(Failure.exactly_one[0])


def test_one_number_as_design_factor_stands_for_all_three() -> None:
    harness = read_file(WHOLE / "two-of-everything.yaml").performers["swinger"].harness
    factor = harness.design_factor
    assert factor is not None
    assert (factor.static, factor.working, factor.emergency) == (8.0, 8.0, 8.0)


def test_what_is_not_simulated_is_named_key_by_key() -> None:
    assert not_simulated(read_file(DEMO)) == ()
    assert not_simulated(read_file(WHOLE / "two-of-everything.yaml")) == ()  # a tank below everything
    flooded = changed(read_file(WHOLE / "two-of-everything.yaml"), {"environment": {"water": {"level": "5 m"}}}, "sea")
    sentences = not_simulated(flooded)
    for what in ("left line", "climber", "weight"):
        assert sum(sentence.startswith(f"environment / water: {what} ") for sentence in sentences) == 1, what
    assert all(sentence.endswith(".") for sentence in sentences)
    assert len(sentences) == len(set(sentences))


def test_compare_cases_are_whole_scenarios() -> None:
    cases = compare_cases(read_file(WHOLE / "two-of-everything.yaml"))
    assert set(cases) == {"wire", "softer"}
    wire = cases["wire"].lines["left line"]
    assert (wire.type, wire.breaking_strength and wire.breaking_strength.N) == ("7x19 galvanised", 16000.0)
    assert wire.route == ("left winch", "left bar", "left hip")
    soft = cases["softer"].performers["swinger"].harness
    assert (soft.rigid, set(soft.points)) == (False, {"left hip", "right hip"})
    assert (cases["softer"].limits.g_load, cases["wire"].limits.g_load) == (5.0, 6.0)
    assert read_text(cases["softer"].source_text).limits == cases["softer"].limits


def test_a_certificate_never_crosses_types() -> None:
    demo = read_file(DEMO)
    before = demo.lines["drop line"]
    assert before.breaking_strength is not None
    thicker = changed(demo, {"lines": {"drop line": {"diameter": "8 mm"}}}, "8 mm").lines["drop line"]
    assert thicker.breaking_strength is None
    slacker = changed(demo, {"lines": {"drop line": {"condition": "new"}}}, "new").lines["drop line"]
    assert slacker.breaking_strength == before.breaking_strength
    other = changed(demo, {"lines": {"drop line": {"type": "7x19 galvanised"}}}, "wire").lines["drop line"]
    assert other.breaking_strength is None
    again = changed(demo, {"lines": {"drop line": {"type": "aramid copolymer 12-strand"}}}, "same").lines["drop line"]
    assert again.breaking_strength == before.breaking_strength


def test_a_change_leaves_behind_what_it_excludes() -> None:
    demo = read_file(DEMO)
    sheave = {"carried_by": "lamplighter", "offset": ["0 m", "0 m", "1 m"]}
    moved = changed(demo, {"sheaves": {"lead sheave": sheave}}, "moved").sheaves["lead sheave"]
    assert (moved.at, moved.carried_by) == (None, "lamplighter")
    with pytest.raises(ScenarioErrors, match="'drop lin', expected an element that is there"):
        changed(demo, {"lines": {"drop lin": {"diameter": "8 mm"}}}, "x")
    with pytest.raises(ScenarioErrors, match="did you mean 9 kgf"):
        changed(demo, {"lines": {"drop line": {"breaking_strength": "9 kg"}}}, "x")


@pytest.mark.parametrize(
    "keys", [{}, {"pay_out": "1 m", "take_in": "1 m"}, {"pay_out": "1 m", "deceleration": "0 m/s^2"}]
)
def test_parts_made_by_code_keep_the_same_rules(keys: dict[str, str]) -> None:
    with pytest.raises(ValueError, match="expected"):
        LineMove.model_validate({"drive": "winch", "speed": "1 m/s", "acceleration": "1 m/s^2", **keys})


def test_alternatives_are_refused_in_every_pair() -> None:
    for model in all_parts():
        for group in model.alternatives():
            for first in group:
                for second in group:
                    if first < second:
                        with pytest.raises(ValueError, match="expected"):
                            model.model_validate({first: "x", second: "x"})


def test_elements_lists_all_that_have_names() -> None:
    scenario = read_file(DEMO)
    assert [(section, name) for section, name, _ in scenario.elements()] == [
        ("performers", "lamplighter"),
        ("lines", "drop line"),
        ("sheaves", "lead sheave"),
        ("sheaves", "head sheave"),
        ("hardware", "hook shackle"),
        ("hardware", "lead sling"),
        ("hardware", "head sling"),
        ("drives", "winch"),
    ]
    assert isinstance(scenario, Scenario)
