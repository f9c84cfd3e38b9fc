"""Frozen results to plain JSON values and back, driven by the dataclasses themselves.

A field is written under its own name, which carries its unit. A field that is None because it has nothing to say is
left out. JSON has no word for infinity or "not a number": such a value is written as null, and its place and what it
was are noted, so that null never stands without a reason and reading gives back the same value.
"""

from __future__ import annotations

import math
import types
from collections.abc import Mapping, Sequence
from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

import numpy as np

Notes = dict[str, str]
_WORDS = {"not a number": math.nan, "infinite": math.inf, "infinite, negative": -math.inf}


def to_plain(value: object, place: str, notes: Notes) -> Any:
    """`value` as JSON values; what is no finite number becomes None and is noted under its place in `notes`.

    >>> notes = {}
    >>> to_plain({"force_N": 2.0, "factor": math.inf}, "line", notes), notes
    ({'force_N': 2.0, 'factor': None}, {'line/factor': 'infinite'})
    """
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, str):
        return str(value)
    if isinstance(value, np.generic | np.ndarray):
        return to_plain(value.tolist(), place, notes)
    if isinstance(value, float):
        return _number(value, place, notes)
    if isinstance(value, int):
        return value
    if is_dataclass(value) and not isinstance(value, type):
        return _record(value, place, notes)
    if isinstance(value, Mapping):
        return {str(key): to_plain(item, f"{place}/{key}", notes) for key, item in value.items()}
    if isinstance(value, Sequence):
        return [to_plain(item, f"{place}/{i}", notes) for i, item in enumerate(value)]
    raise TypeError(f"{place}: a result cannot hold a {type(value).__name__}")


def _number(value: float, place: str, notes: Notes) -> float | None:
    if math.isfinite(value):
        return value
    notes[place] = "not a number" if math.isnan(value) else "infinite" if value > 0 else "infinite, negative"
    return None


def _record(value: Any, place: str, notes: Notes) -> dict[str, Any]:
    record: dict[str, Any] = {}
    for each in fields(value):
        item = getattr(value, each.name)
        if item is None and each.default is None:
            continue
        record[each.name] = to_plain(item, f"{place}/{each.name}", notes)
    return record


def from_plain(kind: Any, data: Any, place: str, notes: Notes) -> Any:
    """The value of type `kind` that `to_plain` wrote as `data`. Raises ValueError naming the place that is wrong."""
    if data is None and place in notes:
        return _WORDS[notes[place]]
    if is_dataclass(kind):
        return _record_from(kind, data, place, notes)
    origin, inner = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        if data is None:
            return None
        return from_plain(next(each for each in inner if each is not type(None)), data, place, notes)
    if origin is tuple:
        return _tuple_from(inner, _a(list, data, place), place, notes)
    if origin is not None and issubclass(origin, Mapping):
        return {key: from_plain(inner[1], item, f"{place}/{key}", notes) for key, item in _a(dict, data, place).items()}
    if kind is object or kind is Any:
        return data
    if isinstance(kind, type) and issubclass(kind, Enum):
        return kind(data)
    if kind is float and isinstance(data, int) and not isinstance(data, bool):
        return float(data)
    return _a(kind, data, place)


def _tuple_from(inner: tuple[Any, ...], items: list[Any], place: str, notes: Notes) -> tuple[Any, ...]:
    kinds = [inner[0]] * len(items) if inner[-1] is ... else list(inner)
    if len(kinds) != len(items):
        raise ValueError(f"{place}: expected {len(kinds)} values, found {len(items)}")
    pairs = zip(kinds, items, strict=True)
    return tuple(from_plain(kind, item, f"{place}/{i}", notes) for i, (kind, item) in enumerate(pairs))


def _record_from(kind: Any, data: Any, place: str, notes: Notes) -> Any:
    hints = _hints(kind)
    given: dict[str, Any] = {}
    for each in fields(kind):
        if each.name in _a(dict, data, place):
            given[each.name] = from_plain(hints[each.name], data[each.name], f"{place}/{each.name}", notes)
        elif each.default is MISSING and each.default_factory is MISSING:
            raise ValueError(f"{place}: '{each.name}' is missing")
    return kind(**given)


@cache
def _hints(kind: type) -> dict[str, Any]:
    """The types of a record's fields: finding them takes longer than reading a record."""
    return get_type_hints(kind)


def _a(kind: type, data: Any, place: str) -> Any:
    """The data, if it is of that kind. Raises ValueError."""
    if not isinstance(data, kind) or (isinstance(data, bool) and kind is not bool):
        raise ValueError(f"{place}: expected a {kind.__name__}, found {data!r:.40}")
    return data
