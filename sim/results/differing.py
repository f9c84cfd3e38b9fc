"""The one comparison of two results: their `result.json` as plain values, key by key; tables in `differing_tables`.

What one has and the other lacks is told once, at the key where they part. Lists are paired by what their entries are
about (a limit and whose, an event and where), not by their place, so that one more of them moves none of the others.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from typing import Any, TypeGuard

import numpy as np

from sim.results.difference import FIRST, SECOND, Difference, Kind, Level, level_of
from sim.results.field_words import in_words, unit_of

Plain = Mapping[str, Any]
Path = tuple[str, ...]

_NOT_COMPARED = (
    "format", "stamp", "title", "revision", "prepared_by", "limits", "traces", "sweeps", "written", "seal",
    "not_numbers",
)  # fmt: skip
"""What says where a result comes from, and what is compared by itself: the scenario, its limits among it, tables."""
_OUTCOME = ("verdict", "exit_status", "weakest", "within", "outcome", "reason", "worst_case", "worst_place", "kind")
_WORDS = (
    "remark", "remarks", "assumptions", "not_simulated", "helps", "remedy", "source", "strength_origin", "basis",
    "says", "retire", "not_counted", "status",
)  # fmt: skip
_WHEN = ("time_s", "peak_g_time_s", "lowest_height_time_s", "worst_time_s")
"""When something is largest. A value known to a share e fixes the place of its flat top only to about sqrt(e)."""
_ABOUT = (("limit", "of"), ("what", "at"), ("what", "of"), ("what", "where"), ("level_g",), ("name",), ("what",))
_TELLING = ("found", "force_N", "emergency_N", "working_N", "factor", "time_s", "value", "peak_g", "paid_out_m")
"""What is shown of a table that one side has alone: the first of these that it has."""
_NOTHING = object()
"""Stands for an entry that a list does not have: what it has may be None."""
_MOST_PAIRED = 1_500
"""Events beyond this are paired by how often the same one happened before: pairing them well takes their square."""


@dataclass
class Found:
    """What a comparison collects: all that is not the same to the last bit, and how many numbers met which level."""

    differences: list[Difference] = field(default_factory=list)
    counts: Counter[Level] = field(default_factory=Counter)


def compare_plain(first: Plain, second: Plain) -> Found:
    """Two results as plain values, infinities and what is no number in their places (`sim.results.kept`)."""
    walk = _Walk(_claims(first, second))
    for key in _keys(first, second):
        if key not in _NOT_COMPARED:
            walk.child((key,), first, second, key)
    return walk.found


def claimed_accuracy(plain: Plain) -> dict[str, float]:
    """What each case claims: the largest relative change of its peaks at a tenth of the tolerance, or the tolerance."""
    claims: dict[str, float] = {}
    for name, case in _table(plain.get("cases")).items():
        audit = _table(_table(case).get("audit"))
        told: list[Any] = [audit.get("peak_change"), audit.get("tolerance")]
        claims[name] = max((x for x in told if isinstance(x, float) and math.isfinite(x)), default=0.0)
    return claims


def _claims(first: Plain, second: Plain) -> dict[str, float]:
    one, other = claimed_accuracy(first), claimed_accuracy(second)
    return {name: max(one.get(name, 0.0), other.get(name, 0.0)) for name in (*one, *other)}


@dataclass
class _Walk:
    """Both values side by side, from the top down. claims: relative accuracy by case."""

    claims: Mapping[str, float]
    found: Found = field(default_factory=Found)

    def child(self, path: Path, first: Plain, second: Plain, key: str, unit: str | None = None) -> None:
        """What stands under a key of both, or of one of them."""
        if key in first and key in second:
            self.values(path, first[key], second[key], unit)
        else:
            self._only(path, first.get(key), second.get(key), FIRST if key in first else SECOND, unit)

    def values(self, path: Path, first: Any, second: Any, unit: str | None = None) -> None:
        """Two values of the same place, whatever they are."""
        if isinstance(first, Mapping) and isinstance(second, Mapping):
            told = _unit_beside(first, second)
            for key in _keys(first, second):
                self.child((*path, key), first, second, key, told if key in ("found", "required", "value") else None)
        elif isinstance(first, list) and isinstance(second, list):
            self._lists(path, first, second)
        elif _is_number(first) and _is_number(second):
            self._numbers(path, float(first), float(second), unit)
        elif first != second:
            self._add(path, first, second, Level.DIFFERENT, unit=unit)

    def _lists(self, path: Path, first: list[Any], second: list[Any]) -> None:
        arrays = _array(first), _array(second)
        if arrays[0] is not None and arrays[1] is not None:
            self._arrays(path, arrays[0], arrays[1])
        elif all(isinstance(each, str) for each in (*first, *second)):
            for text in dict.fromkeys((*first, *second)):
                if (text in first) != (text in second):
                    side = FIRST if text in first else SECOND
                    self._only(path, text if side == FIRST else None, text if side == SECOND else None, side)
        elif path[-1:] == ("events",):
            for name, one, other in _paired(first, second):
                self._pair((*path, name), one, other)
        else:
            one, other = _by_subject(first), _by_subject(second)
            for name in _keys(one, other):
                self._pair((*path, name), one.get(name, _NOTHING), other.get(name, _NOTHING))

    def _pair(self, path: Path, first: Any, second: Any) -> None:
        if first is _NOTHING or second is _NOTHING:
            self._only(path, first, second, SECOND if first is _NOTHING else FIRST)
        else:
            self.values(path, first, second)

    def _numbers(self, path: Path, first: float, second: float, unit: str | None) -> None:
        relative = relative_difference(first, second)
        claimed = self._claimed(path)
        level = level_of(relative, claimed)
        self.found.counts[level] += 1
        if level is not Level.EXACT:
            self._add(path, first, second, level, second - first, relative, claimed, unit)

    def _arrays(self, path: Path, first: np.ndarray, second: np.ndarray) -> None:
        """Places: the largest difference of any coordinate, against the largest coordinate."""
        if first.shape != second.shape:
            self.found.counts[Level.DIFFERENT] += 1
            said = [f"{'x'.join(map(str, each.shape))} values" for each in (first, second)]
            self._add(path, said[0], said[1], Level.DIFFERENT)
            return
        apart = np.abs(second - first)
        at = np.unravel_index(int(apart.argmax()), apart.shape)
        scale = max(float(np.abs(first).max()), float(np.abs(second).max()))
        relative = float(apart[at]) / scale if scale else 0.0
        claimed = self._claimed(path)
        level = level_of(relative, claimed)
        self.found.counts[level] += 1
        if level is not Level.EXACT:
            one, other = float(first[at]), float(second[at])
            self._add(path, one, other, level, other - one, relative, claimed)

    def _claimed(self, path: Path) -> float:
        """The accuracy of a number: that of its case; of an element, a limit and all else, the least exact of all."""
        if path[0] == "cases":
            claimed = self.claims.get("".join(path[1:2]), 0.0)
        else:
            claimed = max(self.claims.values(), default=0.0)
        return math.sqrt(claimed) if path[-1] in _WHEN and "events" not in path else claimed

    def _add(
        self, path: Path, first: Any, second: Any, level: Level, absolute: float | None = None,
        relative: float | None = None, claimed: float = 0.0, unit: str | None = None, only: str = "",
    ) -> None:  # fmt: skip
        self.found.differences.append(
            Difference(
                _kind(path, first, second), path, in_words(path), _shown(first), _shown(second), level,
                unit_of(path) if unit is None else unit, absolute, relative, claimed, only,
            )
        )  # fmt: skip

    def _only(self, path: Path, first: Any, second: Any, side: str, unit: str | None = None) -> None:
        """What one side has alone: of a table its most telling number."""
        there = first if side == FIRST else second
        if isinstance(there, Mapping | list) and not there:
            return  # nothing, against not being there
        if isinstance(there, Mapping):
            key = next((key for key in _TELLING if _is_number(there.get(key))), "")
            if key:
                unit = str(there["unit"]) if key == "found" and "unit" in there else unit_of((*path, key))
                there = there[key]
        first, second = (there, None) if side == FIRST else (None, there)
        self._add(path, first, second, Level.DIFFERENT, unit=unit, only=side)


def relative_difference(first: float, second: float) -> float:
    """How far apart two numbers are, against the larger; infinite where one of them is no finite number."""
    if first == second or (math.isnan(first) and math.isnan(second)):
        return 0.0
    if not (math.isfinite(first) and math.isfinite(second)):
        return math.inf
    return abs(second - first) / max(abs(first), abs(second))


def _kind(path: Path, first: Any, second: Any) -> Kind:
    if path[0] == "drawing":
        return Kind.DRAWING
    if any(key in _WORDS for key in (path[0], *path[-3:])):
        return Kind.WORDS
    if "audit" in path[2:3]:
        return Kind.OUTCOME if path[-1] == "passed" else Kind.AUDIT
    if "events" in path[2:3]:
        return Kind.EVENT
    if path[-1] in _OUTCOME:
        return Kind.OUTCOME
    return Kind.FIGURE if any(_is_number(each) for each in (first, second)) else Kind.OUTCOME


def _shown(value: Any) -> Any:
    """What one side has of something: itself, or how much of it there is."""
    if isinstance(value, Mapping) and isinstance(value.get("kind"), str):
        return str(value["kind"])
    if isinstance(value, Mapping):
        return ", ".join(map(str, value))
    return f"{len(value)} entries" if isinstance(value, list) else value


def _is_number(value: Any) -> TypeGuard[int | float]:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _table(value: Any) -> Plain:
    return value if isinstance(value, Mapping) else {}


def _keys(first: Mapping[str, Any], second: Mapping[str, Any]) -> list[str]:
    return list(dict.fromkeys((*first, *second)))


def _unit_beside(first: Plain, second: Plain) -> str | None:
    """The unit that stands beside a number as a key of its own; what is in two units is compared as it stands."""
    said = [each.get("finding", each).get("unit") for each in (first, second)]
    told = {unit for unit in said if isinstance(unit, str)}
    return told.pop() if len(told) == 1 else None


def _array(value: list[Any]) -> np.ndarray | None:
    """A list of nothing but finite numbers, or of equally long lists of them."""
    flat = [x for each in value for x in (each if isinstance(each, list) else [each])]
    if not flat or not all(_is_number(x) and math.isfinite(x) for x in flat):
        return None
    try:
        return np.array(value, dtype=np.float64)
    except ValueError:
        return None


def _subject(entry: Any) -> str:
    """What an entry of a list is about."""
    if not isinstance(entry, Mapping):
        return str(entry)
    if "finding" in entry:
        return _subject(entry["finding"])
    keys = next((keys for keys in _ABOUT if all(key in entry for key in keys)), ())
    told = [f"{entry[key]:g}" if isinstance(entry[key], float) else str(entry[key]) for key in keys if entry[key] != ""]
    return ", ".join(told).replace("design_factor", "design factor").replace("g_load", "g load") or "entry"


def _by_subject(entries: Sequence[Any]) -> dict[str, Any]:
    """Entries by what they are about; the second of the same with its number."""
    return dict(zip(_numbered([_subject(each) for each in entries]), entries, strict=True))


def _numbered(names: Sequence[str]) -> Iterator[str]:
    times: Counter[str] = Counter()
    for name in names:
        times[name] += 1
        yield name if times[name] == 1 else f"{name}, {times[name]}"


def _paired(first: Sequence[Any], second: Sequence[Any]) -> Iterator[tuple[str, Any, Any]]:
    """Events of two runs beside each other, in order: those that one run has more of stand alone."""
    one, other = [_subject(each) for each in first], [_subject(each) for each in second]
    if one != other and max(len(one), len(other)) > _MOST_PAIRED:
        a, b = _by_subject(first), _by_subject(second)
        yield from ((name, a.get(name, _NOTHING), b.get(name, _NOTHING)) for name in _keys(a, b))
        return
    names, more = list(_numbered(one)), list(_numbered(other))
    for what, i, i_end, j, j_end in SequenceMatcher(None, one, other, autojunk=False).get_opcodes():
        if what == "equal":
            yield from zip(names[i:i_end], first[i:i_end], second[j:j_end], strict=True)
        else:
            yield from ((names[k], first[k], _NOTHING) for k in range(i, i_end))
            yield from ((more[k], _NOTHING, second[k]) for k in range(j, j_end))
