"""Faults of a scenario file, as people see them, and the one exception that carries all of a file's."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sim.scenario.refused import Refused, visible
from sim.scenario.tree import Place


@dataclass(frozen=True, order=True)
class Fault:
    """One thing wrong in a file: where (line and column from 1), at which key, what was found and what was expected."""

    file: str
    line: int
    column: int
    key: str
    """The keys that lead there, such as `lines / drop line / diameter`; '' for the file as a whole."""
    found: str
    expected: str
    nearest: str = ""
    """The nearest right word, '' where none is near."""

    def __str__(self) -> str:
        key = f"{self.key}: " if self.key else ""
        nearest = f" (did you mean {self.nearest}?)" if self.nearest else ""
        return f"{self.file}:{self.line}:{self.column}: {key}found {self.found}, expected {self.expected}{nearest}"


class ScenarioErrors(Exception):
    """All the faults of one scenario, in the order of the file."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(sorted(set(faults), key=lambda f: (f.line, f.column, f.key, f.found)))
        super().__init__("\n".join(str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[type[ScenarioErrors], tuple[tuple[Fault, ...]]]:
        return type(self), (self.faults,)


def fault_at(file: str, place: Place, refused: Refused) -> Fault:
    """The fault for something refused at a place of a file; nothing of it reaches a terminal but as text."""
    key = " / ".join(str(step + 1) if isinstance(step, int) else step for step in place.path)
    words = (visible(each) for each in (key, refused.found, refused.expected, refused.nearest))
    return Fault(visible(file), place.line, place.column, *words)
