"""`stopload lines --for` through the whole program: pages, files, statuses, and what it refuses before it runs."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from sim.command.main import main
from sim.results.cautions import FULL
from sim.results.folder import read_result
from sim.results.model import Result
from sim.results.shown import bare
from sim.scenario import Scenario
from sim.studies import compare
from sim.studies.compare_figures import figures_of
from sim.studies.scenario import run_scenario
from tests.studies.drop import drop_text

TYPES = ("7x19 galvanised", "music wire", "polyester double braid")


def rig(folder: Path, **words: str) -> Path:
    file = folder / "drop.yaml"
    file.write_text(drop_text(**words), encoding="utf-8")
    return file


def one_line(text: str) -> str:
    return " ".join(text.split())


def test_a_page_and_its_files(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file, table, whole = rig(tmp_path, hot="32 degC"), tmp_path / "choice.csv", tmp_path / "choice.json"
    assert main(["lines", *TYPES, "--for", str(file), "--export", str(table)]) == 0
    page = capsys.readouterr().out
    assert max(map(len, page.splitlines())) <= 120
    for words in (
        "32 degC; dry",
        "the smallest tread is 120 mm, at head sheave",
        "Diameter: 6 mm at the most (the line's own",
        "holds for it as written alone",
        "4 tried: 1 out without a run, 1 out by its run, 2 within all limits",
        "swaged sleeve with thimble at flyer, with a press or a machine",
        "Evidence wanted",
    ):
        assert words in one_line(page), words
    assert page.index("music wire") < page.index("polyester double braid") < page.index("7x19 galvanised")
    assert all(caution in one_line(page) for caution in FULL)
    rows = {each["type"]: each for each in csv.DictReader(io.StringIO(table.read_text(encoding="utf-8")))}
    # The same figures to the last digit as `stopload run` gives with that line written into the file.
    written = {"kind": TYPES[0], "end": "swaged sleeve with thimble", "certified": "", "hot": "32 degC"}
    (tmp_path / "wire.yaml").write_text(drop_text(**written), encoding="utf-8")
    assert main(["run", str(tmp_path / "wire.yaml"), "--out", str(tmp_path / "wire"), "--quiet"]) == 0
    capsys.readouterr()
    run = read_result(tmp_path / "wire")
    wire = figures_of(run)
    assert wire.peak_g is not None
    assert float(rows[TYPES[0]]["peak_g"]) == wire.peak_g.value
    assert wire.clearance_m is not None
    assert float(rows[TYPES[0]]["clearance_m"]) == wire.clearance_m.value
    assert float(rows[TYPES[0]]["strength_N"]) == run.elements["lift line"].strength_N
    assert bare(wire.peak_g.value, "g") in page
    assert rows["music wire"]["peak_g"] == ""
    assert "D:d is" in rows["music wire"]["why"]
    assert "design factor emergency" in rows["polyester double braid"]["why"]

    assert main(["lines", *TYPES, "--for", str(file), "--export", str(whole), "--sort", "weight", "--units", "us"]) == 0
    sorted_page = capsys.readouterr().out
    assert sorted_page.index("polyester") < sorted_page.index("as written: HMPE") < sorted_page.index("7x19 galvanised")
    data = json.loads(whole.read_text(encoding="utf-8"))
    candidates = {each["name"]: each for each in data["choices"][0]["candidates"]}
    for name, row in rows.items():  # neither order nor units touch a figure
        found = candidates[name]["figures"].get("peak_g")
        assert (row["peak_g"] and float(row["peak_g"])) == (found["value"] if found else "")
        assert (row["stretch_most_m"] != "") == ("stretch" in candidates[name])
    assert "lbf" in sorted_page
    assert "kN" not in sorted_page


def test_a_hot_wet_place(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = rig(tmp_path, hot="100 degC", wet="true", kind="para-aramid 12-strand", certified="")
    status = main(["lines", "HMPE 12-strand", "--for", str(file)])
    page = one_line(capsys.readouterr().out)
    assert "100 degC; wet." in page
    # Trade check case, common practice, no source: in boiling water HMPE has lost more than half.
    assert "no run HMPE 12-strand" in page
    assert "35% of its strength would be left" in page
    assert "hot water and steam over weeks weaken it" in page  # what the catalogue says of wet para-aramid
    assert "temperature 100 degC" in page
    assert "0.95 wet" in page
    assert status == 0


def test_open_water_says_what_floats(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "drop.yaml"
    file.write_text(drop_text().replace("wet: false}", "wet: false, water: {level: 0.5 m}}"), encoding="utf-8")
    status = main(["lines", "7x19 galvanised", "--for", str(file)])
    page = one_line(capsys.readouterr().out)
    # HMPE of 0.97 times the density of water floats, steel sinks: textbooks. The winch's end lies under water.
    assert "wet, open water at 0.5 m" in page
    assert "as written: HMPE 12-strand: It floats." in page
    assert "7x19 galvanised: It sinks." in page
    assert "water" in page.split("Why not judged")[1].split("Nearest")[0]  # what is in it is not simulated
    assert status == 3


def test_lines_of_two_types_are_chosen_for_apart(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    guyed = drop_text().replace(
        "sheaves:\n",
        "  guy:\n    type: polyester double braid\n    diameter: 10 mm\n    route: [post, flyer]\n    slack: 4 m\n"
        "    terminations: {post: bowline, flyer: bowline}\n"
        "anchors:\n  post: {at: [9 m, 0 m, 4 m], breaking_strength: 50 kN}\nsheaves:\n",
    )
    file, table = tmp_path / "guyed.yaml", tmp_path / "choice.json"
    file.write_text(guyed, encoding="utf-8")
    main(["lines", "LCP 12-strand", "--for", str(file), "--export", str(table)])
    page = one_line(capsys.readouterr().out)
    assert page.index("Line types for lift line:") < page.index("Line types for guy:")
    assert "6 mm at the most" in page
    assert "10 mm at the most" in page
    lift, guy = json.loads(table.read_text(encoding="utf-8"))["choices"]
    assert [each["size"] for each in lift["candidates"]] == ["6 mm", "6 mm"]
    assert [each["size"] for each in guy["candidates"]] == ["10 mm", "10 mm"]
    assert lift["candidates"][0]["figures"] == guy["candidates"][0]["figures"]  # both are the file as it is written
    assert lift["candidates"][1]["figures"] != guy["candidates"][1]["figures"]
    assert main(["lines", "LCP 12-strand", "--for", str(file), "--line", "guy"]) in (0, 1)
    assert "Line types for lift line:" not in capsys.readouterr().out


def test_no_type_that_remains_is_no_success(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    weak = {"kind": "polyester double braid", "certified": ""}
    assert main(["lines", "music wire", "--for", str(rig(tmp_path, **weak))]) == 1
    assert "1 out without a run, 1 out by its run." in one_line(capsys.readouterr().out)
    thicker = ["lines", "polyester double braid", "--for", str(rig(tmp_path, **weak)), "--diameter", "10 mm"]
    assert main(thicker) == 0
    page = one_line(capsys.readouterr().out)
    assert "10 mm at the most (by --diameter)" in page
    assert "polyester double braid, 10 mm" in page


def test_what_is_wrong_is_told_at_once(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = rig(tmp_path)
    there = tmp_path / "there.csv"
    there.write_text("mine", encoding="utf-8")
    arguments = [
        "lines",
        "HMPE 12-strnd",
        "7x19 galvanized",
        "--for",
        str(file),
        "--line",
        "lift lin",
        "--diameter",
        "6",
    ]
    assert main([*arguments, "--export", str(there)]) == 2
    told = capsys.readouterr().err
    for words in (
        "HMPE 12-strnd",
        "nearest: 7x19 galvanised",
        "There is no line 'lift lin'",
        "--diameter",
        "exists already",
    ):
        assert words in told, words
    assert there.read_text(encoding="utf-8") == "mine"
    for export, words in (("x.txt", ".json or .csv"), ("nowhere/x.csv", "there is no folder")):
        assert main(["lines", "--for", str(file), "--export", str(tmp_path / export)]) == 2
        assert words in capsys.readouterr().err
    assert main(["lines", "--for", str(tmp_path / "missing.yaml")]) == 2
    assert "missing.yaml" in capsys.readouterr().err
    broken = tmp_path / "broken.yaml"
    broken.write_text(drop_text(size="6", end="glue"), encoding="utf-8")
    assert main(["lines", "--for", str(broken)]) == 2
    assert "diameter" in capsys.readouterr().err
    broken.write_text(drop_text(end="glue"), encoding="utf-8")
    assert main(["lines", "--for", str(broken)]) == 2
    assert "termination 'glue' is unknown" in capsys.readouterr().err
    assert main(["lines", "--for", str(file), "--own", str(tmp_path / "nowhere")]) == 2
    assert "is not a folder" in capsys.readouterr().err


def test_a_line_without_a_diameter_wants_a_bound(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    own = "{stiffness_EA: 900 kN, mass_per_length: 22 g/m, breaking_strength: 35 kN, damping_ratio: 3 %, fibre: HMPE}"
    text = drop_text(kind=own, certified="").replace("    diameter: 6 mm\n", "")
    file = tmp_path / "own.yaml"
    file.write_text(text, encoding="utf-8")
    assert main(["lines", "LCP 12-strand", "--for", str(file)]) == 2
    assert "lift line: no diameter is written" in capsys.readouterr().err
    assert main(["lines", "LCP 12-strand", "--for", str(file), "--diameter", "6 mm"]) == 0
    page = one_line(capsys.readouterr().out)
    assert "as written: a type of its own" in page
    assert "LCP 12-strand, 6 mm" in page


def test_own_records_are_tried_too(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    (own / "mine.yaml").write_text("house cord:\n  like: LCP 12-strand\n", encoding="utf-8")
    assert main(["lines", "house cord", "--for", str(rig(tmp_path)), "--own", str(own)]) == 0
    assert "house cord, 6 mm" in capsys.readouterr().out


def test_stopped_on_ones_word_it_tells_what_is_known(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def study(scenario: Scenario, *_how: object, **_more: object) -> Result:
        asked.append(scenario.source_name)
        if len(asked) > 1:
            raise KeyboardInterrupt
        return run_scenario(scenario)

    monkeypatch.setattr(compare, "run_scenario", study)
    monkeypatch.setattr("sim.cache.cache_base", lambda: tmp_path)  # what is kept is left there
    export = tmp_path / "choice.csv"
    assert main(["lines", *TYPES, "--for", str(rig(tmp_path)), "--export", str(export)]) == 3
    captured = capsys.readouterr()
    page = one_line(captured.out)
    assert page.count("stopped on your word") == 2
    assert "1 out without a run, 2 not run, 1 within all limits" in page
    assert "is not written" in captured.err
    assert not export.exists()


def test_a_run_that_fails_stops_no_other(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def study(scenario: Scenario, *_how: object, **_more: object) -> Result:
        if scenario.lines["lift line"].type == "7x19 galvanised":
            raise ZeroDivisionError("nothing to divide")
        return run_scenario(scenario)

    monkeypatch.setattr(compare, "run_scenario", study)
    assert main(["lines", *TYPES, "--for", str(rig(tmp_path))]) == 3
    page = one_line(capsys.readouterr().out)
    assert "NOT RUN 7x19 galvanised, 6 mm" in page
    assert "ZeroDivisionError" in page
    assert "as written: HMPE 12-strand, 6 mm" in page


def test_nothing_asked_is_not_judged_and_says_so(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    text = drop_text()
    file = tmp_path / "drop.yaml"
    file.write_text(text[: text.index("limits:")] + "limits: none\n", encoding="utf-8")
    assert main(["lines", "7x19 galvanised", "--for", str(file)]) == 1
    page = one_line(capsys.readouterr().out)
    assert "Run, but not judged" in page
    assert "no design factor is asked of it" in page
    assert "2 not judged." in page
