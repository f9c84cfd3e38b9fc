"""What is finished of a long work, kept on disk as it comes, so that one that was stopped or killed goes on from there.

The file's first line says what the rest was made from; each further line is one finished row, written whole. A last
line torn by a killed process is dropped on reading, and rows of another key (another scenario, version or tolerance)
are never taken over. Where the disk is full or may not be written, or another start of the same work is writing there,
`trouble` says so and the work goes on without being kept. Rows may be added from several threads.
"""

from __future__ import annotations

import errno
import json
import os
import time
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import IO, Any, ClassVar, Generic, TypeVar

try:
    import fcntl
except ImportError:  # a system without such locks: what another start has written is still found by its size
    fcntl = None

_TO_DISK_EVERY_S = 2.0
Name = TypeVar("Name")
Kept = TypeVar("Kept")


class Unfinished(Generic[Name, Kept]):
    """Finished rows at `path`, each under its name. Nothing is touched on disk before the first new row."""

    FORMAT: ClassVar[str]
    """The format's name and version."""

    def to_line(self, name: Name, kept: Kept) -> list[Any]:
        """A row as JSON values."""
        raise NotImplementedError

    def from_line(self, line: list[Any]) -> tuple[Name, Kept]:
        """The row that was written so. Raises ValueError, TypeError, AttributeError or KeyError for anything else."""
        raise NotImplementedError

    def __init__(self, path: Path) -> None:
        self.path = path
        self.rows: dict[Name, Kept] = {}
        """All rows known: those read and those added."""
        self.taken_over = 0
        """How many of them were there before."""
        self.trouble = ""
        """Why rows are no longer kept, as a sentence; empty where they are."""
        self.on_disk = 0
        """How many finished runs can be read from the file again."""
        self._key = ""
        self._whole_bytes = 0
        self._found_bytes = 0
        self._others = False
        self._file: IO[bytes] | None = None
        self._to_disk_s = 0.0
        self._one_at_a_time = Lock()

    def begin(self, key: str) -> None:
        """Take over the rows on disk that were made from the same: key names scenario, version and tolerance."""
        self.close()
        self._key, self.rows, self.trouble = key, {}, ""
        self._whole_bytes = self.on_disk = 0
        self._others = False
        try:
            content = self.path.read_bytes()
        except FileNotFoundError:
            content = b""
        except OSError as wrong:
            self._give_up(wrong)
            return
        self._found_bytes = len(content)
        if not self._may_be_ours(content):
            self.trouble = f"Finished runs are not kept: {self.path} is there, is no journal, and is left as it is."
            return
        self._read(content)
        self.taken_over = self.on_disk = len(self.rows)

    def _read(self, content: bytes) -> None:
        for number, line in enumerate(content.splitlines(keepends=True)):
            if not line.endswith(b"\n"):
                return
            try:
                data = json.loads(line)
                if number == 0:
                    if data != self._head():
                        return
                else:
                    name, kept = self.from_line(data)
                    self.rows[name] = kept
            except (ValueError, TypeError, AttributeError, KeyError):
                return
            self._whole_bytes += len(line)

    def add(self, rows: Mapping[Name, Kept]) -> None:
        """Keep finished rows: in memory always, on disk as long as it takes them."""
        with self._one_at_a_time:
            self.rows.update(rows)
            if self.trouble or not rows:
                return
            lines = [json.dumps(self.to_line(*row), ensure_ascii=False, allow_nan=False) for row in rows.items()]
            try:
                self._append("".join(f"{line}\n" for line in lines).encode())
                self.on_disk += len(rows)
            except OSError as wrong:
                self._give_up(wrong)

    def _append(self, text: bytes) -> None:
        """Raises OSError."""
        self._file = file = self._file or self._opened()
        self._write(file, text)
        if time.monotonic() - self._to_disk_s > _TO_DISK_EVERY_S:
            os.fsync(file.fileno())
            self._to_disk_s = time.monotonic()

    def _opened(self) -> IO[bytes]:
        """The file, ours alone; anew, with its first line, where nothing in it can be used. Raises OSError."""
        self.path.parent.mkdir(parents=True, exist_ok=True)
        how = os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0)
        file = os.fdopen(os.open(self.path, how, 0o666), "r+b", buffering=0)
        try:
            self._others = not self._taken(file)
            if self._others:
                raise OSError(errno.EBUSY, "another start of the same work is writing it")
            if not self._whole_bytes:
                self._write(file, (json.dumps(self._head()) + "\n").encode())
        except OSError:
            file.close()
            raise
        return file

    def _taken(self, file: IO[bytes]) -> bool:
        """Whether the file can be ours: nobody else holds it, and it is what was read."""
        if fcntl is not None:
            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except OSError as wrong:
                return wrong.errno not in (errno.EAGAIN, errno.EACCES)  # a disk without locks hinders nothing
        if not os.fstat(file.fileno()).st_nlink and os.name == "posix":
            return False  # another start was done and has just removed it: nobody would find what is written there
        return file.seek(0, os.SEEK_END) == self._found_bytes

    def _write(self, file: IO[bytes], text: bytes) -> None:
        """Put whole lines after the last whole line, over whatever was torn there. Raises OSError."""
        if file.seek(0, os.SEEK_END) > self._whole_bytes:
            file.truncate(self._whole_bytes)
        file.seek(self._whole_bytes)
        if file.write(text) != len(text):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        self._whole_bytes += len(text)
        self._found_bytes = self._whole_bytes

    def _head(self) -> dict[str, str]:
        return {"format": self.FORMAT, "of": self._key}

    def _give_up(self, wrong: OSError) -> None:
        why = wrong.strerror or type(wrong).__name__
        self.trouble = f"Finished runs are no longer kept: {self.path} cannot be written ({why}). The runs go on."
        file, self._file = self._file, None
        if file is not None:
            with suppress(OSError):
                file.close()

    def close(self) -> None:
        """Force what was added to disk and let the file go."""
        file, self._file = self._file, None
        if file is None:
            return
        try:
            with file:
                os.fsync(file.fileno())
        except OSError as wrong:
            self._give_up(wrong)

    def discard(self) -> None:
        """Remove the file: the work is done. One that cannot be removed is only in the way, so it is left."""
        file, self._file = self._file, None
        ours = (self.on_disk or self._whole_bytes) and not self._others
        if ours and os.name == "posix":  # while we still hold it, so that no other start takes it up in between
            self._remove()
        with suppress(OSError):
            if file is not None:
                file.close()
        if ours and os.name != "posix":  # where an open file cannot be removed
            self._remove()

    def _remove(self) -> None:
        with suppress(OSError):
            self.path.unlink(missing_ok=True)

    def _may_be_ours(self, content: bytes) -> bool:
        """Whether a file is one of these, of whatever key, or one torn in its first line."""
        start = json.dumps({"format": self.FORMAT}).encode()[:-1]
        return start.startswith(content[: len(start)])
