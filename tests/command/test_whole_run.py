"""The demos through the whole program: the figures of folder, summary and verdict are one, and the folder is enough."""

from __future__ import annotations

import math
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from sim.command.main import main
from sim.results.cautions import FULL
from sim.results.folder import changed_files, read_result
from sim.results.journal import Journal
from sim.results.shown import Units, bare
from sim.scenario import read_file
from sim.scenario.model import Source
from tests.command.met_on_the_way import met_on_the_way

ROOT = Path(__file__).parents[2]
DROP = ROOT / "scenarios/lamplighters-drop.yaml"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The first demo, run by another process as a person would run it."""
    out = tmp_path_factory.mktemp("run") / "drop"
    run = [sys.executable, "-m", "sim.command", "run", str(DROP), "--out", str(out)]
    done = subprocess.run(run, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.stderr == ""
    assert done.returncode == 0
    (out.parent / "page.txt").write_text(done.stdout)
    return out


def test_the_first_demo_ends_within_its_limits(folder: Path) -> None:
    result = read_result(folder)
    assert result.verdict == "within limits"
    assert result.exit_status == 0
    assert set(result.cases) >= {"planned move", "operator stop", "power loss, worst force"}
    assert all(case.audit is not None and case.audit.passed for case in result.cases.values())


def test_the_page_shows_the_folders_figures_and_the_cautions(folder: Path) -> None:
    page = (folder.parent / "page.txt").read_text()
    unwrapped = " ".join(page.split())
    result = read_result(folder)
    assert result.weakest is not None
    assert f"Weakest element: {result.weakest}." in unwrapped
    for caution in FULL:
        assert caution in unwrapped
    for case in result.cases.values():
        seen = case.performers["lamplighter"]
        row = next(line for line in page.splitlines() if line.startswith(f" {case.name}  "))
        assert row.split()[-6:-4] == [bare(seen.peak_g, "g"), bare(seen.peak_g_cfc60, "g")]
        assert row.split()[-3] == bare(seen.lowest_height_m, "m", Units.SI)


def test_the_folder_is_whole(folder: Path) -> None:
    result = read_result(folder)
    assert changed_files(folder) == ()
    assert (folder / "input.yaml").read_bytes() == DROP.read_bytes()
    assert list((folder / "plots").glob("*.svg"))
    for case in result.cases.values():
        trace = result.traces[case.name]
        assert len(trace.time_s) > 100
        for performer in case.performers:
            assert {f"{column}:{performer}" for column in ("x_m", "y_m", "height_m", "speed_m_s", "g")} <= set(
                trace.columns
            )
    sweep = result.sweeps["power loss"]
    assert len(sweep.stop_time_s) > 100


def test_the_filled_in_scenario_says_the_same(folder: Path) -> None:
    given, filled = read_file(DROP), read_file(folder / "scenario.yaml")
    assert filled.with_source(Source()) == given.with_source(Source())


def test_running_the_kept_input_gives_the_same_numbers(folder: Path, tmp_path: Path) -> None:
    assert main(["run", str(folder / "input.yaml"), "--out", str(tmp_path / "again"), "--quiet"]) == 0
    first, again = read_result(folder), read_result(tmp_path / "again")
    assert again.elements == first.elements
    assert again.cases == first.cases
    assert (tmp_path / "again/sweep.csv").read_bytes() == (folder / "sweep.csv").read_bytes()


def test_the_figures_can_be_drawn_again_from_the_folder(folder: Path, tmp_path: Path) -> None:
    from plots import write_plots

    write_plots(read_result(folder), tmp_path)
    names = {path.name for path in (folder / "plots").iterdir()}
    assert names == {path.name for path in tmp_path.iterdir()}
    for name in names:
        assert (tmp_path / name).stat().st_size == pytest.approx((folder / "plots" / name).stat().st_size, rel=0.01)


def test_the_twin_with_the_hard_brake_ends_outside(tmp_path: Path, capsys) -> None:
    hard = ROOT / "scenarios/lamplighters-drop-hard-brake.yaml"
    assert main(["run", str(hard), "--out", str(tmp_path / "hard"), "--units", "us"]) == 1
    assert "OUTSIDE" in capsys.readouterr().out
    assert read_result(tmp_path / "hard").verdict == "outside limits"


def test_a_recorded_move_is_kept_and_runs_again_from_the_folder(tmp_path: Path, capsys) -> None:
    text = DROP.read_text().replace(", within: 3 kg", "").replace(", within: 10 %", "")  # fewer runs, same files
    follows = "moves:\n  - {drive: winch, start: 0.5 s, follow: {file: takes/slow.csv, smooth: none}}\n\n"
    (tmp_path / "drop.yaml").write_text(text[: text.index("moves:")] + follows + text[text.index("stops:") :])
    (tmp_path / "takes").mkdir()
    rows = [f"{i / 100:.2f},{4.0 * (1.0 - math.cos(math.pi * min(i / 400, 1.0))):.6f}" for i in range(500)]
    (tmp_path / "takes/slow.csv").write_text("\n".join(["time_s,paid_out_m", *rows, ""]))
    out = tmp_path / "out"
    first = main(["run", str(tmp_path / "drop.yaml"), "--out", str(out), "--quiet"])
    assert first in (0, 1), capsys.readouterr().err
    assert (out / "takes/slow.csv").read_bytes() == (tmp_path / "takes/slow.csv").read_bytes()
    assert set(read_result(out).stamp["files"]) == {"input.yaml", "takes/slow.csv"}  # type: ignore[call-overload]
    (tmp_path / "takes/slow.csv").unlink()
    assert main(["run", str(out / "input.yaml"), "--out", str(tmp_path / "again"), "--quiet"]) == first
    assert read_result(tmp_path / "again").cases == read_result(out).cases


@pytest.mark.skipif(os.name != "posix", reason="needs signals")
@pytest.mark.parametrize("word", [signal.SIGINT, signal.SIGTERM])
def test_a_run_stopped_by_hand_leaves_only_finished_runs(tmp_path: Path, word: signal.Signals) -> None:
    out = tmp_path / "results" / "drop"
    journal = Journal.beside(out).path
    held = met_on_the_way(journal, tmp_path / "go", "run", str(DROP), "--out", str(out))
    status, _, told = held.ended_by(word)
    assert status == 3
    assert told.startswith("Stopped on your word")
    assert "Traceback" not in told
    assert list((tmp_path / "results").iterdir()) == [journal]
    assert "goes on from there" in told
