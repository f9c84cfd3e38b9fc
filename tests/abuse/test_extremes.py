"""Extreme but legal rigs: they run and pass their audit, or stop with a reason; "not a number" is nowhere."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from sim.command.main import main
from sim.results.folder import read_result
from sim.results.model import Outcome
from tests.abuse.extremes import ASKS, FINISHES, NO_RIG, OUTCOMES, RIGS, RUNS_OUT

QUICK = ("10 t on a thread", "1 g on wire", "bearings of friction 1000", "hang of 1 mm, taking in 2 mm")
WHOLE = (FINISHES, RUNS_OUT)


@pytest.fixture(autouse=True)
def _no_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sim.command.run.draw", lambda *_given, **_more: None)


def _held(name: str, folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Run one and hold it to what the table says of it."""
    file, out = folder / "rig.yaml", folder / "out"
    if OUTCOMES[name] == ASKS:  # on a machine that is ten times as fast, too
        monkeypatch.setattr("sim.command.agreeing.ASKED_ABOVE_S", 600.0)
    file.write_text(RIGS[name].text(), encoding="utf-8")
    status = main(["run", str(file), "--out", str(out), "--quiet"])
    told = capsys.readouterr().err
    assert "fault of stopload" not in told
    if OUTCOMES[name] == NO_RIG:
        assert status == 2
        assert "cannot hang at rest" in told or "does not come to rest" in told
    elif OUTCOMES[name] == ASKS:
        assert status == 3
        assert "This will take about" in told
    else:
        _whole(out, OUTCOMES[name])
    assert out.exists() == (OUTCOMES[name] in WHOLE)


def _whole(out: Path, outcome: str) -> None:
    """Every case ended as it should, every audit passed, no text for what is no number in any file."""
    result = read_result(out)
    for case in result.cases.values():
        assert case.outcome == (Outcome.FINISHED if outcome == FINISHES else Outcome.STOPPED), case.reason
        assert case.audit is not None
        assert case.audit.passed, case
    assert "not_numbers" not in json.loads((out / "result.json").read_text(encoding="utf-8"))
    for table in out.rglob("*.csv"):
        with table.open(encoding="utf-8", newline="") as file:
            cells = {cell.strip().lower() for row in csv.reader(file) for cell in row}
        assert not {"nan", "inf", "-inf", "infinity"} & cells, table.name


@pytest.mark.parametrize("name", QUICK)
def test_extreme_rigs_run_or_say_why(name: str, tmp_path: Path, capsys, monkeypatch) -> None:
    _held(name, tmp_path, capsys, monkeypatch)


@pytest.mark.slow
@pytest.mark.parametrize("name", [name for name in RIGS if name not in QUICK])
def test_every_extreme_rig_runs_or_says_why(name: str, tmp_path: Path, capsys, monkeypatch) -> None:
    _held(name, tmp_path, capsys, monkeypatch)
