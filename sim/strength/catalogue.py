"""The catalogue of generic line types, each number with its source, and a user's own records before ours.

>>> line = find("7x19 galvanised").at(0.25 * 0.0254)
>>> round(line.breaking_strength_N)
31138
"""

from __future__ import annotations

import difflib
import hashlib
import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import yaml
from pydantic import TypeAdapter, ValidationError

from sim.scenario.reader import LARGEST_FILE, content_of
from sim.scenario.tree import TreeError, read_tree
from sim.strength.data_file import parsed
from sim.strength.laws import DATA
from sim.strength.line_data import Condition, Curve, LineData, Stiffness, StretchError, rising
from sim.strength.line_type import LineType, NoSuchSize

__all__ = [
    "Condition",
    "Curve",
    "LineData",
    "LineType",
    "NoSuchSize",
    "OwnRecordError",
    "Stiffness",
    "StretchError",
    "UnknownLineType",
    "catalogue",
    "find",
    "names",
    "own_files",
    "own_records_from",
    "rising",
    "written_record",
]

OWN_FOLDER = "STOPLOAD_LINES"
"""The environment variable that names the folder of a user's own records."""

_FILES = ("music_wire", "wire", "high_modulus", "double_braid", "kernmantle")
Written = Mapping[str, Any]


class UnknownLineType(KeyError):
    """No such type in the catalogue. `nearest` lists the names it may have meant."""

    def __init__(self, name: str, nearest: tuple[str, ...]) -> None:
        self.name, self.nearest = name, nearest
        super().__init__(name)

    def __str__(self) -> str:
        hint = f"; nearest: {', '.join(self.nearest)}" if self.nearest else ""
        return f"unknown line type '{self.name}'{hint}"


class OwnRecordError(ValueError):
    """A record of the user's own folder that cannot be read: which file, which type, which key, and why."""


def catalogue(own: Path | None = None) -> Mapping[str, LineType]:
    """Every type by name: ours, and before them those of a user's own folder (from the environment where None).

    Raises OwnRecordError for a fault in that folder.
    """
    folder = own or _own_folder()
    return _read(None if folder is None else folder.resolve())


def names(own: Path | None = None) -> tuple[str, ...]:
    """The names of all types, in the order of the data files, own ones that are new last."""
    return tuple(catalogue(own))


def find(name: str, own: Path | None = None) -> LineType:
    """A type by its name. Raises UnknownLineType with the nearest names, OwnRecordError for a fault in own records."""
    types = catalogue(own)
    if name in types:
        return types[name]
    words = set(name.lower().split())
    sharing = [known for known in types if words & set(known.lower().split())]
    close = difflib.get_close_matches(name.lower(), [known.lower() for known in types], n=3, cutoff=0.5)
    near = [known for known in types if known.lower() in close]
    raise UnknownLineType(name, tuple(dict.fromkeys(near + sharing))[:4])


def written_record(name: str, own: Path | None = None) -> Written:
    """A type's record as it is written, a user's own with what it takes by `like` filled in. Raises as `find` does."""
    find(name, own)
    folder = own or _own_folder()
    return {**_ours(), **(_own_records(folder.resolve()) if folder else {})}[name]


def own_files(types: Iterable[str]) -> dict[str, bytes]:
    """The files of the user's own folder in which these types stand, by name, and those that they build on by `like`.

    As they were read. None of ours is among them. Raises OwnRecordError for a fault in own records.
    """
    folder = _own_folder()
    if folder is None:
        return {}
    folder = folder.resolve()
    records, contents = _own_records(folder), _own_contents(folder)
    found: dict[str, bytes] = {}
    waiting = [records[name]["record"] for name in types if name in records]
    while waiting:
        name = waiting.pop().rpartition(", ")[0]
        if name not in found:
            found[name] = contents[name]
            bases = [str(entry.get("like")) for entry in _tables(folder / name, contents[name]).values()]
            waiting += [records[base]["record"] for base in bases if base in records]
    return dict(sorted(found.items()))


@contextmanager
def own_records_from(folder: Path | None) -> Iterator[None]:
    """Within, own records come from this folder (None: there are none), whatever the environment says."""
    before = os.environ.get(OWN_FOLDER)
    os.environ[OWN_FOLDER] = "" if folder is None else str(folder)
    try:
        yield
    finally:
        if before is None:
            del os.environ[OWN_FOLDER]
        else:
            os.environ[OWN_FOLDER] = before


def _own_folder() -> Path | None:
    folder = os.environ.get(OWN_FOLDER, "").strip()
    return Path(folder) if folder else None


@cache
def _ours() -> Mapping[str, Written]:
    records: dict[str, Written] = {}
    for file in _FILES:
        records |= parsed((DATA / "line_types" / f"{file}.yaml").read_text(encoding="utf-8"))
    return records


@cache
def _read(own: Path | None) -> Mapping[str, LineType]:
    named = {name: {"name": name, **entry} for name, entry in _ours().items()}
    types = TypeAdapter(dict[str, LineType]).validate_python(named)
    for name, entry in (_own_records(own) if own else {}).items():
        try:
            types[name] = TypeAdapter(LineType).validate_python({"name": name, **entry})
        except ValidationError as wrong:
            raise OwnRecordError(_in_words(name, entry, wrong)) from wrong
    return types


@cache
def _own_records(folder: Path) -> Mapping[str, Written]:
    """The records of a user's folder with `like` filled in, each with its file's name and hash."""
    if not folder.is_dir():
        raise OwnRecordError(f"own line types: {folder} is not a folder ({OWN_FOLDER} or --own)")
    records: dict[str, Written] = {}
    for file_name, content in _own_contents(folder).items():
        file = folder / file_name
        origin = f"{file.name}, SHA-256 {hashlib.sha256(content).hexdigest()[:16]}"
        for name, entry in _tables(file, content).items():
            if name in records:
                raise OwnRecordError(f"{file.name}: '{name}' stands in {records[name]['record']} too")
            records[name] = {**_base(file, name, entry, records), **entry, "record": origin}
    return {name: {key: each for key, each in entry.items() if key != "like"} for name, entry in records.items()}


@cache
def _own_contents(folder: Path) -> Mapping[str, bytes]:
    """The files of a user's folder by name, in the order in which their records are taken."""
    contents = {file.name: content_of(file) for file in sorted(folder.glob("*.yaml"))}
    for name, content in contents.items():
        if len(content) > LARGEST_FILE:
            raise OwnRecordError(f"{name} has more than {LARGEST_FILE // 1_000_000} MB")
    return contents


def _tables(file: Path, content: bytes) -> Mapping[str, Written]:
    """What a file holds. Aliases and deep nesting are refused before anything is made of them: a few lines of them can
    stand for more than any memory holds.
    """
    try:
        text = content.decode("utf-8")
        _, refused = read_tree(text)
        if refused:
            place, what = refused[0]
            raise OwnRecordError(f"{file.name}, line {place.line}: {what}")
        written = yaml.safe_load(text)
    except TreeError as wrong:
        raise OwnRecordError(f"{file.name}, line {wrong.place.line}: {wrong}") from wrong
    except (yaml.YAMLError, ValueError, OverflowError) as wrong:
        if isinstance(wrong, OwnRecordError):
            raise
        raise OwnRecordError(f"{file.name} cannot be read: {' '.join(str(wrong).split())}") from wrong
    if not isinstance(written, dict) or not all(isinstance(entry, dict) for entry in written.values()):
        raise OwnRecordError(f"{file.name}: a name of a type and its keys below it are expected")
    return {str(name): entry for name, entry in written.items()}


def _base(file: Path, name: str, entry: Written, before: Mapping[str, Written]) -> Written:
    """The record that `like` names: one of ours, or an own one that stands before."""
    if "like" not in entry:
        return {}
    known = {**_ours(), **before}
    if not isinstance(entry["like"], str) or entry["like"] not in known:
        near = difflib.get_close_matches(str(entry["like"]), known, n=2, cutoff=0.4)
        raise OwnRecordError(
            f"{file.name}, {name}: like '{entry['like']}' is no known type; nearest: {', '.join(near) or '–'}"
        )
    return known[entry["like"]]


def _in_words(name: str, entry: Written, wrong: ValidationError) -> str:
    """Where in a record of the user's what is wrong, all faults in one sentence."""
    faults = [
        f"{' / '.join(map(str, fault['loc'])) or 'the record'}: {fault['msg'].removeprefix('Value error, ')}"
        for fault in wrong.errors()
    ]
    return f"{entry['record'].partition(',')[0]}, {name}: {'; '.join(faults)}"
