"""Folders, caches and installations that may not be written, and disks that are read-only or full.

Held are a plain sentence, the status, and that nothing half-written lies anywhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from sim.cache import cache_base
from sim.results.folder import changed_files, read_result
from sim.results.journal import Journal
from tests.abuse.rights import ROOT, may_mount, modes_hold, ran, read_only, small_disk
from tests.report.made import made_up_folder
from tests.studies.hoist import SPREAD, hoist_text

__all__ = ["may_mount", "modes_hold"]
pytestmark = pytest.mark.usefixtures("modes_hold")

NO_FIGURES = "from sim.command import run\nrun.draw = lambda *given, **more: None"
NO_RIGHT = "you have no right to it"
NOTHING = "Nothing half-written is left."


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Path]:
    """A folder with a scenario and a result beside it, and one in it that may not be written."""
    (tmp_path / "rig.yaml").write_text(hoist_text(1.5, **SPREAD), encoding="utf-8")
    made_up_folder(tmp_path)
    closed = tmp_path / "closed"
    closed.mkdir()
    (closed / "rig.yaml").write_text(hoist_text(1.5), encoding="utf-8")
    closed.chmod(0o555)
    yield tmp_path
    closed.chmod(0o755)


def left(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*"))


WRITING = {
    "run": ["run", "rig.yaml", "--quiet", "--out", "closed/out"],
    "run, deep": ["run", "rig.yaml", "--quiet", "--out", "closed/deep/out"],
    "compare": ["compare", "rig.yaml", "--over", "drives / winch / moving_mass: 40 kg, 60 kg", "--out", "closed/out"],
    "check": ["check", "closed/rig.yaml"],
    "new": ["new", "closed/new.yaml"],
    "demos": ["demos", "--copy", "closed"],
    "lines": ["lines", "--export", "closed/lines.csv"],
    "report": ["report", "made up", "--out", "closed/report.html"],
    "plot": ["plot", "made up", "--kind", "rig", "--out", "closed/figures"],
    "diff": ["diff", "made up", "made up", "--out", "closed/difference"],
}


@pytest.mark.parametrize("what", WRITING)
def test_a_folder_that_may_not_be_written(what: str, place: Path) -> None:
    status, told = ran(WRITING[what], place, NO_FIGURES)
    assert NO_RIGHT in told, told
    assert status == 3
    assert left(place / "closed") == ["rig.yaml"]
    assert sorted(path.name for path in place.iterdir()) == ["closed", "made up", "rig.yaml"]


def test_a_scenario_that_may_not_be_read(place: Path) -> None:
    (place / "rig.yaml").chmod(0o000)
    status, told = ran(["run", "rig.yaml"], place)
    assert "rig.yaml' is not readable" in told
    assert status == 2


def test_a_folder_closed_while_it_is_written(place: Path) -> None:
    """What lies in it can neither be put in its place nor be taken away again: then that is said."""
    out = place / "open" / "out"
    out.parent.mkdir()
    closing = (
        f"from sim.command import run\nimport os\nrun.draw = lambda *_g, **_m: os.chmod({str(out.parent)!r}, 0o555)"
    )
    try:
        status, told = ran(["run", "rig.yaml", "--quiet", "--out", str(out)], place, closing)
    finally:
        out.parent.chmod(0o755)
    assert status == 3
    assert NO_RIGHT in told
    assert "unfinished" in told
    assert NOTHING not in told
    assert not out.exists()
    status, told = ran(["run", "rig.yaml", "--quiet", "--out", str(out)], place, NO_FIGURES)
    assert status in (0, 1), told
    assert left(out.parent)[0] == "out"
    assert not [name for name in left(out.parent) if "unfinished" in name]


def test_a_journal_that_may_not_be_written(place: Path) -> None:
    """The runs go on without being kept, and that is said; the result is the same."""
    out = place / "out"
    journal = Journal.beside(out).path
    journal.touch(mode=0o444)
    status, told = ran(["run", "rig.yaml", "--quiet", "--out", "out"], place, NO_FIGURES)
    assert status in (0, 1)
    assert "Finished runs are no longer kept" in told
    assert read_result(out).cases
    assert changed_files(out) == ()
    assert journal.exists()
    assert journal.read_bytes() == b""


def test_a_cache_that_may_not_be_written(place: Path) -> None:
    """What is compiled already is used; the list of units, which is not there, is made each time."""
    cache = place / "cache"
    base = cache / "stopload"
    base.mkdir(parents=True)
    for entry in cache_base().iterdir():
        if not entry.name.startswith("units"):
            (base / entry.name).symlink_to(entry)
    base.chmod(0o555)
    cache.chmod(0o555)
    try:
        status, told = ran(
            ["run", "rig.yaml", "--quiet", "--out", "out"], place, NO_FIGURES, {"STOPLOAD_CACHE": str(cache)}
        )
    finally:
        base.chmod(0o755)
    assert status in (0, 1), told
    assert read_result(place / "out").cases


@pytest.mark.slow
@pytest.mark.parametrize("there", ["closed", "no folder at all", "a file"])
def test_no_cache_at_all(there: str, place: Path) -> None:
    """Nothing can be kept: the solver is compiled for this one run, and the result is the same."""
    cache = {"closed": place / "closed", "no folder at all": Path("/proc/nowhere"), "a file": place / "rig.yaml"}[there]
    status, told = ran(
        ["run", "closed/rig.yaml", "--quiet", "--out", "out"], place, NO_FIGURES, {"STOPLOAD_CACHE": str(cache)}
    )
    assert status in (0, 1), told
    assert read_result(place / "out").cases


def test_an_installation_on_a_read_only_disk(place: Path, may_mount: None) -> None:
    status, told = ran(["run", "rig.yaml", "--quiet", "--out", "out"], place, NO_FIGURES, before=read_only(ROOT))
    assert status in (0, 1), told
    assert read_result(place / "out").cases


def test_a_read_only_disk_is_told_before_any_run(place: Path, may_mount: None) -> None:
    status, told = ran(["run", "rig.yaml", "--out", "out"], place, "", before=read_only(place))
    assert status == 3
    assert "the disk is read-only" in told
    assert not (place / "out").exists()
    assert not Journal.beside(place / "out").path.exists()


@pytest.mark.parametrize("size", ["16k", "128k"])
def test_a_disk_that_is_full(size: str, place: Path, may_mount: None) -> None:
    """A real one; what the program leaves there is listed before the disk is gone with its process."""
    disk = place / "disk"
    disk.mkdir()
    listing = "import atexit, os\natexit.register(lambda: print('left:', sorted(os.listdir('disk'))))\n"
    status, told = ran(
        ["run", "rig.yaml", "--quiet", "--out", "disk/out"], place, listing + NO_FIGURES, before=small_disk(disk, size)
    )
    assert status == 3
    assert "The disk is full" in told
    assert "left: []" in told or "left: ['out.unfinished.jsonl']" in told
