"""The reader: a scenario file in, a checked Scenario out, or all of its faults at once.

    text -> tree (tree.py) -> notes and likes (copying.py) -> names and references (crosscheck.py) -> models (model.py)

Every step goes on as far as it can after a fault, so that one reading tells them all.
"""

from __future__ import annotations

import errno
import os
import re
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from sim.scenario.changes import MOST_CASES, with_changes
from sim.scenario.copying import Complaints, copy_likes, take_out_notes
from sim.scenario.crosscheck import cross_check
from sim.scenario.faults import Fault, ScenarioErrors, fault_at
from sim.scenario.filled import filled_in
from sim.scenario.model import MAY_BE_NONE, Note, Scenario, Source
from sim.scenario.refused import Refused, listed, nearest_word, quoted
from sim.scenario.tree import START, Place, Table, TreeError, as_tree, place_of, read_tree

LARGEST_FILE = 2_000_000
"""Bytes. A scenario is some kilobytes; what is larger is something else."""

_SHAPES = {
    "string_type": "a text",
    "dict_type": "a table of names",
    "mapping_type": "a table of names",
    "model_type": "a table of keys",
    "model_attributes_type": "a table of keys",
    "tuple_type": "a list",
    "list_type": "a list",
}


def read_file(path: Path | str) -> Scenario:
    """The scenario in a file. Raises ScenarioErrors with every fault of it, also where it cannot be read at all."""
    path = Path(path)
    try:
        return read_bytes(content_of(path), path)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise _one_fault(str(path), START, Refused(f"no readable file ({reason})", "a scenario file")) from error


def content_of(path: Path, largest: int = LARGEST_FILE) -> bytes:
    """What a file holds, read no further than a byte beyond `largest`.

    Raises OSError; also for a pipe or a device, which might never end or never begin.
    """
    with open(path, "rb", opener=_without_waiting) as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise OSError(errno.EINVAL, "a pipe or a device, and no file", str(path))
        return file.read(largest + 1)


def _without_waiting(path: str, flags: int) -> int:
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def read_bytes(content: bytes, path: Path) -> Scenario:
    """The scenario in what was read from `path`. Raises ScenarioErrors with every fault of it."""
    if len(content) > LARGEST_FILE:
        refused = Refused(f"more than {LARGEST_FILE // 1_000_000} MB", "a scenario file, which is much smaller")
        raise _one_fault(str(path), START, refused)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        column = error.start - (content.rfind(b"\n", 0, error.start) + 1) + 1
        raise _one_fault(str(path), Place(line, column), Refused("bytes that are no UTF-8", "UTF-8 text")) from error
    return _read(text, str(path), path)


def read_text(text: str, name: str = "scenario") -> Scenario:
    """The scenario in a text; `name` is what messages call it. Raises ScenarioErrors with every fault of it."""
    if len(text) > LARGEST_FILE:
        raise _one_fault(name, START, Refused(f"more than {LARGEST_FILE // 1_000_000} MB", "a much smaller scenario"))
    return _read(text, name, None)


def compare_cases(scenario: Scenario) -> dict[str, Scenario]:
    """The scenario of every case under `compare`, by name. Raises ScenarioErrors where a change cannot be."""
    return {name: changed(scenario, changes, name) for name, changes in scenario.compare.items()}


def changed(scenario: Scenario, changes: Mapping[str, Any], case: str) -> Scenario:
    """The scenario with changed keys: a tree of keys and texts, such as {"lines": {"drop line": {"diameter": "5 mm"}}}.

    A line whose type changes leaves its certificate behind. Raises ScenarioErrors where a change cannot be.
    """
    name = f"{scenario.source_name} ({case})"
    root, _, refused = _prepared(scenario.source_text or filled_in(scenario), name)
    copy_likes(root, refused)
    tree = with_changes(root, as_tree(changes), refused)
    refused += cross_check(tree, scenario.path)
    made = _validated(tree, refused)
    if refused or made is None:
        raise ScenarioErrors(fault_at(name, place, one) for place, one in refused)
    return made.with_source(Source(name, filled_in(made), scenario.path))


def _read(text: str, name: str, path: Path | None) -> Scenario:
    root, notes, refused = _prepared(text, name)
    lost = copy_likes(root, refused)
    refused += cross_check(root, path)
    scenario = _validated(_without(root, lost), refused)
    if not refused:
        refused += _compared(root, path)
    if refused or scenario is None:
        raise ScenarioErrors(fault_at(name, place, one) for place, one in _first_causes(refused))
    return scenario.with_source(Source(name, text, path, tuple(notes)))


def _first_causes(refused: Complaints) -> Complaints:
    """Without what follows from an alias, which the tree holds as nothing."""
    aliases = {(place.line, place.column) for place, one in refused if one.found.startswith("alias *")}
    return [
        (place, one)
        for place, one in refused
        if (place.line, place.column) not in aliases or one.found.startswith("alias *")
    ]


def _prepared(text: str, name: str) -> tuple[Table, list[Note], Complaints]:
    """The tree of a text without its notes, the notes, and what was refused so far."""
    try:
        text.encode()
        root, refused = read_tree(text)
    except UnicodeEncodeError as error:
        raise _one_fault(name, START, Refused("half a character pair", "text that can be written")) from error
    except TreeError as error:
        raise _one_fault(name, error.place, error.refused) from error
    return root, take_out_notes(root, refused), refused


def _compared(root: Table, path: Path | None) -> Complaints:
    """What is refused in the compare cases of a file that is right without them."""
    refused: Complaints = []
    cases = root.get("compare")
    if not isinstance(cases, Table):
        return refused
    if len(cases) > MOST_CASES:
        return [(cases.place, Refused(f"{len(cases)} cases", f"at most {MOST_CASES}"))]
    for changes in cases.values():
        if isinstance(changes, Table):
            tree = with_changes(root, changes, refused)
            refused += cross_check(tree, path)
            _validated(tree, refused)
    return refused


def _without(root: Table, lost: set[tuple[str, str]]) -> Table:
    """The tree but for elements whose like led nowhere: what they lack has been told already."""
    for section, name in lost:
        root[section].pop(name, None)
    return root


def _validated(root: Table, refused: Complaints) -> Scenario | None:
    """The models' own reading; what they refuse is added to `refused`."""
    complaints: list[Refused] = []
    scenario = None
    try:
        scenario = Scenario.model_validate(root, context=complaints)
    except ValidationError as errors:
        for error in errors.errors(include_url=False):
            refused.append(_translated(error))
    refused += [(place_of(one.at), one) for one in complaints]
    return scenario


def _translated(error: Mapping[str, Any]) -> tuple[Place, Refused]:
    """One of pydantic's errors in the format's own words, and its place."""
    written, kind = error["input"], error["type"]
    place = place_of(written)
    context = error.get("ctx", {})
    cause = context.get("error")
    if isinstance(cause, Refused):
        return _place_in(written, cause), cause
    if kind == "missing":
        key = error["loc"][-1]
        if isinstance(key, int):
            return place, Refused(f"a list of {len(written)}", "[x, y, z], each with its unit")
        return _missing(key, place)
    if kind == "union_tag_invalid":
        tags = re.findall(r"'([^']*)'", context["expected_tags"])
        word = written[context["discriminator"].strip("'")]
        near = nearest_word(word, tags) if isinstance(word, str) else ""
        return place_of(word), Refused(_shown(word), listed(tags), near)
    if kind == "union_tag_not_found":
        return _missing(context["discriminator"].strip("'"), place)
    if kind == "literal_error" and isinstance(written, str):
        words = re.findall(r"'([^']*)'", context["expected"])
        return place, Refused(_shown(written), context["expected"], nearest_word(written, words))
    if kind in ("too_short", "string_too_short"):
        found = f"a list of {len(written)}" if isinstance(written, list) and written else "nothing"
        least = context["min_length"]
        return place, Refused(found, f"at least {least} names" if least > 1 else "something")
    if kind in ("too_long", "tuple_too_long"):
        return place, Refused(f"a list of {len(written)}", "[x, y, z], each with its unit")
    return place, Refused(_shown(written), _SHAPES.get(kind) or str(error["msg"]))


def _missing(key: str, place: Place) -> tuple[Place, Refused]:
    """A key that is due; `place` is that of the table it is due in."""
    why = "what is asked for, or the word none written out" if key in MAY_BE_NONE else "it is due here"
    return Place(place.line, place.column, (*place.path, key)), Refused("nothing", f"this key: {why}")


def _place_in(written: Any, refused: Refused) -> Place:
    """The place of what was refused: its own, or that of the value it was found in."""
    return place_of(refused.at, place_of(written))


def _shown(written: Any) -> str:
    if isinstance(written, str):
        return quoted(written)
    return "a list" if isinstance(written, list) else "a table" if isinstance(written, Mapping) else repr(written)


def _one_fault(name: str, place: Place, refused: Refused) -> ScenarioErrors:
    return ScenarioErrors([fault_at(name, place, refused)])


def all_faults(text: str, name: str = "scenario") -> Iterator[Fault]:
    """The faults of a text, none where it is right: for editors and tests."""
    try:
        read_text(text, name)
    except ScenarioErrors as errors:
        yield from errors.faults
