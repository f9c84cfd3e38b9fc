"""`stopload lines --for` that ends early, killed or stopped by hand: the next start goes on, and ends the same."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from sim.cache import cache_base
from sim.command.main import main
from sim.results.choice_journal import ChoiceJournal
from tests.command.met_on_the_way import Held, met_on_the_way
from tests.studies.drop import drop_text

ROOT = Path(__file__).parents[2]
TYPES = ("7x19 galvanised", "polyester double braid")
pytestmark = pytest.mark.skipif(os.name != "posix", reason="needs signals")


def _file(folder: Path) -> Path:
    path = folder / "drop.yaml"
    path.write_text(drop_text().replace("when: 0.9 s", "when: every instant"), encoding="utf-8")
    return path


def _journal(file: Path) -> Path:
    return ChoiceJournal.of(file, cache_base() / "choices").path


def _met_on_the_way(file: Path) -> Held:
    return met_on_the_way(_journal(file), file.with_name("go"), "lines", *TYPES, "--for", str(file))


def _goes_on(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same command takes over what was finished, and ends as one that was never stopped."""
    fresh = file.parent / "fresh"
    fresh.mkdir()
    made = main(["lines", *TYPES, "--for", str(_file(fresh)), "--export", str(fresh / "choice.json")])
    assert "taken over" not in capsys.readouterr().err
    assert main(["lines", *TYPES, "--for", str(file), "--export", str(file.parent / "choice.json")]) == made
    assert "finished runs were taken over" in capsys.readouterr().err
    assert not _journal(file).exists()
    assert (file.parent / "choice.json").read_bytes() == (fresh / "choice.json").read_bytes()


def test_killed_it_loses_nothing_finished(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = _file(tmp_path)
    status, _, _ = _met_on_the_way(file).ended_by(signal.SIGKILL)
    assert status == -signal.SIGKILL
    with _journal(file).open("ab") as torn:
        torn.write(b'[["run", "sha')
    _goes_on(file, capsys)


def test_stopped_by_hand_it_shows_what_is_known_and_says_how_to_go_on(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = _file(tmp_path)
    status, page, told = _met_on_the_way(file).ended_by(signal.SIGINT)
    assert status == 3
    assert "stopped on your word" in page
    assert f"kept in {_journal(file)}; the same command goes on from there." in " ".join(told.split())
    assert "Traceback" not in told
    _goes_on(file, capsys)
