"""One comparison: what was compared, whose value it is held against, how far apart they are and how far they may be.

A test asks for the fixture `agrees` and gets an `Agrees`: each call is a check, and a row of the accuracy page.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any, SupportsFloat


class Kind(StrEnum):
    """What a value from outside rests on."""

    CLOSED_FORM = "closed form"
    APART = "equations written apart"
    TABLE = "published table"
    RECORD = "measured record"
    PACKAGE = "other package"
    PRACTICE = "common practice"


@dataclass(frozen=True)
class Source:
    """Where a value comes from, in words that let it be found again, and what it rests on."""

    text: str
    kind: Kind


def closed_form(text: str) -> Source:
    """A formula of a textbook or handbook, evaluated in the test."""
    return Source(text, Kind.CLOSED_FORM)


def apart(text: str) -> Source:
    """Textbook equations written in the tests without this program's, integrated or solved by a library."""
    return Source(text, Kind.APART)


def table(text: str) -> Source:
    """Numbers as published: a standard, a handbook, a worked example of the literature."""
    return Source(text, Kind.TABLE)


def record(text: str) -> Source:
    """Somebody measured it."""
    return Source(text, Kind.RECORD)


def package(text: str) -> Source:
    """A library built for other things, with a model written from its own documentation."""
    return Source(text, Kind.PACKAGE)


def practice(text: str = "common practice, no source") -> Source:
    """A fact of the trade that nobody has published."""
    return Source(text, Kind.PRACTICE)


@dataclass(frozen=True)
class Row:
    """A line of the page. What is theirs runs from low to high, the same number twice where it is one value; either
    may be infinite. allowed is in the unit, or a share of theirs where `relative`."""

    file: str
    order: tuple[int, int]
    case: str
    source: str
    kind: str
    ours: float
    low: float
    high: float
    allowed: float
    relative: bool
    unit: str

    @property
    def difference(self) -> float:
        """How far ours lies outside theirs, in the unit."""
        return max(self.low - self.ours, self.ours - self.high, 0.0)

    @property
    def scale(self) -> float:
        """What a relative difference is relative to: the nearest of theirs."""
        return abs(self.low if self.ours <= self.low or not math.isfinite(self.high) else self.high)

    @property
    def allowed_in_unit(self) -> float:
        """How far ours may lie outside theirs, in the unit."""
        return self.allowed * self.scale if self.relative else self.allowed

    @property
    def share(self) -> float:
        """Difference over what is allowed: 1 is the last that passes. A band without allowance has 0 inside."""
        if self.difference == 0.0:
            return 0.0
        return self.difference / self.allowed_in_unit if self.allowed_in_unit else math.inf

    def as_plain(self) -> dict[str, Any]:
        """As it goes from a worker to the one that gathers."""
        return asdict(self)

    @classmethod
    def from_plain(cls, plain: dict[str, Any]) -> Row:
        """Back from a worker."""
        return cls(**{**plain, "order": tuple(plain["order"])})


@dataclass(frozen=True)
class Agrees:
    """The checks of one test. file: the test's file; record: takes each row; first: where the test stands among all."""

    file: str
    record: Callable[[Row], None]
    next_order: Callable[[], tuple[int, int]]

    def __call__(
        self,
        case: str,
        source: Source,
        ours: SupportsFloat,
        theirs: SupportsFloat,
        allowed: float | None = None,
        unit: str = "",
        *,
        allowed_abs: float | None = None,
    ) -> None:
        """Ours must be theirs within `allowed`, a share of theirs, or within `allowed_abs`, in the unit.

        case: what is compared, once in a file. Raises AssertionError, after the row is written down.
        """
        if (allowed is None) == (allowed_abs is None):
            raise TypeError("one of allowed and allowed_abs")
        value = float(theirs)
        if not math.isfinite(value):
            raise AssertionError(f"{case}: theirs is {value}")
        self._check(case, source, float(ours), value, value, allowed, allowed_abs, unit)

    def within(
        self,
        case: str,
        source: Source,
        ours: SupportsFloat,
        low: SupportsFloat,
        high: SupportsFloat,
        unit: str = "",
        *,
        allowed: float = 0.0,
    ) -> None:
        """Ours must lie from low to high, either of which may be infinite; `allowed`, a share of the end it is past."""
        if not float(low) <= float(high):
            raise TypeError("low is above high")
        self._check(case, source, float(ours), float(low), float(high), allowed, None, unit)

    def _check(
        self,
        case: str,
        source: Source,
        ours: float,
        low: float,
        high: float,
        part: float | None,
        absolute: float | None,
        unit: str,
    ) -> None:
        for text in (case, source.text, unit):
            if "|" in text or "\n" in text:
                raise TypeError(f"a bar or a line's end would break the page's table: {text!r}")
        allowed = float(part if part is not None else absolute or 0.0)
        row = Row(
            self.file, self.next_order(), case, source.text, source.kind.value, ours, low, high, allowed,
            part is not None, unit,
        )  # fmt: skip
        if not math.isfinite(ours):
            raise AssertionError(f"{case}: ours is {ours}")
        self.record(row)
        if row.share > 1.0:
            theirs = f"{low:.9g}" if low == high else f"{low:.9g} to {high:.9g}"
            raise AssertionError(
                f"{case}: ours {ours:.9g} {unit}, theirs {theirs} {unit} ({source.kind.value}: {source.text}); "
                f"{row.difference:.3g} {unit} apart, {row.allowed_in_unit:.3g} {unit} allowed"
            )
