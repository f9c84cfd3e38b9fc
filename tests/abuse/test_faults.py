"""The program beside full disks, a second start and words to stop: nothing finished is lost, nothing is half-written,
and no traceback is shown.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from sim.results.folder import changed_files, read_result
from sim.results.journal import Journal
from tests.command.met_on_the_way import HEARS_CTRL_C
from tests.studies.hoist import SPREAD, hoist_text

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(os.name != "posix", reason="needs signals and limits of a process")

SMALL_FILES = f"""
{HEARS_CTRL_C}
import resource, sys
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[1]), resource.RLIM_INFINITY))
from sim.command import run
run.draw = lambda *given, **more: None
from sim.command.main import main
sys.exit(main(sys.argv[2:]))
"""
"""The program where no file may grow beyond a size, as on a disk that fills up."""
PLAIN = SMALL_FILES.replace("(int(sys.argv[1]), resource.RLIM_INFINITY)", "(resource.RLIM_INFINITY,) * 2")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "hoist.yaml"
    path.write_text(hoist_text(1.5, **SPREAD))
    return path


def _started(code: str, size: int, file: Path, out: Path, *more: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", code, str(size), "run", str(file), "--out", str(out), "--quiet", *more]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def _ended(running: subprocess.Popen[str], codes: Sequence[int]) -> str:
    out, told = running.communicate(timeout=600)
    assert running.returncode in codes, (running.returncode, told)
    assert "Traceback" not in told + out
    assert "fault of stopload" not in told
    return told


def _nothing_half_written(folder: Path, out: Path) -> None:
    """Beside the scenario lie at most a whole result and a journal."""
    left = {entry.name for entry in folder.iterdir()} - {"hoist.yaml", out.name, Journal.beside(out).path.name}
    assert not left
    if out.exists():
        assert read_result(out).cases
        assert changed_files(out) == ()


@pytest.mark.slow
@pytest.mark.parametrize("size", [0, 100, 100_000])
def test_a_disk_that_fills_up_sooner_or_later(size: int, file: Path, tmp_path: Path) -> None:
    test_a_disk_that_fills_up(size, file, tmp_path)


@pytest.mark.parametrize("size", [20_000])
def test_a_disk_that_fills_up(size: int, file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    told = _ended(_started(SMALL_FILES, size, file, out), (3,))
    assert "File too large" in told or "disk is full" in told
    assert not out.exists()
    _nothing_half_written(tmp_path, out)


def test_two_starts_into_one_folder(file: Path, tmp_path: Path) -> None:
    """One makes the folder; the other is refused it, or finds it taken when it is done. Neither spoils it."""
    out = tmp_path / "out"
    both = [_started(PLAIN, 0, file, out) for _ in range(2)]
    codes = []
    for running in both:
        _ended(running, (0, 1, 2, 3))
        codes.append(running.returncode)
    assert sum(code in (0, 1) for code in codes) == 1
    _nothing_half_written(tmp_path, out)


@pytest.mark.slow
def test_two_starts_that_may_replace(file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    both = [_started(PLAIN, 0, file, out, "--replace") for _ in range(2)]
    for running in both:
        _ended(running, (0, 1, 2, 3))
    assert out.exists()
    _nothing_half_written(tmp_path, out)


@pytest.mark.slow
@pytest.mark.parametrize("word", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL], ids=lambda word: word.name)
def test_words_to_stop_at_random_instants(word: signal.Signals, file: Path, tmp_path: Path) -> None:
    """Eight starts, each stopped at a random instant; what was finished only grows, and the last one ends the work."""
    out, chance = tmp_path / "out", random.Random(int(word))
    begun = time.monotonic()
    _ended(_started(PLAIN, 0, file, tmp_path / "whole"), (0, 1))
    longest = time.monotonic() - begun
    (tmp_path / "first").mkdir()
    (tmp_path / "whole").rename(tmp_path / "first" / "whole")
    kept = 0
    for _ in range(8):
        running = _started(PLAIN, 0, file, out)
        time.sleep(chance.uniform(0.05, 1.1) * longest)
        running.send_signal(word)
        _, told = running.communicate(timeout=600)
        assert "Traceback" not in told or _before_we_are_there(told), told
        journal = Journal.beside(out).path
        rows = journal.read_bytes().count(b"\n") if journal.exists() else 0
        if out.exists():
            break
        assert rows >= kept
        kept = rows
    if not out.exists():
        _ended(_started(PLAIN, 0, file, out), (0, 1))
    assert (out / "sweep.csv").read_bytes() == (tmp_path / "first" / "whole" / "sweep.csv").read_bytes()


def _before_we_are_there(told: str) -> bool:
    """Whether the interpreter was still loading the program: nobody but it can say anything then."""
    return "import" in told or "<frozen" in told
