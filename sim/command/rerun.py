"""`stopload rerun`: a stored scenario run again with this version, and what comes out otherwise.

What is run is the folder's own `input.yaml` with the files and line types kept beside it; nothing else is looked at,
so whatever differs comes from the program, the machine, or from somebody who altered the folder.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from sim.command.agreeing import agreeing
from sim.command.diff import Shown, asked_same, draw_differences, status_of
from sim.command.difference_page import print_differences
from sim.command.keeping import runs_kept
from sim.command.reading import ReadScenario, cannot_be_built, read_scenario
from sim.command.screen import Tell, console, progress
from sim.command.status import Refused
from sim.results.difference_folder import AGAIN, difference_folder, finish_difference, refuse_difference_early
from sim.results.folder import INPUT, OWN_TYPES, write_result
from sim.results.journal import Journal
from sim.results.kept import Kept, read_kept
from sim.results.plain_files import within
from sim.results.whole import refuse_unwritable

if TYPE_CHECKING:
    from sim.results.model import Result

STORED, NOW = "stored", "run again"


def rerun_folder(folder: Path, out: Path | None, overwrite: bool, how: Shown) -> int:
    """Run the scenario of a result folder again, print what differs, give 0 for the same and 1 for different.

    The folder itself is only read. With `out`, finished runs of sweeps are kept beside it until it stands. Raises
    Refused where it cannot be run (INPUT) or was not finished (UNFINISHED).
    """
    from sim.studies.differ import compared as compare_both

    same = asked_same(how.same)
    stored = read_kept(folder)
    if out is not None:
        refuse_difference_early(out, overwrite)
        refuse_unwritable(out)
    journal = Journal.beside(out) if out is not None else None
    with runs_kept(journal), progress() as tell, _place(out, overwrite) as part:
        again = _run_again(folder, stored, part / AGAIN, journal, tell, how.yes)
        compared = compare_both(stored, again, (STORED, NOW), same)
        if out is not None:
            draw_differences(compared, (stored, again), part, how)
            finish_difference(part, compared)
    print_differences(console(), compared, how.units, out, how.quiet)
    return status_of(compared)


@contextmanager
def _place(out: Path | None, overwrite: bool) -> Iterator[Path]:
    """Where the new result is written: the folder asked for, or one that goes again."""
    if out is not None:
        with difference_folder(out, overwrite) as part:
            yield part
        return
    with tempfile.TemporaryDirectory(prefix="stopload-") as name:
        yield Path(name)


def _run_again(folder: Path, stored: Kept, to: Path, journal: Journal | None, tell: Tell | None, yes: bool) -> Kept:
    """The new result, written and read back, so that both have been through the same files."""
    from sim.strength.catalogue import own_records_from

    own = folder / OWN_TYPES
    with own_records_from(own if own.is_dir() else None), _laid_out(folder, stored) as file:
        read = _read(file, folder)
        result = _simulated(read, folder, journal, tell, yes)
        write_result(to, result, read.inputs)
    return read_kept(to)


def _simulated(read: ReadScenario, folder: Path, journal: Journal | None, tell: Tell | None, yes: bool) -> Result:
    from sim.rig.rig import RigError
    from sim.studies.scenario import run_scenario

    try:
        return run_scenario(read.scenario, progress=tell, journal=journal, agree=agreeing(yes))
    except RigError as error:
        raise cannot_be_built(folder / INPUT, error.sentences) from error


def _read(file: Path, folder: Path) -> ReadScenario:
    """The stored scenario; where it was laid out elsewhere, messages name the folder it belongs to."""
    try:
        return read_scenario(file)
    except Refused as refused:
        told = str(refused).replace(str(file), str(folder / INPUT))
        raise Refused(*told.splitlines(), status=refused.status) from refused


@contextmanager
def _laid_out(folder: Path, stored: Kept) -> Iterator[Path]:
    """The scenario file, the files it names under the names it has for them. Raises Refused where one is missing."""
    if not _kept_file(folder, INPUT).is_file():
        raise Refused(f"{folder} has no {INPUT}: there is nothing to run again.")
    kept_as = stored.stamp.get("kept_as")
    if not isinstance(kept_as, dict) or not kept_as:
        yield folder / INPUT
        return
    with tempfile.TemporaryDirectory(prefix="stopload-") as name:
        place = Path(name)
        shutil.copyfile(folder / INPUT, place / INPUT)
        files = stored.stamp.get("files")
        others = {INPUT, *map(str, kept_as.values())}
        beside = {each: each for each in files if each not in others} if isinstance(files, dict) else {}
        for named, kept in {**beside, **kept_as}.items():
            _copy_within(folder, str(kept), place, str(named))
        yield place / INPUT


def _kept_file(folder: Path, name: str) -> Path:
    """A file of the folder. Raises Refused where its name, or a link, leads out of it."""
    try:
        return within(folder, name)
    except ValueError as out:
        raise Refused(f"{folder}: {out}, where nothing is read; nothing was run.") from out


def _copy_within(folder: Path, kept: str, place: Path, named: str) -> None:
    """Copy one kept file to where the scenario looks for it; names that lead out of either folder are refused."""
    pure = PurePosixPath(named)
    if pure.is_absolute() or ".." in pure.parts or "\\" in named:
        raise Refused(f"{folder}: '{named}' leads out of the folder; nothing was run.")
    if not _kept_file(folder, kept).is_file():
        raise Refused(f"{folder} is not whole: {kept}, which its scenario names as {named}, is missing.")
    (place / named).parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(folder / kept, place / named)
