"""`stopload rerun` and `stopload diff`: whether two results are the same, and what is told of altered folders.

That the same scenario, program and machine give the same numbers to the last bit is what the program promises; what is
changed here by hand must come back as what was changed.
"""

from __future__ import annotations

import csv
import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from sim.command import compare as compare_command
from sim.command import run as run_command
from sim.command.main import main
from sim.results.difference_folder import DIFFERENCE, TABLE
from sim.results.folder import OWN_TYPES, changed_files, read_result
from sim.results.journal import Journal, Row
from tests.studies.hoist import hoist_text

ROOT = Path(__file__).parents[2]
FALL, RUN = ROOT / "scenarios/stonemasons-fall.yaml", ROOT / "scenarios/cathedral-run-wire.yaml"


@pytest.fixture(autouse=True, scope="module")
def _no_figures() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        for module in (run_command, compare_command):
            patch.setattr(module, "draw", lambda *_given, **_more: None)
        yield


@pytest.fixture(scope="module")
def fall(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The result of a demo."""
    return _run(FALL, tmp_path_factory.mktemp("demo") / "fall")


def _run(file: Path, out: Path) -> Path:
    assert main(["run", str(file), "--out", str(out), "--quiet"]) in (0, 1)
    return out


def _hoist(folder: Path, name: str, **more: str) -> Path:
    """The result of a small rig with one stop."""
    file = folder / f"{name}.yaml"
    file.write_text(hoist_text(1.5, **more).replace("when: every instant", "when: 0.6 s"), encoding="utf-8")
    return _run(file, folder / name)


@pytest.fixture(scope="module")
def stored(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small result; tests that alter it take a copy."""
    return _hoist(tmp_path_factory.mktemp("stored"), "hoist")


@pytest.fixture
def copy(stored: Path, tmp_path: Path) -> Path:
    return shutil.copytree(stored, tmp_path / "hoist")


def _files(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def _rows(folder: Path) -> list[dict[str, str]]:
    with (folder / TABLE).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_demo_run_again_is_the_same_to_the_last_bit(
    fall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = _files(fall)
    monkeypatch.chdir(tmp_path)
    capsys.readouterr()
    assert main(["rerun", str(fall), "--same", "exact"]) == 0
    page = " ".join(capsys.readouterr().out.split())
    assert "0 different" in page
    assert "Same: nothing differs that counts; asked was: the same to the last bit." in page
    assert "A simulation is one input to a risk assessment" in page
    assert _files(fall) == before
    assert list(tmp_path.iterdir()) == []


def test_a_rerun_leaves_its_result_and_table_where_asked(stored: Path, tmp_path: Path) -> None:
    assert main(["rerun", str(stored), "--quiet", "--out", str(tmp_path / "again")]) == 0
    assert read_result(tmp_path / "again/result").cases == read_result(stored).cases
    assert changed_files(tmp_path / "again/result") == ()
    assert _rows(tmp_path / "again") == []
    told = json.loads((tmp_path / "again" / DIFFERENCE).read_text(encoding="utf-8"))
    assert told["same"] is True
    assert told["numbers"]["different"] == 0
    assert told["numbers"]["the same to the last bit"] > 50
    assert main(["rerun", str(stored), "--quiet", "--out", str(tmp_path / "again")]) == 2
    assert main(["rerun", str(stored), "--quiet", "--out", str(tmp_path / "again"), "--replace"]) == 0


def test_a_changed_number_is_found_by_its_seal_and_by_running_again(
    copy: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = json.loads((copy / "result.json").read_text())
    true_N = data["elements"]["line"]["working_N"]
    text = (copy / "result.json").read_text().replace(repr(true_N), repr(0.9 * true_N))
    (copy / "result.json").write_text(text)
    assert main(["rerun", str(copy), "--out", str(tmp_path / "again")]) == 1
    page = " ".join(capsys.readouterr().out.split())
    assert "no longer what was written, altered or missing: result.json" in page
    row = next(row for row in _rows(tmp_path / "again") if row["where"] == "line / working force")
    assert (float(row["first"]), float(row["second"])) == (0.9 * true_N, true_N)
    assert (row["unit"], row["kind"], row["counts"]) == ("N", "figure", "yes")
    assert float(row["relative"]) == pytest.approx(0.1)
    assert float(row["second less first"]) == pytest.approx(0.1 * true_N)


def test_a_changed_input_runs_otherwise_and_both_are_told(copy: Path, tmp_path: Path, capsys) -> None:
    text = (copy / "input.yaml").read_text()
    (copy / "input.yaml").write_text(text.replace("mass: 80 kg", "mass: 90 kg"))
    assert main(["rerun", str(copy), "--out", str(tmp_path / "again")]) == 1
    page = " ".join(capsys.readouterr().out.split())
    assert "altered or missing: input.yaml" in page
    assert "performers / weight / mass 80 kg 90 kg +10 kg, 11 %" in page
    static = next(row for row in _rows(tmp_path / "again") if row["where"] == "line / static force")
    # At rest the line bears what hangs on it, and 1 kg of hook stays the same.
    assert float(static["second less first"]) == pytest.approx(10.0 * 9.80665, rel=1e-6)


def test_an_altered_comment_changes_no_number_and_yet_is_not_the_same(copy: Path, capsys) -> None:
    (copy / "input.yaml").write_text((copy / "input.yaml").read_text() + "# a note\n")
    assert main(["rerun", str(copy)]) == 1
    page = " ".join(capsys.readouterr().out.split())
    assert "0 different" in page
    assert "A folder is no longer what was written." in page


def test_missing_histories_are_told_and_the_rest_is_compared(copy: Path, capsys) -> None:
    for path in (copy / "traces").iterdir():
        path.unlink()
    assert main(["rerun", str(copy)]) == 1
    page = " ".join(capsys.readouterr().out.split())
    assert "stored: traces/planned move.csv is not compared: it is missing." in page
    assert "only in run again: 2 curves (planned move / history; power loss / history)" in page
    assert "0 different" in page


def test_without_its_input_there_is_nothing_to_run(copy: Path, capsys) -> None:
    (copy / "input.yaml").unlink()
    assert main(["rerun", str(copy)]) == 2
    assert "has no input.yaml" in capsys.readouterr().err


def test_an_input_that_cannot_be_read_tells_its_faults(copy: Path, capsys) -> None:
    (copy / "input.yaml").write_text((copy / "input.yaml").read_text().replace("80 kg", "80 stone"))
    assert main(["rerun", str(copy)]) == 2
    told = capsys.readouterr().err
    assert f"{copy / 'input.yaml'}: one fault, nothing was run" in told
    assert "80 stone" in told


@pytest.mark.parametrize("command", ["rerun", "diff"])
def test_what_is_no_result_folder_is_refused_in_words(command: str, stored: Path, tmp_path: Path, capsys) -> None:
    def told(folder: Path) -> str:
        more = [str(stored)] if command == "diff" else []
        assert main([command, str(folder), *more]) == 2
        return " ".join(capsys.readouterr().err.split())

    (tmp_path / "empty").mkdir()
    assert "is not a result folder: it has no result.json" in told(tmp_path / "empty")
    assert "there is no folder" in told(tmp_path / "nowhere")
    assert "is no folder; name the result folder" in told(stored / "result.json")


def test_of_a_comparison_its_variants_are_named(tmp_path: Path, capsys) -> None:
    file = tmp_path / "hoist.yaml"
    file.write_text(hoist_text().replace("when: every instant", "when: 0.6 s"), encoding="utf-8")
    out = tmp_path / "compared"
    assert main(["compare", str(file), "--over", "drives / winch / moving_mass: 50 kg, 70 kg", "--out", str(out)]) in (
        0,
        1,
    )
    capsys.readouterr()
    assert main(["rerun", str(out)]) == 2
    told = capsys.readouterr().err
    assert "is the folder of a comparison; name one of its variants" in told
    assert str(out / "50 kg") in told
    assert main(["rerun", str(out / "70 kg"), "--same", "exact", "--quiet"]) == 0
    assert main(["diff", str(out / "50 kg"), str(out / "70 kg")]) == 1
    assert "drives / winch / moving_mass 50 kg 70 kg +20 kg, 29 %" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("word", ["half", "-1", "nan", "2"])
def test_what_counts_as_the_same_must_be_sense(word: str, stored: Path, capsys) -> None:
    assert main(["diff", str(stored), str(stored), "--same", word]) == 2
    assert "exact, alike, claimed" in capsys.readouterr().err


def test_how_strictly_the_same_is_meant_decides(stored: Path, tmp_path: Path) -> None:
    heavier = _hoist(tmp_path, "heavier", mass="80.001 kg")
    for same, status in (("exact", 1), ("alike", 1), ("1e-6", 1)):
        assert main(["diff", str(stored), str(heavier), "--same", same, "--quiet"]) == status
    assert main(["diff", str(stored), str(stored), "--same", "exact", "--quiet"]) == 0


def test_stopped_on_the_persons_word(stored: Path, tmp_path: Path, capsys, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_given: object, **_more: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("sim.studies.scenario.run_scenario", stopped)
    assert main(["rerun", str(stored)]) == 3
    assert "Stopped on your word" in capsys.readouterr().err
    assert main(["rerun", str(stored), "--out", str(tmp_path / "again")]) == 3
    assert list(tmp_path.iterdir()) == []

    def stopped_later(*_given: object, journal: Journal, **_more: object) -> None:
        journal.begin("all that it depends on")
        journal.add({("power loss", "as stated", 0.6): Row({"peak_g:weight": 2.0})})
        raise KeyboardInterrupt

    capsys.readouterr()
    monkeypatch.setattr("sim.studies.scenario.run_scenario", stopped_later)
    assert main(["rerun", str(stored), "--out", str(tmp_path / "again")]) == 3
    assert "One finished run is kept in" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["again.unfinished.jsonl"]


def test_the_folder_alone_is_enough_with_own_types_and_named_files(
    tmp_path: Path, capsys, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Own line types and a recorded move, whose own files are gone when it is run again."""
    mine, home = tmp_path / "mine", tmp_path / "home"
    (home / "traces").mkdir(parents=True)
    mine.mkdir()
    own = "grey tail: {like: polyester double braid, notes: [Our own.]}\n"
    (mine / "tails.yaml").write_text(own, encoding="utf-8")
    rows = "".join(f"{0.05 * i:.2f},{0.2 * (0.05 * i) ** 2 * (3 - 0.05 * i):.6f}\n" for i in range(41))
    (home / "traces/take.csv").write_text("time_s,paid_out_m\n" + rows, encoding="utf-8")
    text = hoist_text().replace(
        "type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}",
        "type: grey tail\n    diameter: 10 mm",
    )
    start, end = text.index("moves:"), text.index("stops:")
    text = (
        text[:start]
        + "moves:\n  - {drive: winch, follow: {file: traces/take.csv, smooth: 4 Hz}, start: 1 s}\n"
        + text[end:]
    )
    (home / "hoist.yaml").write_text(text.replace("when: every instant", "when: 2 s"), encoding="utf-8")
    monkeypatch.setenv("STOPLOAD_LINES", str(mine))
    out = _run(home / "hoist.yaml", tmp_path / "out")
    assert (out / OWN_TYPES / "tails.yaml").read_text(encoding="utf-8") == own
    assert (out / "input files").is_dir()  # `traces` is the result's own folder, so the file could not keep its path
    monkeypatch.delenv("STOPLOAD_LINES")
    shutil.rmtree(mine)
    shutil.rmtree(home)
    capsys.readouterr()
    assert main(["rerun", str(out), "--same", "exact", "--quiet"]) == 0
    monkeypatch.setenv("STOPLOAD_LINES", str(tmp_path / "nowhere"))  # what a person has set there is not looked at
    assert main(["rerun", str(out), "--same", "exact", "--quiet"]) == 0
    next((out / "input files").iterdir()).unlink()
    assert main(["rerun", str(out)]) == 2
    assert "which its scenario names as traces/take.csv, is missing" in capsys.readouterr().err


def test_a_stamp_that_leads_out_of_the_folder_copies_nothing(copy: Path, capsys) -> None:
    data = json.loads((copy / "result.json").read_text())
    data["stamp"]["kept_as"] = {"../../stolen.csv": "input.yaml"}
    (copy / "result.json").write_text(json.dumps(data))
    assert main(["rerun", str(copy)]) == 2
    assert "leads out of the folder" in capsys.readouterr().err


def test_two_demos_with_other_elements(fall: Path, tmp_path: Path, capsys) -> None:
    run = _run(RUN, tmp_path / "run")
    capsys.readouterr()
    assert main(["diff", str(fall), str(run), "--out", str(tmp_path / "what"), "--png"]) == 1
    page = " ".join(capsys.readouterr().out.split())
    assert "performers / stonemason" in page
    assert "only in fall" in page
    assert "only in run" in page
    rows = _rows(tmp_path / "what")
    alone = {(row["where"], row["only in"]) for row in rows if row["only in"]}
    assert {("catch line", "fall"), ("nave line", "run"), ("beam anchor", "fall")} <= alone
    first, second = read_result(fall), read_result(run)
    for name, side in (("catch line", first), ("nave line", second)):
        row = next(row for row in rows if row["where"] == name and row["kind"] == "figure")
        assert float(row["first"] or row["second"]) in (
            side.elements[name].emergency_N, side.elements[name].working_N
        )  # fmt: skip
    both = next(row for row in rows if row["where"] == "planned move / duration")
    assert float(both["first"]) == first.cases["planned move"].duration_s
    assert float(both["second"]) == second.cases["planned move"].duration_s
    figures = sorted(path.name for path in (tmp_path / "what/plots").iterdir())
    stems = ("compared planned move", "differences")
    assert figures == [f"{stem}{ending}" for stem in stems for ending in (".png", ".svg")]
    assert main(["diff", str(fall), str(run), "--units", "us"]) == 1
    assert " ft" in capsys.readouterr().out
