"""A folder appears whole or not at all, whatever happens in the middle of writing it."""

from __future__ import annotations

import errno
import itertools
import os
import shutil
import signal
import subprocess
import sys
import textwrap
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path

import pytest

from sim.results import folder as folder_module
from sim.results import whole
from sim.results.folder import read_result, write_result
from sim.results.whole import FolderError, clear_leftovers, whole_folder, write_whole
from tests.results.made_up import INPUTS, made_up_result

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    "error", [KeyboardInterrupt(), OSError(errno.ENOSPC, "No space left on device"), RuntimeError("any"), SystemExit(1)]
)
@pytest.mark.parametrize("where", ["write_trace", "write_sweep", "_hashes", "_result_text"])
def test_nothing_remains_of_a_write_that_breaks(tmp_path: Path, monkeypatch, where: str, error: BaseException) -> None:
    def breaks(*_: object) -> None:
        raise error

    monkeypatch.setattr(folder_module, where, breaks)
    with pytest.raises(type(error)):
        write_result(tmp_path / "out", made_up_result(), INPUTS)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("call", ["fsync", "rename"])
def test_a_disk_that_fails_at_the_last_moment_leaves_the_old_result(tmp_path: Path, monkeypatch, call: str) -> None:
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    before = {p: p.read_bytes() for p in out.rglob("*") if p.is_file()}
    real = Path.rename

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    def rename(path: Path, target: Path) -> Path:
        if "unfinished" in path.name:
            raise OSError(errno.EIO, "Input/output error")
        return real(path, target)

    if call == "fsync":
        monkeypatch.setattr(os, "fsync", full)
    else:
        monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(OSError, match=r"No space|Input"):
        write_result(out, made_up_result(), INPUTS, overwrite=True)
    monkeypatch.undo()
    assert {p: p.read_bytes() for p in out.rglob("*") if p.is_file()} == before
    assert list(tmp_path.iterdir()) == [out]


_KILLED_WHILE_WRITING = """
    import os, signal, sys
    from pathlib import Path
    from sim.results.folder import write_result
    from tests.results.made_up import INPUTS, made_up_result

    def draw(result, folder):
        (folder / "half.svg").write_text("<svg")
        os.kill(os.getpid(), signal.SIGKILL)

    write_result(Path(sys.argv[1]), made_up_result(), INPUTS, draw, overwrite=True)
"""


@pytest.mark.skipif(os.name != "posix", reason="needs a signal that cannot be caught")
@pytest.mark.parametrize("over_an_old_one", [False, True])
def test_a_killed_process_leaves_no_half_folder(tmp_path: Path, over_an_old_one: bool) -> None:
    out = tmp_path / "out"
    if over_an_old_one:
        write_result(out, made_up_result(), INPUTS)
    code = textwrap.dedent(_KILLED_WHILE_WRITING)
    killed = subprocess.run([sys.executable, "-c", code, out], cwd=ROOT, check=False)
    assert killed.returncode == -signal.SIGKILL
    left = [path.name for path in tmp_path.iterdir() if path != out]
    assert len(left) == 1
    assert left[0].startswith("out.unfinished-")
    assert out.exists() == over_an_old_one
    write_result(out, made_up_result(), INPUTS, overwrite=True)
    assert list(tmp_path.iterdir()) == [out]
    assert read_result(out).title == made_up_result().title


_NO_ROOM = """
    import resource, sys
    from pathlib import Path
    from sim.results.folder import write_result
    from tests.results.made_up import INPUTS, made_up_result

    resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))
    write_result(Path(sys.argv[1]), made_up_result(), INPUTS)
"""


@pytest.mark.skipif(os.name != "posix", reason="needs a limit on file size")
def test_a_disk_that_takes_no_more_leaves_nothing(tmp_path: Path) -> None:
    code = textwrap.dedent(_NO_ROOM)
    broken = subprocess.run(
        [sys.executable, "-c", code, tmp_path / "out"], cwd=ROOT, check=False, capture_output=True, text=True
    )
    assert "File too large" in broken.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_folder_moved_aside_by_a_killed_process_comes_back(tmp_path: Path) -> None:
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    finished = subprocess.Popen([sys.executable, "-c", ""])
    finished.wait()
    out.rename(tmp_path / f"out.replaced-{finished.pid}-0a1b")
    clear_leftovers(out)
    assert list(tmp_path.iterdir()) == [out]
    assert read_result(out).title == made_up_result().title


def test_a_folder_that_another_start_has_just_brought_back_is_let_be(tmp_path: Path, monkeypatch) -> None:
    out, finished = tmp_path / "out", subprocess.Popen([sys.executable, "-c", ""])
    finished.wait()
    (tmp_path / f"out.replaced-{finished.pid}-0a1b").mkdir()
    real = Path.rename

    def after_the_other(path: Path, target: Path) -> Path:
        real(path, target)
        return real(path, target)

    monkeypatch.setattr(Path, "rename", after_the_other)
    clear_leftovers(out)
    assert list(tmp_path.iterdir()) == [out]


def test_a_file_that_a_killed_process_left_unfinished_goes(tmp_path: Path) -> None:
    finished = subprocess.Popen([sys.executable, "-c", ""])
    finished.wait()
    (tmp_path / f"page.html.unfinished-{finished.pid}-0a1b").write_text("<html")
    (tmp_path / f"page.html.unfinished-{os.getppid()}-0a1b").write_text("<html")  # is still written
    write_whole(tmp_path / "page.html", b"<html></html>", replace=False)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["page.html", f"page.html.unfinished-{os.getppid()}-0a1b"]


@pytest.mark.parametrize("at", ["made", "moved aside", "put in place"])
def test_a_word_to_stop_between_two_steps_leaves_a_whole_result(tmp_path: Path, monkeypatch, at: str) -> None:
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    mkdir, rename = Path.mkdir, Path.rename

    def stopped_when_made(path: Path, *given, **more) -> None:
        mkdir(path, *given, **more)
        if at == "made" and "unfinished" in path.name:
            raise KeyboardInterrupt

    def stopped_when_moved(path: Path, target: Path) -> Path:
        new = rename(path, target)
        if (at, path == out) in {("moved aside", True), ("put in place", False)} and "replaced" not in path.name:
            raise KeyboardInterrupt
        return new

    monkeypatch.setattr(Path, "mkdir", stopped_when_made)
    monkeypatch.setattr(Path, "rename", stopped_when_moved)
    with pytest.raises(KeyboardInterrupt):
        write_result(out, made_up_result(), INPUTS, overwrite=True)
    monkeypatch.undo()
    assert list(tmp_path.iterdir()) == [out]
    assert read_result(out).title == made_up_result().title


def test_what_another_running_process_writes_is_left_alone(tmp_path: Path) -> None:
    running = tmp_path / f"out.unfinished-{os.getppid()}-0a1b"
    running.mkdir()
    like_it = tmp_path / "out.unfinished-notes"
    like_it.mkdir()
    with whole_folder(tmp_path / "out") as part:
        (part / "a").write_text("a")
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(["out", running.name, like_it.name])


def _made_in_the_last_instant(monkeypatch: pytest.MonkeyPatch, check: str, make: Callable[[Path], object]) -> None:
    """Another start makes the place right after the last look at whether it is free."""
    looks = itertools.count(1)
    real = getattr(whole, check)

    def looked(final: Path, replace: object) -> None:
        real(final, replace)
        if next(looks) == 2:
            make(final)

    monkeypatch.setattr(whole, check, looked)


def _other_folder(final: Path) -> None:
    final.mkdir()
    (final / "a").write_text("theirs")


def test_a_folder_made_by_another_start_in_the_last_instant_stays(tmp_path: Path, monkeypatch) -> None:
    _made_in_the_last_instant(monkeypatch, "refuse_if_there", _other_folder)
    with pytest.raises(FolderError, match="another start"), whole_folder(tmp_path / "out") as part:
        (part / "a").write_text("ours")
    assert [p.name for p in tmp_path.iterdir()] == ["out"]
    assert (tmp_path / "out" / "a").read_text() == "theirs"


@pytest.mark.parametrize("links", [True, False])
def test_a_file_made_by_another_start_in_the_last_instant_stays(tmp_path: Path, monkeypatch, links: bool) -> None:
    """On a disk without second names for a file it does not: there the last look is all there is."""
    if not links:
        monkeypatch.setattr(os, "link", _no_links)
        write_whole(tmp_path / "free", b"ours", replace=False)
        assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [("free", b"ours")]
        return
    _made_in_the_last_instant(monkeypatch, "refuse_file_there", lambda final: final.write_bytes(b"theirs"))
    with pytest.raises(FolderError, match="another start"):
        write_whole(tmp_path / "out", b"ours", replace=False)
    assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [("out", b"theirs")]


def _no_links(*_: object) -> None:
    raise OSError(errno.EPERM, "Operation not permitted")


def _all_let_go(_folder: Path) -> None: ...


@pytest.mark.parametrize("gone", [True, False])
def test_two_starts_that_replace_at_the_same_instant(tmp_path: Path, monkeypatch, gone: bool) -> None:
    """One of the two stands, whole, whether the other has only taken the old one away or has put its own there."""
    out = tmp_path / "out"
    out.mkdir()
    (out / "a").write_text("old")
    real = Path.rename

    def other_between(path: Path, target: Path) -> Path:
        moved = None if path == out and gone else real(path, target)
        if path == out:
            monkeypatch.setattr(Path, "rename", real)
            if gone:
                shutil.rmtree(out)
                raise FileNotFoundError(errno.ENOENT, "No such file or directory", str(out))
            _other_folder(out)
        return moved or target

    monkeypatch.setattr(Path, "rename", other_between)
    with nullcontext() if gone else pytest.raises(FolderError, match="another start"):  # noqa: SIM117
        with whole_folder(out, _all_let_go) as part:
            (part / "a").write_text("ours")
    assert (out / "a").read_text() == ("ours" if gone else "theirs")
    assert [p.name for p in tmp_path.iterdir()] == ["out"]
