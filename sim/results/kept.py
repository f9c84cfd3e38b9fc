"""A result folder as it lies there, whole or not: what can be compared of it, what is missing, what was changed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from sim.results.comparison_folder import COMPARISON, read_comparison
from sim.results.folder import FORMAT, RESULT, SCENARIO, SEAL, changed_files, result_of
from sim.results.model import STOP, Result, SweepTable, Trace
from sim.results.plain_files import read_json, read_plain_bytes, within
from sim.results.tables import read_sweep, read_trace
from sim.results.whole import FolderError

_WORDS = {"not a number": math.nan, "infinite": math.inf, "infinite, negative": -math.inf}
_LARGEST_SCENARIO = 4_000_000


@dataclass(frozen=True)
class Kept:
    """What a result folder holds. plain: result.json as plain values, its infinities in their places.

    scenario: the filled-in scenario's text, '' where it is missing. altered: files that are no longer what was
    written, or missing; result.json only where it is sealed. unread: why a table that belongs to the result could not
    be read, by its file.
    """

    folder: Path
    plain: Mapping[str, Any]
    traces: Mapping[str, Trace] = field(default_factory=dict)
    sweeps: Mapping[str, SweepTable] = field(default_factory=dict)
    scenario: str = ""
    altered: tuple[str, ...] = ()
    unread: Mapping[str, str] = field(default_factory=dict)

    @property
    def sealed(self) -> bool:
        """Whether result.json says what it was when it was written."""
        return SEAL in self.plain

    @property
    def stamp(self) -> Mapping[str, Any]:
        """What it was made from and with."""
        return _table(self.plain.get("stamp"))


def read_kept(folder: Path) -> Kept:
    """What lies in a result folder. Raises FolderError where it is none, or none that this version can read."""
    plain = _plain(folder)
    unread: dict[str, str] = {}
    traces, sweeps = {}, {}
    for case, name in _files(plain, "traces"):
        try:
            traces[case] = read_trace(within(folder, name))
        except (OSError, ValueError) as wrong:
            unread[name] = _why(wrong)
    for stop, name in _files(plain, "sweeps"):
        try:
            happens = str(_table(plain.get("sweep_instants")).get(stop, STOP))
            sweeps[stop] = replace(read_sweep(within(folder, name), stop), happens=happens)
        except (OSError, ValueError) as wrong:
            unread[name] = _why(wrong)
    altered = tuple(name for name in changed_files(folder) if name != RESULT or SEAL in plain)
    return Kept(folder, plain, traces, sweeps, _scenario(folder), altered, unread)


def drawable(kept: Kept) -> Result | None:
    """The Result of a folder for drawing, with what tables could be read; None where it does not fit this version."""
    try:
        return replace(result_of(kept.plain, {}), traces=kept.traces, sweeps=kept.sweeps)
    except (KeyError, TypeError, ValueError, AttributeError):
        return None


def _plain(folder: Path) -> dict[str, Any]:
    path = folder / RESULT
    try:
        data = read_json(within(folder, RESULT))
    except (FileNotFoundError, NotADirectoryError) as missing:
        raise FolderError(_no_result(folder)) from missing
    except ValueError as broken:
        raise FolderError(f"{path} cannot be read: {broken}") from broken
    told = data.get("format") if isinstance(data, dict) else None
    if told != FORMAT:
        by = f", by stopload {_table(data.get('stamp')).get('version', 'of unknown version')}" if told else ""
        found = f"is written in the format '{told}'{by}" if told else "is no result"
        raise FolderError(f"{path} {found}; this version reads '{FORMAT}' only")
    if not isinstance(data.get("written"), dict) or not isinstance(data.get("cases"), dict):
        raise FolderError(f"{path} does not fit its format: its cases, or the files written with it, are missing")
    for place, word in _table(data.get("not_numbers")).items():
        _put(data, str(place), _WORDS.get(str(word), math.nan))
    return data


def _no_result(folder: Path) -> str:
    """Why there is nothing to read, and what was probably meant."""
    if not folder.exists():
        return f"there is no folder {folder}"
    if not folder.is_dir():
        return f"{folder} is no folder; name the result folder that holds {RESULT}"
    if (folder / COMPARISON).is_file():
        names = [each.folder for each in read_comparison(folder).variants if each.folder]
        some = ", ".join(str(folder / name) for name in names[:4]) + (", …" if len(names) > 4 else "")
        return (
            f"{folder} is the folder of a comparison; name one of its variants: {some or 'it has none with a result'}"
        )
    return f"{folder} is not a result folder: it has no {RESULT}"


def _put(data: dict[str, Any], place: str, value: float) -> None:
    """Put a value where its note says; names may hold slashes, so what is there is looked for."""
    here: Any = data
    rest = place.removeprefix("/")
    while rest:
        if isinstance(here, list):
            step, _, rest = rest.partition("/")
            key: Any = int(step) if step.isdecimal() and int(step) < len(here) else None
        elif isinstance(here, dict):
            key = next((k for k in sorted(here, key=len, reverse=True) if rest == k or rest.startswith(f"{k}/")), None)
            rest = rest[len(key) + 1 :] if key is not None else ""
        else:
            return
        if key is None:
            return
        if not rest and here[key] is None:
            here[key] = value
        here = here[key]


def _files(plain: Mapping[str, Any], kind: str) -> list[tuple[str, str]]:
    return [(str(name), str(file)) for name, file in _table(plain.get(kind)).items()]


def _scenario(folder: Path) -> str:
    """The filled-in scenario, as far as it is there and a text."""
    try:
        return read_plain_bytes(within(folder, SCENARIO))[:_LARGEST_SCENARIO].decode("utf-8")
    except (OSError, ValueError):
        return ""


def _why(wrong: Exception) -> str:
    if isinstance(wrong, FileNotFoundError):
        return "it is missing"
    return f"it cannot be read ({wrong})"


def _table(value: Any) -> Mapping[str, Any]:
    return value if isinstance(value, Mapping) else {}
