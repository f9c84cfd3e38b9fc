"""A single failure: one thing in the rig that is not as it should be, or breaks while it is used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "parted line",
    "lost point",
    "snag",
    "late brake",
    "weak brake",
    "no brake",
    "overspeed",
    "wrong trim",
    "late team",
    "short team",
    "slipping hands",
    "let go",
]

HAPPENS: frozenset[str] = frozenset(("parted line", "lost point", "snag", "let go"))
"""The kinds that always happen at an instant."""


@dataclass(frozen=True)
class Failure:
    """of: the line, sheave, anchor, drive or counterweight that fails; at: the sheave where a line catches.

    by: how much, in SI or, where `is_share`, as a share of what it should be. which: the one of several ways it can be
    wrong ('heavier', 'one of 2 brakes'), '' where there is one only. from_start: an overspeed that a stop follows, so
    the drive runs too fast from its first move on, and the stop finds it so.
    """

    kind: Kind
    of: str
    at: str = ""
    by: float = 0.0
    is_share: bool = False
    which: str = ""
    from_start: bool = False

    @property
    def happens(self) -> bool:
        """Whether it happens at an instant of the run."""
        return self.kind in HAPPENS or (self.kind == "overspeed" and not self.from_start)

    def times_as_fast(self, top_speed_m_s: float) -> float:
        """How many times as fast as asked a drive runs whose moves reach this speed."""
        return 1.0 + (self.by if self.is_share else self.by / top_speed_m_s)
