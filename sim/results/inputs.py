"""The inputs of a result, key by key, as the filled-in scenario has them, and what differs between two of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sim.results.difference import FIRST, SECOND, Difference, Kind, Level
from sim.results.differing import relative_difference


@dataclass(frozen=True)
class Input:
    """One input: as written, and where it is a quantity its value and SI unit."""

    text: str
    value_si: float | None = None
    unit: str = ""


_NO_ZERO = ("degC",)
"""Units whose zero means nothing: a share of such a value says nothing."""

Inputs = Mapping[tuple[str, ...], Input]
"""Inputs by the keys that lead to them."""


def compare_inputs(first: Inputs, second: Inputs) -> list[Difference]:
    """Every input that is not the same; one that is only written otherwise (0.5 m, 500 mm) is the same.

    Where all keys below one are new or gone, that one alone is told.
    """
    found = [_gone(path, first, second) for path in _tops(first, second)]
    for path, one in first.items():
        other = second.get(path)
        if other is not None and not _alike(one, other):
            found.append(_changed(path, one, other))
    return found


def _alike(one: Input, other: Input) -> bool:
    if one.value_si is not None and one.unit == other.unit:
        return one.value_si == other.value_si
    return one.text == other.text


def _changed(path: tuple[str, ...], one: Input, other: Input) -> Difference:
    absolute = relative = None
    if one.value_si is not None and other.value_si is not None and one.unit == other.unit:
        absolute = other.value_si - one.value_si
        relative = None if one.unit in _NO_ZERO else relative_difference(one.value_si, other.value_si)
    return Difference(
        Kind.INPUT, path, _words(path), one.text, other.text, Level.DIFFERENT, one.unit, absolute, relative
    )  # fmt: skip


def _tops(first: Inputs, second: Inputs) -> list[tuple[str, ...]]:
    """The shortest keys that only one of the two has anything below."""
    starts = [{path[:n] for path in side for n in range(1, len(path) + 1)} for side in (first, second)]
    tops = []
    for path in (*first, *second):
        alone = next(
            (path[:n] for n in range(1, len(path) + 1) if (path[:n] in starts[0]) != (path[:n] in starts[1])), None
        )
        if alone is not None:
            tops.append(alone)
    return list(dict.fromkeys(tops))


def _gone(path: tuple[str, ...], first: Inputs, second: Inputs) -> Difference:
    said = [_told(path, side) for side in (first, second)]
    only = FIRST if said[0] else SECOND
    return Difference(
        Kind.INPUT, path, _words(path), said[0] or None, said[1] or None, Level.DIFFERENT, only=only
    )  # fmt: skip


def _told(path: tuple[str, ...], side: Inputs) -> str:
    """What stands under a key: its value, or its keys."""
    if path in side:
        return side[path].text
    below = dict.fromkeys(each[len(path)] for each in side if each[: len(path)] == path)
    return ", ".join(below)


def _words(path: tuple[str, ...]) -> str:
    return " / ".join(path)
