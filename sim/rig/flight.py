"""A performer flown along a path by several drives at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from profiles import Motion, Path, flown, flown_stopped, stopped
from sim.rig.point import Vector


@dataclass(frozen=True, eq=False)
class Flight:
    """The path of a performer's suspension point and the progress along it (m against s).

    move: its place among the moves of the scenario. leads_from: for every drive, the last place its line comes from,
    less where its end sits on the performer.
    """

    move: int
    performer: str
    path: Path
    progress: Motion
    leads_from: Mapping[str, Vector]

    def motion(self, drive: str) -> Motion:
        """Line a drive pays out for it."""
        return flown(self.path, self.progress, self.leads_from[drive])

    def under_way(self, time_s: float) -> bool:
        """Whether the performer is on its way at that time."""
        return self.progress.start_s < time_s < self.progress.end_s

    def stopped(self, time_s: float, deceleration_m_s2: float, jerk_m_s3: float | None) -> Flight:
        """The same flight stopped along its path; the deceleration is the performer's along it."""
        return replace(self, progress=stopped(self.progress, time_s, deceleration_m_s2, jerk_m_s3))

    def motion_stopped(self, drive: str, planned: Motion, time_s: float) -> Motion:
        """What a drive does where this flight was stopped at time_s; up to then as planned."""
        return flown_stopped(self.path, self.progress, self.leads_from[drive], planned, time_s)
