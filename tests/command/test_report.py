"""`stopload report` as a person calls it: what it writes, what it refuses, and that nothing half-written is left."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.command.main import main
from tests.report.made import made_up_folder


def test_it_writes_both_beside_the_folder_and_never_over_an_earlier_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = made_up_folder(tmp_path)
    assert main(["report", str(folder)]) == 0
    pdf, html = tmp_path / "made up-report.pdf", tmp_path / "made up-report.html"
    assert pdf.read_bytes().startswith(b"%PDF")
    assert "Verdict: " in html.read_text(encoding="utf-8")
    assert "approves nothing" in capsys.readouterr().out
    before = pdf.read_bytes()
    assert main(["report", str(folder)]) == 2
    assert "exists already" in capsys.readouterr().err
    assert main(["report", str(folder), "--replace"]) == 0
    assert pdf.read_bytes()[:1000] == before[:1000]
    assert {path.name for path in tmp_path.iterdir()} == {folder.name, pdf.name, html.name}


def test_one_file_by_its_ending_and_both_into_a_folder(tmp_path: Path) -> None:
    folder = made_up_folder(tmp_path)
    assert main(["report", str(folder), "--out", str(tmp_path / "a.html"), "--units", "us"]) == 0
    assert "lbf" in (tmp_path / "a.html").read_text(encoding="utf-8")
    assert main(["report", str(folder), "--out", str(tmp_path / "b"), "--decimal", "comma", "--paper", "letter"]) == 0
    assert {path.name for path in (tmp_path / "b").iterdir()} == {"made up-report.pdf", "made up-report.html"}


@pytest.mark.parametrize("lacks", ["everything", "result.json", "scenario.yaml"])
def test_what_is_no_result_folder_is_refused_in_a_sentence(
    lacks: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "empty"
    if lacks == "everything":
        folder.mkdir()
    else:
        folder = made_up_folder(tmp_path)
        (folder / lacks).unlink()
    assert main(["report", str(folder)]) == 2
    told = capsys.readouterr().err
    assert "Traceback" not in told
    assert "result" in told
    assert [path.name for path in tmp_path.iterdir()] == [folder.name]


def test_a_result_changed_by_hand_is_said_on_the_first_page(tmp_path: Path) -> None:
    folder = made_up_folder(tmp_path)
    trace = next((folder / "traces").iterdir())
    trace.write_text(trace.read_text(encoding="utf-8").replace("0,", "1,", 1), encoding="utf-8")
    assert main(["report", str(folder), "--out", str(tmp_path / "a.html")]) == 0
    assert "Changed since the result was written" in (tmp_path / "a.html").read_text(encoding="utf-8")
