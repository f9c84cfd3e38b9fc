"""A place where line ends, turns or is tied."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Vector = tuple[float, float, float]
Start = Literal["fixed", "moving", "held", "standing"]


@dataclass(frozen=True)
class Point:
    """A point of the rig. `fixed` never moves; `held` is let go at release_s; `standing` leaves when line lifts it.

    mass_kg is the point's own, without line; a drag_area_m2 is drag coefficient times area; guide: a unit vector, the
    only direction it moves in.
    """

    name: str
    position_m: Vector
    start: Start = "fixed"
    mass_kg: float = 0.0
    release_s: float | None = None
    guide: Vector | None = None
    drag_area_m2: float = 0.0
    guess: bool = False
    """The position is a first guess that the equilibrium may move freely."""


@dataclass(frozen=True)
class Spring:
    """A linear spring and damper in every direction: a mount (other None, resting at `rest_m`) or a lagging mass.

    It carries, at rest, whatever the point needs to stay where it was put.
    """

    name: str
    point: str
    other: str | None
    rest_m: Vector
    stiffness_N_per_m: float
    damping_N_s_per_m: float


@dataclass(frozen=True)
class Floor:
    """The floor below one point: one-sided spring, damper limited to the spring force, dashpot along the floor."""

    point: str
    below_m: float
    level_m: float
    stiffness_N_per_m: float
    damping_time_s: float
    along_N_s_per_m: float
