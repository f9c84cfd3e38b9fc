"""Files of a result folder as they are read: regular files only, and JSON of which every number is finite."""

from __future__ import annotations

import errno
import json
import math
import stat
from pathlib import Path, PurePosixPath
from typing import Any

_LARGEST = 1e300  # beyond it a whole number is no float; no figure comes near


def within(folder: Path, name: str) -> Path:
    """A file of the folder. Raises ValueError for a name or a link that leads out of it."""
    pure = PurePosixPath(name)
    try:
        if pure.is_absolute() or ".." in pure.parts or "\\" in name:
            raise ValueError(f"'{name}' lies outside the folder")
        if not (folder / name).resolve().is_relative_to(folder.resolve()):
            raise ValueError(f"'{name}' is a link that leads out of the folder")
    except (OSError, RuntimeError) as circle:
        raise ValueError(f"'{name}' is a link that leads nowhere") from circle
    return folder / name


def read_plain_bytes(path: Path) -> bytes:
    """All of a file. Raises OSError, also for a pipe or a device, which might never end or never begin."""
    kind = path.stat().st_mode
    if not stat.S_ISREG(kind) and not stat.S_ISDIR(kind):
        raise OSError(errno.EINVAL, "a pipe or a device, and no file", str(path))
    return path.read_bytes()


def read_plain_text(path: Path) -> str:
    """The same as text. Raises OSError, or ValueError where it is no UTF-8."""
    return read_plain_bytes(path).decode("utf-8").replace("\r\n", "\n")


def read_json(path: Path) -> Any:
    """What a JSON file holds. Raises OSError, or ValueError where it is none, too deep, or holds what is no number."""
    try:
        return json.loads(read_plain_text(path), parse_constant=_no_number, parse_float=_finite, parse_int=_whole)
    except RecursionError as deep:
        raise ValueError("it is nested too deeply") from deep


def _no_number(text: str) -> float:
    raise ValueError(f"{text} is no number")


def _finite(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(f"{text:.20} is beyond all numbers")
    return value


def _whole(text: str) -> int:
    value = int(text)
    if abs(value) > _LARGEST:
        raise ValueError(f"{text:.20}… is beyond all numbers")
    return value
