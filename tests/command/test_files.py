"""`run`, `new` and `demos`: what they write, and what they leave alone."""

from __future__ import annotations

from pathlib import Path

import pytest

import sim.studies.scenario
from sim.command import demos as demos_module
from sim.command import run as run_module
from sim.command.demos import demo_texts
from sim.command.main import main
from sim.command.reading import ReadScenario
from sim.results.cautions import FULL, SHORT
from sim.results.folder import read_result
from tests.results.made_up import INPUTS, made_up_result


@pytest.fixture
def made_up_run(monkeypatch, tmp_path: Path) -> Path:
    """`run` with the reading, the simulation and the drawing made up: what is left is the command itself."""
    monkeypatch.setattr(run_module, "read_scenario", lambda _: ReadScenario(None, INPUTS))  # type: ignore[arg-type]
    monkeypatch.setattr(sim.studies.scenario, "run_scenario", lambda *_, **__: made_up_result())
    monkeypatch.setattr(run_module, "draw", lambda *_, **__: None)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_run_writes_the_folder_prints_the_summary_and_ends_with_the_results_status(made_up_run: Path, capsys) -> None:
    assert main(["run", "drop.yaml"]) == made_up_result().exit_status == 1
    page = " ".join(capsys.readouterr().out.split())
    assert read_result(made_up_run / "results/drop").title == made_up_result().title
    assert "Result folder: results/drop" in page
    for caution in FULL:
        assert caution in page


def test_run_never_overwrites_unasked_and_says_so_before_simulating(made_up_run: Path, capsys, monkeypatch) -> None:
    assert main(["run", "drop.yaml", "--out", "there"]) == 1
    capsys.readouterr()

    def simulated(*_: object, **__: object) -> None:
        raise AssertionError("simulated although the folder was taken")

    with monkeypatch.context() as patch:
        patch.setattr(sim.studies.scenario, "run_scenario", simulated)
        assert main(["run", "drop.yaml", "--out", "there"]) == 2
    assert "exists already" in capsys.readouterr().err
    assert main(["run", "drop.yaml", "--out", "there", "--replace"]) == 1


def test_quiet_prints_verdict_folder_and_cautions_only(made_up_run: Path, capsys) -> None:
    assert main(["run", "drop.yaml", "--quiet"]) == 1
    page = capsys.readouterr().out
    assert "Verdict: outside limits" in page
    assert SHORT in " ".join(page.split())
    assert "Performers" not in page


@pytest.mark.parametrize("error", [KeyboardInterrupt(), OSError(28, "No space left on device")])
def test_a_run_that_breaks_leaves_nothing(made_up_run: Path, capsys, monkeypatch, error: BaseException) -> None:
    def breaks(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(run_module, "draw", breaks)
    assert main(["run", "drop.yaml"]) == 3
    assert list((made_up_run / "results").iterdir()) == []
    assert "Traceback" not in capsys.readouterr().err


def test_new_writes_once(tmp_path: Path, capsys) -> None:
    file = tmp_path / "rig.yaml"
    assert main(["new", str(file)]) == 0
    written = file.read_bytes()
    assert written.startswith(b"# A starter scenario")
    file.write_bytes(written + b"# mine\n")
    assert main(["new", str(file)]) == 2
    assert file.read_bytes().endswith(b"# mine\n")
    assert main(["new", str(tmp_path / "nowhere/rig.yaml")]) == 2
    assert "there is no folder" in capsys.readouterr().err


def test_demos_are_listed_and_copied_never_over_anything(tmp_path: Path, capsys) -> None:
    assert main(["demos"]) == 0
    listed = capsys.readouterr().out
    assert demo_texts()
    for name, text in demo_texts().items():
        assert name in listed
        title = next(line.removeprefix("title:").strip() for line in text.splitlines() if line.startswith("title:"))
        assert title in listed
    assert main(["demos", "--copy", str(tmp_path / "demos")]) == 0
    for name, text in demo_texts().items():
        assert (tmp_path / "demos" / f"{name}.yaml").read_bytes() == text.encode()
    first = next(iter(demo_texts()))
    (tmp_path / "demos" / f"{first}.yaml").write_text("mine")
    assert main(["demos", first, "--copy", str(tmp_path / "demos")]) == 2
    assert (tmp_path / "demos" / f"{first}.yaml").read_text() == "mine"
    assert main(["demos", "no such demo"]) == 2
    assert first in capsys.readouterr().err


def test_a_demo_is_copied_with_the_files_it_names(tmp_path: Path, monkeypatch) -> None:
    text = demo_texts()["lamplighters-drop"]
    start = text.index("moves:")
    follows = "moves:\n  - {drive: winch, follow: {file: takes/first take.csv, smooth: 8 Hz}}\n\n"
    shipped = tmp_path / "shipped"
    (shipped / "takes").mkdir(parents=True)
    (shipped / "takes/first take.csv").write_bytes(b"time_s,paid_out_m\n0,0\n")
    (shipped / "drop.yaml").write_text(text[:start] + follows + text[text.index("stops:") :])
    monkeypatch.setattr(demos_module.resources, "files", lambda _: shipped)
    assert main(["demos", "--copy", str(tmp_path / "mine")]) == 0
    assert (tmp_path / "mine/takes/first take.csv").read_bytes() == b"time_s,paid_out_m\n0,0\n"


def test_the_starter_ends_within_its_limits(tmp_path: Path, capsys) -> None:
    assert main(["new", str(tmp_path / "rig.yaml")]) == 0
    assert main(["run", str(tmp_path / "rig.yaml"), "--out", str(tmp_path / "result"), "--quiet"]) == 0
    assert "Verdict: within limits" in capsys.readouterr().out
