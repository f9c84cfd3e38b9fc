"""What a stop is: which drives, how, when. Categories as in IEC 60204-1."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class StopOrder:
    """category 0: power off and brake; 1: slowed down, then brake and power off; 2: slowed down and held under power.

    time_s None: at every instant. drives: the ones that stop.
    """

    name: str
    category: int
    time_s: float | None
    drives: tuple[str, ...]
    deceleration_m_s2: float | None = None
    jerk_m_s3: float | None = None

    @property
    def kind(self) -> str:
        """Category 2 is a stop but never an emergency stop: its case is a working one."""
        return "working" if self.category == 2 else "emergency"
