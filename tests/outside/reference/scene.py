"""A rig as any general package can take it: places, masses, and cords that are massless, linear and only pull.

A cord of unstretched length s and stiffness EA pulls with EA * (length / s - 1) when longer than s (Hooke). It slides
freely over the places of its route. This is all the packages have in common with a rig; what they cannot represent is
said in their own modules.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tests.outside.reference.motion import PaidOut
from tests.outside.reference.peaks import first_peak, largest

Floats = NDArray[np.float64]
Place = tuple[float, float, float]
G_M_S2 = 9.80665
STEP_S = 2e-4


@dataclass(frozen=True)
class Cord:
    """EA (N), the places it runs through, its unstretched length (m) in time, and when it parts."""

    stretch_stiffness_N: float
    through: tuple[str, ...]
    unstretched_m: Callable[[float], float]
    parts_s: float = math.inf

    def spring(self, time_s: float) -> tuple[float, float]:
        """Stiffness (N/m) and unstretched length (m) at a time."""
        length = self.unstretched_m(time_s)
        return (self.stretch_stiffness_N / length if time_s < self.parts_s else 0.0), length


@dataclass(frozen=True)
class Scene:
    """Fixed places, masses (kg) at their first places with no speed, cords; gravity along -z."""

    fixed: Mapping[str, Place]
    masses: Mapping[str, tuple[float, Place]]
    cords: Mapping[str, Cord]
    duration_s: float
    step_s: float = STEP_S
    gravity_m_s2: float = G_M_S2


@dataclass(frozen=True)
class Histories:
    """What a package found, at every step: the masses' places (n, 3), and by Hooke the cords' tensions."""

    scene: Scene
    time_s: Floats
    place_m: Mapping[str, Floats]
    tension_N: Mapping[str, Floats] = field(init=False)

    def __post_init__(self) -> None:
        found = {}
        for name, cord in self.scene.cords.items():
            way = [self._at(place) for place in cord.through]
            length = sum(np.linalg.norm(b - a, axis=1) for a, b in pairwise(way))
            springs = np.array([cord.spring(t) for t in self.time_s.tolist()])
            found[name] = np.maximum(0.0, springs[:, 0] * (length - springs[:, 1]))
        object.__setattr__(self, "tension_N", found)

    def _at(self, name: str) -> Floats:
        if name in self.place_m:
            return self.place_m[name]
        return np.tile(np.array(self.scene.fixed[name]), (len(self.time_s), 1))

    def largest(self, cord: str, from_s: float = 0.0, to_s: float = np.inf) -> tuple[float, float]:
        """Largest tension of a cord within a time and when: (N, s)."""
        return largest(self.time_s, self.tension_N[cord], from_s, to_s)

    def first_peak(self, cord: str, after_s: float = 0.0) -> tuple[float, float]:
        """First peak of a cord's tension after a time: (N, s)."""
        return first_peak(self.time_s, self.tension_N[cord], after_s)

    def at(self, name: str, axis: int, time_s: float) -> float:
        """A mass's coordinate at a time, m."""
        return float(np.interp(time_s, self.time_s, self.place_m[name][:, axis]))


@dataclass(frozen=True)
class CounterweightHistory:
    """Two hanging masses over a turning sheave: tensions on both sides (N), how far each has risen (m)."""

    time_s: Floats
    performer_tension_N: Floats
    counterweight_tension_N: Floats
    performer_rise_m: Floats
    counterweight_rise_m: Floats


def paid_out_by(motion: PaidOut, at_start_m: float, strain_as_wound: float = 0.0) -> Callable[[float], float]:
    """Unstretched length between drive and far end: what was there plus what the rim paid out, less its strain."""
    return lambda time_s: at_start_m + motion.position_m(time_s) / (1.0 + strain_as_wound)
