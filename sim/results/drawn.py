"""The rig to scale, as a result has it for drawing: points and lines at the start, and what moves with what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class DrawnPoint:
    """A point of the rig drawing. kind: performer, body, sheave, bar, anchor, mount, drive, junction, counterweight."""

    name: str
    kind: str
    position_m: tuple[float, float, float]
    size_m: float = 0.0


@dataclass(frozen=True)
class DrawnLine:
    """A line of the rig drawing: its name, the names of the points it passes and their positions in order."""

    name: str
    through: tuple[str, ...]
    path_m: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True)
class Carried:
    """What a place of the drawing moves with: the name of its columns in a trace, and how far from that it is (m)."""

    by: str
    offset_m: tuple[float, float, float] = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Drawing:
    """The rig to scale at the start, for drawing; paths_m: where the performers go in the planned move, if anywhere.

    carried: of each place that moves, what it moves with; a place that is not in it stands still.
    """

    points: tuple[DrawnPoint, ...]
    lines: tuple[DrawnLine, ...]
    floor_m: float | None
    paths_m: Mapping[str, tuple[tuple[float, float, float], ...]] = field(default_factory=dict)
    water_m: float | None = None
    carried: Mapping[str, Carried] = field(default_factory=dict)
