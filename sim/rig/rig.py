"""The rig: points, lines, drives, and what of them is watched. Frozen, plain SI, names for people."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sim.results.drawn import DrawnPoint
from sim.rig.flight import Flight
from sim.rig.line import Line
from sim.rig.performer import Performer
from sim.rig.point import Floor, Point, Spring
from sim.rig.sheave import Sheave
from sim.rig.stop import StopOrder
from sim.rig.winch import Winch


class RigError(Exception):
    """A rig that cannot be built or cannot hang as described; `sentences` say why, each complete."""

    def __init__(self, sentences: list[str]) -> None:
        super().__init__("\n".join(sentences))
        self.sentences = sentences


@dataclass(frozen=True)
class Hardware:
    """A fitting in line with something else: at a line's end (`end`: the place's name) or under a sheave."""

    name: str
    holds: str
    end: str | None


@dataclass(frozen=True)
class Timing:
    """How long to run, how finely to sample, how exactly."""

    duration_s: float | None = None
    sample_rate_Hz: float = 2000.0
    tolerance: float = 1e-6


@dataclass(frozen=True, eq=False)
class Rig:
    """Everything the solver needs, by name. Compared by identity: two rigs are never mistaken for each other."""

    points: tuple[Point, ...]
    lines: tuple[Line, ...]
    sheaves: tuple[Sheave, ...] = ()
    drives: tuple[Winch, ...] = ()
    springs: tuple[Spring, ...] = ()
    floors: tuple[Floor, ...] = ()
    performers: tuple[Performer, ...] = ()
    hardware: tuple[Hardware, ...] = ()
    anchors: Mapping[str, str] = field(default_factory=dict)
    """Anchor name to the point it is on."""
    counterweights: tuple[str, ...] = ()
    junctions: tuple[str, ...] = ()
    gravity_m_s2: float = 9.80665
    air_kg_m3: float = 1.2
    floor_m: float | None = None
    water_m: float | None = None
    """The surface of open water: what clearance is measured from where it is higher than the floor. It bears nobody."""
    timing: Timing = Timing()
    stops: tuple[StopOrder, ...] = ()
    flights: tuple[Flight, ...] = ()
    clearance_m: float | None = None
    """The clearance that is asked for, if any: where judging begins after a standing start."""
    lands: bool = False
    """A touch-down is planned, so the last descent is judged by its landing speed."""
    drawn: tuple[DrawnPoint, ...] = ()
    assumptions: tuple[str, ...] = ()

    def point(self, name: str) -> Point:
        """The point of that name. Raises KeyError."""
        return next(p for p in self.points if p.name == name)

    def index(self, name: str) -> int:
        """Its place in the list of points."""
        return next(i for i, p in enumerate(self.points) if p.name == name)

    def line(self, name: str) -> Line:
        """The line of that name."""
        return next(x for x in self.lines if x.name == name)

    def sheave(self, name: str) -> Sheave | None:
        """The sheave of that name, or None."""
        return next((s for s in self.sheaves if s.name == name), None)

    def drive(self, name: str) -> Winch:
        """The drive of that name."""
        return next(d for d in self.drives if d.name == name)
