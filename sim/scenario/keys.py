"""One key of a scenario, as a person names it, and the change that gives it another value.

A key is named by the keys that lead to it, as in the messages about a file: `drives / winch / moving_mass`, or with
dots in place of the slashes. Entries of lists go by their number, from 1: `moves / 1 / speed`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sim.scenario.changes import with_changes
from sim.scenario.copying import copy_likes, take_out_notes
from sim.scenario.filled import filled_in
from sim.scenario.model import Scenario
from sim.scenario.refused import Refused, quoted
from sim.scenario.tree import Items, Table, TreeError, as_tree, read_tree

_BETWEEN = re.compile(r"\s*/\s*|\s*\.\s*")
_LONGEST = 2000


@dataclass(frozen=True)
class KeyPath:
    """A key of one scenario: the steps that lead to it, and what is written under it now (None: nothing)."""

    steps: tuple[str | int, ...]
    written: Any

    def __str__(self) -> str:
        return " / ".join(str(step + 1) if isinstance(step, int) else step for step in self.steps)


def written_tree(scenario: Scenario) -> Table:
    """The scenario as written, every `like` followed and without its notes."""
    root, _ = read_tree(scenario.source_text or filled_in(scenario))
    take_out_notes(root, [])
    copy_likes(root, [])
    return root


def find_key(scenario: Scenario, text: str) -> KeyPath:
    """The key of that name. Its last steps may be keys that are not written yet. Raises Refused."""
    here: Any = written_tree(scenario)
    steps: list[str | int] = []
    rest = text.strip()
    while rest:
        step, rest = _step(here, rest, text)
        steps.append(step)
        here = _under(here, step)
    if not steps:
        raise Refused("no key", "keys such as drives / winch / moving_mass")
    return KeyPath(tuple(steps), here)


def _under(here: Any, step: str | int) -> Any:
    """What is written under one step, None for nothing."""
    if isinstance(step, int):
        return here[step]
    return here.get(step) if isinstance(here, Table) else None


def _step(here: Any, rest: str, whole: str) -> tuple[str | int, str]:
    """The next step and what is left. Names may hold dots and slashes, so what is there is looked for first."""
    if isinstance(here, Table):
        for key in sorted(here, key=len, reverse=True):
            after = rest.removeprefix(str(key))
            between = _BETWEEN.match(after)
            if rest.startswith(str(key)) and (not after or between):
                return str(key), after[between.end() :] if between else ""
    between = _BETWEEN.search(rest)
    word, rest = (rest[: between.start()], rest[between.end() :]) if between else (rest, "")
    if not isinstance(here, Items):
        return word, rest
    if not word.isdecimal() or not 1 <= int(word) <= len(here):
        raise Refused(f"{quoted(word)} in {quoted(whole)}", f"the number of an entry, from 1 to {len(here)}")
    return int(word) - 1, rest


def split_values(text: str) -> list[str]:
    """The values of a list written with commas; commas within brackets belong to a value. Raises Refused.

    >>> split_values("[0 m, 0 m, 1 m], [0 m, 0 m, 2 m]")
    ['[0 m, 0 m, 1 m]', '[0 m, 0 m, 2 m]']
    """
    values, depth, start = [], 0, 0
    for i, c in enumerate(text):
        depth += (c in "[{") - (c in "]}")
        if c == "," and depth == 0:
            values.append(text[start:i].strip())
            start = i + 1
    values.append(text[start:].strip())
    if not all(values):
        raise Refused(quoted(text), "values with a comma between each two")
    return values


def changes_of(scenario: Scenario, values: Sequence[tuple[KeyPath, str]]) -> dict[str, Any]:
    """The change that writes each value (as it would stand in the file) under its key. Raises Refused."""
    root = written_tree(scenario)
    changes: dict[str, Any] = {}
    for key, value in values:
        here = with_changes(root, as_tree(changes), [])
        changes = _laid_over(changes, _within(here, key.steps, _read_value(value)))
    return changes


def _within(here: Any, steps: tuple[str | int, ...], value: Any) -> Any:
    """Nested tables down to the key; a list is written out whole, since a change replaces it."""
    if not steps:
        return value
    step, rest = steps[0], steps[1:]
    if isinstance(step, int):
        return [_laid_over(entry, _within(entry, rest, value)) if i == step else entry for i, entry in enumerate(here)]
    return {step: _within(_under(here, step), rest, value)}


def _laid_over(entry: Any, change: Any) -> Any:
    """What is there with a change laid over it, table by table."""
    if not isinstance(entry, Mapping) or not isinstance(change, Mapping):
        return change
    return {**entry, **{key: _laid_over(entry.get(key), inner) for key, inner in change.items()}}


def _read_value(text: str) -> Any:
    """A value as it would stand in the file: a text, or a list or table in brackets. Raises Refused."""
    if len(text) > _LONGEST:
        raise Refused(quoted(text), "a shorter value")
    if text[:1] not in "[{":
        return text
    try:
        root, refused = read_tree(f"value: {text}")
    except TreeError as error:
        raise error.refused from error
    if refused:
        raise refused[0][1]
    return root["value"]
