"""The JSON Schema for editors: up to date, right for right files, and strict about keys, words and bare numbers."""

import copy
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from sim.scenario import filled_in, read_file
from sim.scenario.schema import SHIPPED, schema_text

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "scenarios" / "lamplighters-drop.yaml"
FILES = [
    *sorted(Path(__file__).with_name("whole").glob("*.yaml")),
    *sorted((ROOT / "scenarios").glob("*.yaml")),
]
SCHEMA = json.loads(SHIPPED.read_text(encoding="utf-8"))
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def test_the_shipped_schema_is_that_of_the_models() -> None:
    assert SHIPPED.read_text(encoding="utf-8") == schema_text(), "write it anew: python -m sim.scenario.schema"


def test_it_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_right_files_are_right(file: Path) -> None:
    VALIDATOR.validate(yaml.safe_load(file.read_text(encoding="utf-8")))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_files_written_out_are_right(file: Path) -> None:
    VALIDATOR.validate(yaml.safe_load(filled_in(read_file(file))))


@pytest.mark.parametrize(
    ("keys", "value"),
    [
        (("performers", "lamplighter", "mass"), 84),
        (("performers", "lamplighter", "mass"), {"value": "84 kg", "form": "scales"}),
        (("performers", "lamplighter", "mass"), {"value": "84 kg", "within": "1 kg", "range": ["83 kg", "85 kg"]}),
        (("performers", "lamplighter", "maas"), "84 kg"),
        (("performers", "lamplighter", "at"), ["1 m", "2 m"]),
        (("performers", "lamplighter", "start"), "hangin"),
        (("sheaves", "lead sheave", "bearing"), "bal"),
        (("sheaves", "lead sheave", "carried_by"), "lamplighter"),
        (("drives", "winch", "kind"), "wnch"),
        (("moves", 0, "take_in"), "1 m"),
        (("stops", 0, "category"), 3),
        (("stops", 0, "when"), None),
        (("limits",), None),
        (("stops",), []),
    ],
)
def test_wrong_values_are_wrong(keys: tuple[Any, ...], value: Any) -> None:
    scenario = copy.deepcopy(yaml.safe_load(DEMO.read_text(encoding="utf-8")))
    inner = scenario
    for key in keys[:-1]:
        inner = inner[key]
    inner[keys[-1]] = value
    assert not VALIDATOR.is_valid(scenario)


@pytest.mark.parametrize(
    "keys",
    [
        ("title",),
        ("stops",),
        ("limits",),
        ("lines", "drop line", "route"),
        ("sheaves", "lead sheave", "at"),
        ("moves", 0, "speed"),
    ],
)
def test_keys_that_are_due_are_due(keys: tuple[Any, ...]) -> None:
    scenario = copy.deepcopy(yaml.safe_load(DEMO.read_text(encoding="utf-8")))
    inner = scenario
    for key in keys[:-1]:
        inner = inner[key]
    del inner[keys[-1]]
    assert not VALIDATOR.is_valid(scenario)


def test_like_and_notes_are_known_to_it() -> None:
    definitions = SCHEMA["$defs"]
    assert "like" in definitions["Sheave"]["properties"]
    assert "like" not in definitions["Brake"]["properties"]
    for name, definition in definitions.items():
        if "properties" in definition:
            assert "notes" in definition["properties"], name
