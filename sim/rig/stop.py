"""What a stop is: which drives, how, when. Categories as in IEC 60204-1. And a failure, with the stop that follows."""

from __future__ import annotations

from dataclasses import dataclass

from sim.rig.failure import Failure
from sim.rig.hands import Order


@dataclass(frozen=True)
class StopOrder:
    """category 0: power off and brake; 1: slowed down, then brake and power off; 2: slowed down and held under power.

    time_s None: at every instant. drives: the ones that stop. A failure is an order of its own: the stop that follows
    it comes at the same instant. hands: what people do, instead of category; both None: the moves go on.
    """

    name: str
    category: int | None
    time_s: float | None
    drives: tuple[str, ...]
    deceleration_m_s2: float | None = None
    jerk_m_s3: float | None = None
    failure: Failure | None = None
    along_path: bool = False
    """Drives that fly a performer slow down together, along the path."""
    during: StopOrder | None = None
    """The stop that is under way already, made at its own instant."""
    restart_after_s: float | None = None
    """After a controlled stop: how long the drives stand before they go on to where their moves would have ended."""
    hands: Order | None = None

    @property
    def kind(self) -> str:
        """Category 2 is a stop but never an emergency stop: its case is a working one; a failure's never is."""
        return "working" if self.category == 2 and self.failure is None else "emergency"
