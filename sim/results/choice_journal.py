"""What is finished while line types are tried in a scenario, kept on disk: types tried to the end, and runs of others.

See `sim.results.unfinished`. One file for all types, which may be tried side by side: every run of a sweep stands under
the key of the scenario it is of, every type that was tried under its name.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from typing_extensions import override

from sim.results.choice import Candidate
from sim.results.journal import Row, RowName, row_from_plain, row_to_plain
from sim.results.plain import Notes, from_plain, to_plain
from sim.results.unfinished import Unfinished

TYPE = "type"
_RUN = "run"
EntryName = tuple[str, ...] | tuple[str, str, str, str, float]
"""(TYPE, name) of a type that was tried; ('run', key of its scenario, stop, ends, instant) of a run."""


class ChoiceJournal(Unfinished[EntryName, Candidate | Row]):
    """Types tried and runs made for one choice."""

    FORMAT = "stopload choice journal 1"

    @classmethod
    def of(cls, file: Path, folder: Path) -> ChoiceJournal:
        """The journal in this folder of choosing lines for a scenario file, the same at every start."""
        mark = hashlib.sha256(str(file.absolute()).encode()).hexdigest()[:12]
        return cls(folder / f"{file.stem} {mark}.unfinished.jsonl")

    @property
    def types(self) -> int:
        """How many types stand in it."""
        return sum(1 for name in self.rows if name[0] == TYPE)

    def runs_of(self, key: str) -> dict[RowName, Row]:
        """The runs made of a scenario of this key; asked while others are added."""
        with self._one_at_a_time:
            return {
                (str(name[2]), str(name[3]), float(name[4])): row
                for name, row in self.rows.items()
                if name[:2] == (_RUN, key) and isinstance(row, Row)
            }

    @override
    def to_line(self, name: EntryName, kept: Candidate | Row) -> list[Any]:
        if isinstance(kept, Row):
            return [list(name), *row_to_plain(kept)]
        notes: Notes = {}
        return [list(name), to_plain(kept, "", notes), notes]

    @override
    def from_line(self, line: list[Any]) -> tuple[EntryName, Candidate | Row]:
        name, kept, more = line
        if name[0] == _RUN:
            return tuple(name), row_from_plain(kept, more)
        return tuple(name), from_plain(Candidate, kept, "", more)


class RunsOfOne:
    """The runs of one type's sweeps within the journal of the choice, as `KeepsRuns` has it."""

    def __init__(self, within: ChoiceJournal) -> None:
        self.rows: dict[RowName, Row] = {}
        self._within, self._key = within, ""

    def begin(self, key: str) -> None:
        """Take over those that were run from the same."""
        self._key, self.rows = key, self._within.runs_of(key)

    def add(self, rows: Mapping[RowName, Row]) -> None:
        """Keep these too."""
        self.rows.update(rows)
        self._within.add({(_RUN, self._key, *name): row for name, row in rows.items()})
