"""A folder, or a file, that appears whole or not at all, and never over another one unasked.

Everything is written into a sibling whose name says that it is unfinished, forced to disk, and renamed into place.
Whatever goes wrong on the way, a full disk and Ctrl-C included, the sibling is removed again, or the exception's note
says that it could not be; what a killed process left behind is removed by the next one that writes the same folder.
"""

from __future__ import annotations

import errno
import os
import re
import secrets
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

UNFINISHED = "unfinished"
REPLACED = "replaced"
_A_DAY_S = 86400.0


class FolderError(Exception):
    """A folder cannot be written or read; the message is a plain sentence for the person at the keyboard."""


@contextmanager
def whole_folder(final: Path, replace: Callable[[Path], None] | None = None) -> Iterator[Path]:
    """Give an empty folder to write into; it becomes `final` when the block ends without an exception.

    replace: None when an existing `final` must stay; otherwise called with it, to raise FolderError if it must stay
    after all. Raises FolderError where it must stay, OSError from the disk; nothing part-written remains either way.
    """
    final = Path(os.path.abspath(final))  # noqa: PTH100  (resolve() would follow a link at the end of the path)
    refuse_if_there(final, replace)
    final.parent.mkdir(parents=True, exist_ok=True)
    clear_leftovers(final)
    part = _sibling(final, UNFINISHED)
    try:
        part.mkdir()
        yield part
        _force_to_disk(part)
        _put_in_place(part, final, replace)
    except BaseException as wrong:
        shutil.rmtree(part, ignore_errors=True)
        if os.path.lexists(part):
            wrong.add_note(f"{part} is unfinished and could not be removed; the next start that may does it.")
        raise
    _force_entry_to_disk(final.parent)


def write_whole(final: Path, content: bytes, replace: bool) -> None:
    """Write a file that appears whole or not at all.

    replace lets a file of that name go. Raises FolderError where it must stay or is no file, OSError from the disk.
    """
    final = Path(os.path.abspath(final))  # noqa: PTH100
    refuse_file_there(final, replace)
    final.parent.mkdir(parents=True, exist_ok=True)
    with suppress(OSError):  # a folder that may be written may still not be looked into
        clear_leftovers(final)
    part = _sibling(final, UNFINISHED)
    try:
        with part.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        _put_file_in_place(part, final, replace)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    _force_entry_to_disk(final.parent)


def refuse_file_there(final: Path, replace: bool) -> None:
    """Raise FolderError unless `final` is free, or is a file that may be replaced."""
    if not os.path.lexists(final):
        return
    if not replace:
        raise FolderError(f"{final} exists already and is left as it is; choose another place, or say --replace")
    if final.is_symlink() or not final.is_file():
        raise FolderError(f"{final} is not a file and is left as it is")


def refuse_if_there(final: Path, replace: Callable[[Path], None] | None) -> None:
    """Raise FolderError unless `final` is free, or is a folder that `replace` lets go."""
    if not os.path.lexists(final):
        return
    if replace is None:
        raise FolderError(f"{final} exists already and is left as it is; choose another place, or say --replace")
    if final.is_symlink() or not final.is_dir():
        raise FolderError(f"{final} is not a folder and is left as it is")
    replace(final)


def refuse_unwritable(final: Path) -> None:
    """Raise OSError now where `final` could not be written after hours of simulation."""
    there = next(path for path in final.absolute().parents if path.exists())
    if not there.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(there))
    if not os.access(there, os.W_OK | os.X_OK):
        why = errno.EROFS if _on_a_read_only_disk(there) else errno.EACCES
        raise OSError(why, os.strerror(why), str(there))


def _on_a_read_only_disk(folder: Path) -> bool:
    """Where a system can say so."""
    return hasattr(os, "statvfs") and bool(os.statvfs(folder).f_flag & os.ST_RDONLY)


def clear_leftovers(final: Path) -> None:
    """Remove what killed processes left beside `final`; bring back a folder that one had moved aside to replace it."""
    shape = re.compile(re.escape(final.name) + rf"\.({UNFINISHED}|{REPLACED})-(\d+)-[0-9a-f]+")
    for entry in sorted(final.parent.iterdir()):
        match = shape.fullmatch(entry.name)
        if match is None or _still_written(int(match[2]), entry):
            continue
        with suppress(OSError):  # another start clears up at this instant, or this one may not
            if match[1] == REPLACED and not os.path.lexists(final):
                entry.rename(final)
            elif entry.is_dir():
                shutil.rmtree(entry, ignore_errors=True)
            else:
                entry.unlink()


def _sibling(final: Path, word: str) -> Path:
    return final.with_name(f"{final.name}.{word}-{os.getpid()}-{secrets.token_hex(4)}")


def _put_in_place(part: Path, final: Path, replace: Callable[[Path], None] | None) -> None:
    """Raises FolderError where `final` came into being while we wrote, in the last instant too, and must stay."""
    refuse_if_there(final, replace)
    if replace is None:
        with _refused_if_taken(final):
            part.rename(final)  # never over a folder that holds something: the system itself refuses that
        return
    aside = _sibling(final, REPLACED)
    try:
        with suppress(FileNotFoundError):  # there is none, or another start is replacing it at this instant
            final.rename(aside)
        with _refused_if_taken(final):
            part.rename(final)
    except BaseException:
        if os.path.lexists(final):  # the other start's: the old one was to go either way
            shutil.rmtree(aside, ignore_errors=True)
        elif aside.exists():
            aside.rename(final)
        raise
    shutil.rmtree(aside, ignore_errors=True)


def _put_file_in_place(part: Path, final: Path, replace: bool) -> None:
    """As `_put_in_place`. A second name for a file, unlike a new name, is never given where there is one."""
    refuse_file_there(final, replace)
    if not replace:
        try:
            with _refused_if_taken(final):
                os.link(part, final)
        except OSError:  # a disk without second names
            pass
        else:
            part.unlink()
            return
    part.replace(final)


@contextmanager
def _refused_if_taken(final: Path) -> Iterator[None]:
    """Say in words what the system means when it does not put a thing where one is."""
    try:
        yield
    except OSError as wrong:
        if wrong.errno in (errno.EEXIST, errno.ENOTEMPTY, errno.ENOTDIR) and os.path.lexists(final):
            raise FolderError(f"{final} was just made by another start, and is left as it is") from wrong
        raise


def _still_written(pid: int, entry: Path) -> bool:
    """Whether the process that made `entry` may still be at it. Where there is no asking, a day must pass."""
    if os.name != "posix":
        with suppress(FileNotFoundError):  # another start has cleared it up
            return time.time() - entry.stat().st_mtime < _A_DAY_S
        return True
    if pid == os.getpid():
        return False
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except (PermissionError, OverflowError):
        return True
    return True


def _force_to_disk(folder: Path) -> None:
    for path in sorted(folder.rglob("*"), reverse=True):
        if path.is_file():
            with path.open("r+b") as file:  # some systems force only what may be written
                os.fsync(file.fileno())
        else:
            _force_entry_to_disk(path)
    _force_entry_to_disk(folder)


def _force_entry_to_disk(folder: Path) -> None:
    if os.name != "posix":
        return  # elsewhere a folder cannot be opened
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
