"""What differs between two results, number by number: frozen, plain SI, nothing computed a second time.

How alike two numbers are has four levels, each told for every number, so that "the same" can be asked as strictly as is
wanted: the same to the last bit; alike to 1e-9; within what the runs themselves claim (their tolerance, or what their
peaks changed by when repeated at a tenth of it); different.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum, StrEnum

ALIKE = 1e-9
"""Relative difference up to which two numbers are alike: traces are written to nine digits."""

_DECIDING = ("verdict", "exit_status", "weakest", "within", "passed", "outcome")

Value = float | int | str | bool | None


class Level(IntEnum):
    """How alike two values are, from the strictest."""

    EXACT = 0
    ALIKE = 1
    ACCURACY = 2
    DIFFERENT = 3


LEVELS = {
    Level.EXACT: "the same to the last bit",
    Level.ALIKE: f"alike to {ALIKE:g}",
    Level.ACCURACY: "within what the runs claim",
    Level.DIFFERENT: "different",
}


class Kind(StrEnum):
    """What differs, in the order in which it is shown."""

    INPUT = "input"
    OUTCOME = "outcome"
    """The verdict, whether something is within its limit, how a case ended, where it is worst: words that decide."""
    FIGURE = "figure"
    CURVE = "curve"
    WORDS = "words"
    EVENT = "event"
    DRAWING = "drawing"
    AUDIT = "audit"
    """How much work a run was and how exact: no part of what it found."""


FIRST, SECOND = "first", "second"


@dataclass(frozen=True)
class Difference:
    """One thing that differs. words: where it stands, for people. absolute: second less first, in `unit` (SI).

    relative: against the larger of the two; for a curve or a vector against its largest value. claimed: the relative
    accuracy the runs claim for it. only: FIRST or SECOND where the other has no such thing. at_s: of a curve, when.
    """

    kind: Kind
    path: tuple[str, ...]
    words: str
    first: Value
    second: Value
    level: Level
    unit: str = ""
    absolute: float | None = None
    relative: float | None = None
    claimed: float = 0.0
    only: str = ""
    at_s: float | None = None


@dataclass(frozen=True)
class Same:
    """What counts as the same: a level, or with `relative` every relative difference up to that and every bit alike."""

    level: Level = Level.ACCURACY
    relative: float | None = None

    def holds(self, difference: Difference) -> bool:
        """Whether a difference is none that counts. What a run cost counts only where every bit is asked for."""
        if difference.kind is Kind.AUDIT and not difference.only:
            return self.level is not Level.EXACT
        if self.relative is not None:
            return difference.relative is not None and difference.relative <= self.relative
        return difference.level <= self.level

    def __str__(self) -> str:
        return LEVELS[self.level] if self.relative is None else f"alike to {self.relative:g}"


@dataclass(frozen=True)
class Differences:
    """All that is not the same to the last bit, worst first within each kind; and how many numbers met which level.

    same: what was asked to count as the same. counts: of the numbers that both have.
    """

    found: tuple[Difference, ...]
    counts: Mapping[Level, int]
    same: Same = Same()

    @property
    def counting(self) -> tuple[Difference, ...]:
        """Those that are not the same as it was asked for."""
        return tuple(each for each in self.found if not self.same.holds(each))

    @property
    def numbers(self) -> int:
        """How many numbers were compared."""
        return sum(self.counts.values())

    def of(self, *kinds: Kind) -> tuple[Difference, ...]:
        """All of these kinds, in order."""
        return tuple(each for each in self.found if each.kind in kinds)


def level_of(relative: float, claimed: float) -> Level:
    """How alike two numbers are that differ by this much, where the runs claim that accuracy."""
    if relative == 0.0:
        return Level.EXACT
    if relative <= ALIKE:
        return Level.ALIKE
    return Level.ACCURACY if relative <= claimed else Level.DIFFERENT


def worst_first(found: list[Difference]) -> tuple[Difference, ...]:
    """By kind; of numbers the largest relative difference first and what only one has last, of all else that first,
    and before all else what decides.
    """
    order = {kind: place for place, kind in enumerate(Kind)}

    def rank(each: Difference) -> tuple[int, int, float]:
        numbers = each.kind in (Kind.FIGURE, Kind.CURVE, Kind.EVENT)
        place = (2 if numbers else 0) if each.only else 1
        if each.path[-1:] and each.path[-1] in _DECIDING:
            place = -1
        return order[each.kind], place, -math.inf if each.relative is None else -each.relative

    return tuple(sorted(found, key=rank))
