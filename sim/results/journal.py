"""Finished runs of a sweep, kept on disk as they come: see `sim.results.unfinished`.

The journal lies beside the result folder, never in it, and goes when the folder stands.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Protocol

from typing_extensions import override

from sim.results.unfinished import Unfinished

_NOT_NUMBERS = {"not a number": math.nan, "infinite": math.inf, "infinite, negative": -math.inf}

RowName = tuple[str, str, float]
"""Which run: the stop, the ends of spreads it took, the stop instant (s)."""


@dataclass(frozen=True)
class Row:
    """What a sweep keeps of one run: figures by column (SI, as in sweep.csv), and why it did not finish, if so."""

    values: Mapping[str, float] = field(default_factory=dict)
    cause: str = ""


class KeepsRuns(Protocol):
    """Where the finished runs of one scenario's sweeps are kept."""

    rows: dict[RowName, Row]
    """All that are known."""

    def begin(self, key: str) -> None:
        """Take over those that were run from the same."""
        ...

    def add(self, rows: Mapping[RowName, Row]) -> None:
        """Keep these too."""
        ...


class Journal(Unfinished[RowName, Row]):
    """The finished runs of one scenario's sweeps."""

    FORMAT = "stopload journal 1"

    @classmethod
    def beside(cls, folder: Path) -> Journal:
        """The journal of the runs that will make this result folder."""
        return cls(folder.with_name(f"{folder.name}.unfinished.jsonl"))

    @override
    def to_line(self, name: RowName, kept: Row) -> list[Any]:
        return [*name, *row_to_plain(kept)]

    @override
    def from_line(self, line: list[Any]) -> tuple[RowName, Row]:
        stop, ends, time_s, values, cause = line
        return (stop, ends, float(time_s)), row_from_plain(values, cause)


def row_to_plain(row: Row) -> tuple[dict[str, Any], str]:
    """Values and cause as JSON values; what is no finite number by its word."""
    return {name: _plain(value) for name, value in row.values.items()}, row.cause


def row_from_plain(values: Mapping[str, Any], cause: str) -> Row:
    """Back from them, to the last bit."""
    return Row({name: _number(value) for name, value in values.items()}, cause)


def _plain(value: float) -> Any:
    if math.isfinite(value):
        return value
    return next(word for word, x in _NOT_NUMBERS.items() if x == value or (math.isnan(x) and math.isnan(value)))


def _number(value: Any) -> float:
    return _NOT_NUMBERS[value] if isinstance(value, str) else float(value)
