"""Broken scenario files, each with everything it is told, word for word (broken/expected.txt)."""

import re
from pathlib import Path

import pytest
import yaml

from sim.scenario import ScenarioErrors, read_file

BROKEN = Path(__file__).with_name("broken")


def _expected() -> dict[str, list[str]]:
    expected: dict[str, list[str]] = {}
    for section in (BROKEN / "expected.txt").read_text(encoding="utf-8").split("\n## ")[1:]:
        name, *faults = section.strip().splitlines()
        expected[name] = faults
    return expected


EXPECTED = _expected()


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_a_broken_file_is_told_all_its_faults(name: str) -> None:
    file = BROKEN / f"{name}.yaml"
    with pytest.raises(ScenarioErrors) as caught:
        read_file(file)
    assert [str(fault) for fault in caught.value.faults] == [f"{file}:{fault}" for fault in EXPECTED[name]]
    assert str(caught.value) == "\n".join(f"{file}:{fault}" for fault in EXPECTED[name])


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_faults_point_into_the_file(name: str) -> None:
    lines = (BROKEN / f"{name}.yaml").read_text(encoding="utf-8").split("\n")
    with pytest.raises(ScenarioErrors) as caught:
        read_file(BROKEN / f"{name}.yaml")
    for fault in caught.value.faults:
        assert 1 <= fault.column <= len(lines[fault.line - 1]) + 1
        word = re.fullmatch(r"(?:unknown key )?'([^']*)'(?: without a unit)?", fault.found)
        if word and fault.key:
            begins = word[1][:3].strip()
            assert lines[fault.line - 1][fault.column - 1 :].lstrip("'\"{ ").startswith(begins)


def test_python_s_own_yaml_scanner_tells_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where PyYAML comes without its C library the messages are the same."""
    monkeypatch.setattr("sim.scenario.tree._Loader", yaml.SafeLoader)
    for name in EXPECTED:
        test_a_broken_file_is_told_all_its_faults(name)


def test_every_broken_file_is_in_the_table() -> None:
    assert {file.stem for file in BROKEN.glob("*.yaml")} == set(EXPECTED)
    assert all(EXPECTED.values())


def test_the_parts_of_a_fault_can_be_had_singly() -> None:
    with pytest.raises(ScenarioErrors) as caught:
        read_file(BROKEN / "mass-for-force.yaml")
    (fault,) = caught.value.faults
    assert (fault.file, fault.line, fault.column) == (str(BROKEN / "mass-for-force.yaml"), 12, 24)
    assert fault.key == "lines / fly line / breaking_strength"
    assert (fault.found, fault.expected, fault.nearest) == ("'1600 kg'", "a force, and kg is none", "1600 kgf")
