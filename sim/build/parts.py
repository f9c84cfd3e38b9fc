"""What has been built of a rig so far; used by the builders only and thrown away."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from sim.results.drawn import DrawnPoint
from sim.rig.line import Line
from sim.rig.performer import Performer
from sim.rig.point import Floor, Point, Spring, Vector
from sim.rig.sheave import Sheave
from sim.rig.stop import StopOrder
from sim.rig.winch import Winch


@dataclass
class Parts:
    """Growing lists, and for every name of a place the point it is on and how far from it."""

    points: dict[str, Point] = field(default_factory=dict)
    on: dict[str, str] = field(default_factory=dict)
    offset: dict[str, Vector] = field(default_factory=dict)
    lines: list[Line] = field(default_factory=list)
    sheaves: list[Sheave] = field(default_factory=list)
    drives: list[Winch] = field(default_factory=list)
    springs: list[Spring] = field(default_factory=list)
    floors: list[Floor] = field(default_factory=list)
    performers: list[Performer] = field(default_factory=list)
    stops: list[StopOrder] = field(default_factory=list)
    drawn: list[DrawnPoint] = field(default_factory=list)
    assumptions: list[str] = field(default_factory=list)
    sentences: list[str] = field(default_factory=list)

    def add(self, point: Point) -> None:
        """A new point under its own name."""
        self.points[point.name] = point
        self.on[point.name] = point.name

    def add_mass(self, point: str, mass_kg: float) -> None:
        """More mass on a point."""
        old = self.points[point]
        self.points[point] = replace(old, mass_kg=old.mass_kg + mass_kg)

    def position(self, name: str) -> Vector:
        """Where a named place is at the start."""
        p, o = self.points[self.on[name]].position_m, self.offset.get(name, (0.0, 0.0, 0.0))
        return (p[0] + o[0], p[1] + o[1], p[2] + o[2])

    def assume(self, sentence: str) -> None:
        """Write an assumption down, once."""
        if sentence not in self.assumptions:
            self.assumptions.append(sentence)
