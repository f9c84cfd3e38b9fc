"""A performer flown along a path by several drives at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from profiles import Motion, Path, flown
from sim.rig.point import Vector


@dataclass(frozen=True, eq=False)
class Flight:
    """The path of a performer's suspension point and the progress along it (m against s).

    leads_from: for every drive, the last place its line comes from, less where its end sits on the performer.
    """

    performer: str
    path: Path
    progress: Motion
    leads_from: Mapping[str, Vector]

    def motion(self, drive: str, progress: Motion | None = None) -> Motion:
        """Line a drive pays out for it, or for another progress along the same path."""
        return flown(self.path, progress or self.progress, self.leads_from[drive])

    def under_way(self, time_s: float) -> bool:
        """Whether the performer is being flown at that time."""
        return self.progress.start_s <= time_s < self.progress.end_s
