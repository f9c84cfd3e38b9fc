"""Finished runs of a sweep, kept on disk as they come, so that a sweep that was stopped or killed goes on from there.

The journal lies beside the result folder, never in it, and goes when the folder stands. Its first line says what the
rows were run from; each further line is one finished run, written whole. A last line torn by a killed process is
dropped on reading, and rows of another scenario, version or tolerance are never taken over. Where the disk is full or
may not be written, or another start that makes the same folder is writing there, `trouble` says so and the runs go on
without being kept.
"""

from __future__ import annotations

import errno
import json
import math
import os
import time
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any

try:
    import fcntl
except ImportError:  # a system without such locks: what another start has written is still found by its size
    fcntl = None

FORMAT = "stopload journal 1"
_TO_DISK_EVERY_S = 2.0
_NOT_NUMBERS = {"not a number": math.nan, "infinite": math.inf, "infinite, negative": -math.inf}

RowName = tuple[str, str, float]
"""Which run: the stop, the ends of spreads it took, the stop instant (s)."""


@dataclass(frozen=True)
class Row:
    """What a sweep keeps of one run: figures by column (SI, as in sweep.csv), and why it did not finish, if so."""

    values: Mapping[str, float] = field(default_factory=dict)
    cause: str = ""


class Journal:
    """The finished runs of one scenario's sweeps at `path`. Nothing is touched on disk before the first new row."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.rows: dict[RowName, Row] = {}
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

    @classmethod
    def beside(cls, folder: Path) -> Journal:
        """The journal of the runs that will make this result folder."""
        return cls(folder.with_name(f"{folder.name}.unfinished.jsonl"))

    def begin(self, key: str) -> None:
        """Take over the rows on disk that were run from the same: key names scenario, version and tolerance."""
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
        if not _may_be_ours(content):
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
                    stop, ends, time_s, values, cause = data
                    self.rows[stop, ends, float(time_s)] = Row({k: _number(v) for k, v in values.items()}, cause)
            except (ValueError, TypeError, AttributeError, KeyError):
                return
            self._whole_bytes += len(line)

    def add(self, rows: Mapping[RowName, Row]) -> None:
        """Keep finished runs: in memory always, on disk as long as it takes them."""
        self.rows.update(rows)
        if self.trouble or not rows:
            return
        lines = [
            json.dumps([*name, {k: _plain(v) for k, v in row.values.items()}, row.cause], ensure_ascii=False)
            for name, row in rows.items()
        ]
        text = "".join(f"{line}\n" for line in lines).encode()
        try:
            self._file = file = self._file or self._opened()
            self._write(file, text)
            if time.monotonic() - self._to_disk_s > _TO_DISK_EVERY_S:
                os.fsync(file.fileno())
                self._to_disk_s = time.monotonic()
            self.on_disk += len(rows)
        except OSError as wrong:
            self._give_up(wrong)

    def _opened(self) -> IO[bytes]:
        """The file, ours alone; anew, with its first line, where nothing in it can be used. Raises OSError."""
        self.path.parent.mkdir(parents=True, exist_ok=True)
        how = os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0)
        file = os.fdopen(os.open(self.path, how, 0o666), "r+b", buffering=0)
        try:
            self._others = not self._taken(file)
            if self._others:
                raise OSError(errno.EBUSY, "another start that makes the same folder is writing it")
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
        return {"format": FORMAT, "of": self._key}

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
        """Remove the file: the result stands. One that cannot be removed is only in the way, so it is left."""
        file, self._file = self._file, None
        with suppress(OSError):
            if file is not None:
                file.close()
        if (self.on_disk or self._whole_bytes) and not self._others:
            with suppress(OSError):
                self.path.unlink(missing_ok=True)


def _may_be_ours(content: bytes) -> bool:
    """Whether a file is a journal, of whatever key, or one torn in its first line."""
    start = json.dumps({"format": FORMAT}).encode()[:-1]
    return start.startswith(content[: len(start)])


def _plain(value: float) -> Any:
    if math.isfinite(value):
        return value
    return next(word for word, x in _NOT_NUMBERS.items() if x == value or (math.isnan(x) and math.isnan(value)))


def _number(value: Any) -> float:
    return _NOT_NUMBERS[value] if isinstance(value, str) else float(value)
