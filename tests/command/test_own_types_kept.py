"""A run with line types of the user's own keeps their files in its folder, and a journal forgets rows of others."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.command import run as run_command
from sim.command.main import main
from sim.command.reading import own_types, read_scenario
from sim.results.folder import OWN_TYPES, changed_files, read_result
from sim.scenario import read_file
from sim.studies.ends import AS_STATED
from sim.studies.prepared import made_ready
from sim.studies.scenario import journal_key
from tests.studies.hoist import hoist_text

OWN = "grey tail: {like: polyester double braid, notes: [Our own tail.]}\n"


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A rig whose line is of a type of the user's own."""
    monkeypatch.setattr(run_command, "draw", lambda *_given, **_more: None)
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine/tails.yaml").write_text(OWN, encoding="utf-8")
    (tmp_path / "mine/others.yaml").write_text("other tail: {like: music wire}\n", encoding="utf-8")
    monkeypatch.setenv("STOPLOAD_LINES", str(tmp_path / "mine"))
    text = hoist_text().replace(
        "type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}",
        "type: grey tail\n    diameter: 10 mm",
    )
    path = tmp_path / "hoist.yaml"
    path.write_text(text.replace("when: every instant", "when: 0.6 s"), encoding="utf-8")
    return path


def test_the_folder_keeps_the_files_it_used_and_only_those(file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert main(["run", str(file), "--out", str(out), "--quiet"]) in (0, 1)
    assert [path.name for path in (out / OWN_TYPES).iterdir()] == ["tails.yaml"]
    assert (out / OWN_TYPES / "tails.yaml").read_text(encoding="utf-8") == OWN
    assert f"{OWN_TYPES}/tails.yaml" in str(read_result(out).stamp["files"])
    assert changed_files(out) == ()
    (out / OWN_TYPES / "tails.yaml").write_text(OWN + "\n")
    assert changed_files(out) == (f"{OWN_TYPES}/tails.yaml",)


def test_rows_run_with_another_record_are_not_taken_over(
    file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def key() -> str:
        scenario = read_file(file)
        return journal_key(scenario, {AS_STATED: made_ready(scenario)[0]})

    first = key()
    assert key() == first
    stiffer = OWN.replace(
        "notes",
        "damping_ratio: {value: 0.05, range: [0.04, 0.06], source: ring-down of our rig, status: stated}, notes",
    )
    (tmp_path / "changed").mkdir()
    (tmp_path / "changed/tails.yaml").write_text(stiffer, encoding="utf-8")
    monkeypatch.setenv("STOPLOAD_LINES", str(tmp_path / "changed"))
    assert key() != first


def test_a_fault_in_own_records_is_told_by_the_run(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "mine/bad.yaml").write_text("bad: {like: no such type}\n", encoding="utf-8")
    assert read_scenario(file).inputs.own_types == own_types(read_file(file)) == {}
    assert main(["run", str(file), "--out", str(tmp_path / "out")]) == 2
    assert "no such type" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
