"""Runs that would take hours say so before they start; what is counted is held against what is then made."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.command.agreeing import agreeing, in_words
from sim.command.main import main
from sim.command.status import Refused
from sim.results.journal import Journal
from sim.scenario import read_text
from sim.studies.expected import Expected
from sim.studies.scenario import expected_of, run_scenario
from tests.studies.hoist import SPREAD, hoist_text

SWEPT = hoist_text(1.5, **SPREAD)


def _file(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "rig.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def _changed(text: str, was: str, now: str) -> str:
    assert was in text
    return text.replace(was, now, 1)


SLOW = "speed: 0.1 mm/s"
LONG = {
    "every instant of hours": _changed(SWEPT, "speed: 2 m/s", SLOW),
    "histories that fill the memory": f"{SWEPT}run: {{sample_rate: 1000 kHz, duration: 1000 s}}\n",
}


@pytest.mark.parametrize("what", LONG)
def test_nothing_is_run_before_it_is_agreed(what: str, tmp_path: Path, capsys, monkeypatch) -> None:
    file = _file(tmp_path, LONG[what])
    monkeypatch.setattr("sim.studies.scenario._Made.planned", _met)
    assert main(["run", str(file), "--out", str(tmp_path / "out")]) == 3
    told = capsys.readouterr().err
    assert "This will take about" in told
    assert "--yes" in told
    assert [entry.name for entry in tmp_path.iterdir()] == ["rig.yaml"]
    with pytest.raises(AssertionError, match="went on"):
        _unguarded(["run", str(file), "--out", str(tmp_path / "out"), "--yes"], monkeypatch)


def _met(_made) -> None:
    raise AssertionError("went on")


def _unguarded(arguments: list[str], monkeypatch) -> None:
    monkeypatch.setattr("sim.command.main.guarded", lambda command, _asked: command())
    main(arguments)


def test_a_comparison_counts_all_its_variants(tmp_path: Path, capsys) -> None:
    file = _file(tmp_path, LONG["every instant of hours"])
    over = ["--over", "performers / weight / mass: 60 kg, 70 kg, 80 kg"]
    assert main(["compare", str(file), *over, "--out", str(tmp_path / "out")]) == 3
    assert "This will take about" in capsys.readouterr().err


def test_a_choice_counts_all_the_types_it_runs(tmp_path: Path, capsys) -> None:
    file = _file(tmp_path, LONG["every instant of hours"])
    assert main(["lines", "--for", str(file), "--diameter", "8 mm"]) == 3
    told = capsys.readouterr()
    assert "This will take about" in told.err
    assert "--yes" in told.err
    assert told.out == ""


def test_as_many_runs_are_made_as_were_expected(tmp_path: Path) -> None:
    """To the factor of three that is told: how much closer a sweep looks nobody knows beforehand."""
    scenario = read_text(SWEPT)
    expected = expected_of(scenario)
    journal = Journal(tmp_path / "journal.jsonl")
    result = run_scenario(scenario, journal=journal)
    made = len(result.cases) + len(journal.rows)
    assert 1 / 3 < expected.runs / made < 3


def test_short_ones_are_neither_told_nor_asked(capsys) -> None:
    agreeing(yes=False)(Expected(runs=300, simulated_s=1000.0, takes_s=20.0, memory_bytes=1e8))
    assert capsys.readouterr().err == ""
    agreeing(yes=False)(Expected(runs=300, simulated_s=1000.0, takes_s=1200.0, memory_bytes=1e8))
    assert "about 20 min" in capsys.readouterr().err
    with pytest.raises(Refused, match=r"about (67 h|3 days)"):
        agreeing(yes=False, times=12)(Expected(runs=300, simulated_s=1000.0, takes_s=20_000.0, memory_bytes=1e8))


@pytest.mark.parametrize(
    ("time_s", "words"),
    [(5.0, "about a minute"), (600.0, "about 10 min"), (7200.0, "about 2 h"), (1e6, "about 12 days"), (1e12, "years")],
)
def test_times_in_words(time_s: float, words: str) -> None:
    assert words in in_words(time_s)
