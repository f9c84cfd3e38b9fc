"""Runs that end early, killed, stopped by hand, on a full disk: what is finished is kept, the next start goes on."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from sim.command import run as run_command
from sim.command.main import main
from sim.results.folder import read_result
from sim.results.journal import Journal
from sim.results.model import Result
from tests.command.met_on_the_way import Held, met_on_the_way
from tests.studies.hoist import SPREAD, hoist_text

ROOT = Path(__file__).parents[2]
posix = pytest.mark.skipif(os.name != "posix", reason="needs signals")


@pytest.fixture(autouse=True)
def _no_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run_command, "draw", lambda *_given, **_more: None)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "hoist.yaml"
    path.write_text(hoist_text(1.5, **SPREAD))
    return path


def _met_on_the_way(file: Path, out: Path) -> Held:
    go = file.with_name("go")
    return met_on_the_way(Journal.beside(out).path, go, "run", str(file), "--out", str(out))


def _goes_on(file: Path, out: Path, capsys: pytest.CaptureFixture[str]) -> Result:
    """The same command again: it takes over what was finished, and ends as if it had never been stopped."""
    fresh = out.with_name("fresh")
    main(["run", str(file), "--out", str(fresh), "--quiet"])
    assert "taken over" not in capsys.readouterr().err
    main(["run", str(file), "--out", str(out), "--quiet"])
    assert "finished runs were taken over" in capsys.readouterr().err
    assert not Journal.beside(out).path.exists()
    assert (out / "sweep.csv").read_bytes() == (fresh / "sweep.csv").read_bytes()
    assert read_result(out).cases == read_result(fresh).cases
    return read_result(out)


@posix
def test_a_killed_sweep_loses_nothing_finished(file: Path, tmp_path: Path, capsys) -> None:
    out = tmp_path / "out"
    status, _, _ = _met_on_the_way(file, out).ended_by(signal.SIGKILL)
    assert status == -signal.SIGKILL
    assert not out.exists()
    with Journal.beside(out).path.open("ab") as torn:
        torn.write(b'["power loss", "hea')
    _goes_on(file, out, capsys)


@posix
def test_a_word_to_stop_keeps_what_is_finished_and_says_how_to_go_on(file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    status, _, told = _met_on_the_way(file, out).ended_by(signal.SIGINT)
    assert status == 3
    journal = Journal.beside(out)
    assert told.startswith("Stopped on your word. ")
    assert f"finished runs are kept in {journal.path}; the same command goes on from there." in told
    assert "Traceback" not in told
    assert not out.exists()
    rows = journal.path.read_bytes().count(b"\n") - 1
    assert f" {rows} finished runs" in told


def test_a_disk_that_is_full_at_the_end_keeps_the_runs(file: Path, tmp_path: Path, capsys, monkeypatch) -> None:
    out = tmp_path / "out"

    def full(*_given, **_more):
        raise OSError(28, "No space left on device", str(out))

    with monkeypatch.context() as at_the_end:
        at_the_end.setattr(run_command, "write_result", full)
        assert main(["run", str(file), "--out", str(out)]) == 3
    told = capsys.readouterr().err
    assert "The disk is full" in told
    assert "the same command goes on from there" in told
    assert not out.exists()
    _goes_on(file, out, capsys)


def test_a_disk_that_takes_no_runs_is_told_and_all_else_comes(file: Path, tmp_path: Path, capsys, monkeypatch) -> None:
    def full(*_given):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Journal, "_write", full)
    assert main(["run", str(file), "--out", str(tmp_path / "out"), "--quiet"]) in (0, 1)
    told = capsys.readouterr().err
    assert "no longer kept" in told
    assert "No space left" in told
    assert read_result(tmp_path / "out").sweeps


def test_a_place_that_cannot_be_written_is_told_before_any_run(file: Path, tmp_path: Path, capsys, monkeypatch) -> None:
    (tmp_path / "taken").write_text("")
    monkeypatch.setattr("sim.studies.scenario.run_scenario", lambda *_: pytest.fail("ran"))
    assert main(["run", str(file), "--out", str(tmp_path / "taken" / "out")]) == 3
    assert "not a folder" in capsys.readouterr().err


def test_another_scenario_takes_nothing_over(file: Path, tmp_path: Path, capsys) -> None:
    out = tmp_path / "out"
    journal = Journal.beside(out)
    journal.begin("another")
    journal.add({})
    journal.path.write_text('{"format": "stopload journal 1", "of": "another"}\n')
    main(["run", str(file), "--out", str(out), "--quiet"])
    assert "taken over" not in capsys.readouterr().err
    assert not journal.path.exists()
