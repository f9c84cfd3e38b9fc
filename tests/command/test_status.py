"""Whatever goes wrong ends in a plain sentence and the right exit status."""

from __future__ import annotations

import errno
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from sim.command.main import main
from sim.command.status import TRACEBACK, Refused, Status, guarded
from sim.results.whole import FolderError

ROOT = Path(__file__).parents[2]


def _raising(error: BaseException):
    def command() -> int:
        raise error

    return command


@pytest.mark.parametrize(
    ("error", "status", "words"),
    [
        (Refused("three legs, two lengths"), 2, "three legs, two lengths"),
        (Refused("not there yet", status=Status.UNFINISHED), 3, "not there yet"),
        (FolderError("results/a exists already"), 2, "results/a exists already."),
        (KeyboardInterrupt(), 3, "Stopped"),
        (OSError(errno.ENOSPC, "No space left on device", "results/a"), 3, "The disk is full (results/a)"),
        (PermissionError(errno.EACCES, "Permission denied", "results"), 3, "no right to it (results)"),
        (MemoryError(), 3, "too little memory"),
        (RuntimeError("inner"), 3, "fault of stopload"),
        (RecursionError("deep"), 3, "fault of stopload"),
    ],
)
def test_every_error_is_a_sentence(capsys, error: BaseException, status: int, words: str) -> None:
    assert guarded(_raising(error), "stopload run a.yaml") == status
    shown = capsys.readouterr()
    assert words in shown.err
    assert "Traceback" not in shown.err
    assert shown.out == ""


def test_a_fault_of_the_program_says_what_to_report(capsys, monkeypatch) -> None:
    guarded(_raising(RuntimeError("inner")), "stopload run a.yaml")
    told = capsys.readouterr().err
    for part in ("stopload run a.yaml", "RuntimeError: inner", "test_status.py", "Python 3", TRACEBACK):
        assert part in told
    monkeypatch.setenv(TRACEBACK, "1")
    guarded(_raising(RuntimeError("inner")), "stopload run a.yaml")
    assert "Traceback" in capsys.readouterr().err


def test_a_command_line_that_is_wrong_ends_with_2(capsys) -> None:
    for arguments in (["run"], ["fly"], ["run", "a.yaml", "--units", "cubits"], ["check", "a.yaml", "--out"]):
        assert main(arguments) == 2
        assert "Traceback" not in capsys.readouterr().err


@pytest.mark.parametrize("command", ["run", "check"])
def test_a_file_that_cannot_be_read_ends_with_2(capsys, tmp_path: Path, command: str) -> None:
    (tmp_path / "binary.yaml").write_bytes(b"title: \xff\xfe\x00")
    for path in (tmp_path / "missing.yaml", tmp_path, tmp_path / "binary.yaml"):
        assert main([command, str(path)]) == 2
        shown = capsys.readouterr()
        assert str(path) in shown.err
        assert "Traceback" not in shown.err


def test_help_teaches(capsys) -> None:
    assert main(["--help"]) == 0
    overview = " ".join(capsys.readouterr().out.split())
    for word in ("run", "check", "new", "demos", "Exit status", "3 comes before 1", "To begin", "approves nothing"):
        assert word in overview
    for command in ("run", "check", "new", "demos"):
        assert main([command, "--help"]) == 0
        assert re.search(r"Examples?:", capsys.readouterr().out)


def test_help_loads_neither_compiler_nor_figures() -> None:
    """Starting is quick because the slow libraries load only when a run needs them."""
    code = (
        "import sys; from sim.command.main import main; main(['--help']);"
        "print([m for m in ('numba', 'matplotlib', 'scipy', 'pint', 'numpy') if m in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"


@pytest.mark.skipif(os.name != "posix", reason="needs a shell")
def test_a_reader_that_leaves_early_is_no_fault() -> None:
    command = f"{sys.executable} -m sim.command --help | true; exit ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", command], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.stderr == ""
