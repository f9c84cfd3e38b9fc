"""Cords that slide freely over their places with one tension all along: what the physics engine's tendons are.

No sheave turns, so there is nothing but bodies: the least that SciPy or CVODE can be given of these rigs. Hooke's law
and Newton's, any mechanics textbook; in numpy and compiled. State: places, speeds.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numba
import numpy as np
from typing_extensions import override

from tests.benchmarks.equations.problem import Floats, Problem, paid_out_m, piece
from tests.outside.reference.motion import PaidOut
from tests.outside.reference.scene import G_M_S2, Scene


@numba.njit(cache=True, error_model="numpy")
def massless_rates(t, y, out, spans, firsts, stiffness_N, drives, mass_kg, fixed, work):
    """The rates of all states. drives: from when, unstretched length then, its speed, half its acceleration."""
    m, count = len(mass_kg), len(fixed)
    for k in range(3 * m):
        out[k] = y[3 * m + k]
        out[3 * m + k] = -9.80665 if k % 3 == 2 else 0.0
    for c in range(len(stiffness_N)):
        total = 0.0
        for i in range(firsts[c], firsts[c + 1]):
            square = 0.0
            for k in range(3):
                at_a = fixed[spans[i, 0], k] if spans[i, 0] < count else y[3 * (spans[i, 0] - count) + k]
                at_b = fixed[spans[i, 1], k] if spans[i, 1] < count else y[3 * (spans[i, 1] - count) + k]
                work[i, k] = at_b - at_a
                square += (at_b - at_a) ** 2
            work[i, 3] = np.sqrt(square)
            total += work[i, 3]
        since = t - drives[c, 0]
        length = drives[c, 1] + since * (drives[c, 2] + since * drives[c, 3])
        tension = stiffness_N[c] * max(0.0, total / length - 1.0)
        for i in range(firsts[c], firsts[c + 1]):
            for side in range(2):
                b = spans[i, side] - count
                if b >= 0:
                    pull = tension / mass_kg[b] / work[i, 3] * (1.0 if side == 0 else -1.0)
                    for k in range(3):
                        out[3 * m + 3 * b + k] += pull * work[i, k]


class Massless(Problem):
    """A scene, with the motions that pay out its cords (the lengths are the scene's own)."""

    def __init__(self, scene: Scene, motions: dict[str, PaidOut]) -> None:
        names = [*scene.fixed, *scene.masses]
        self.scene, self.motions = scene, [motions[name] for name in scene.cords]
        self.cords = list(scene.cords.values())
        self.fixed = np.array(list(scene.fixed.values()), float).reshape(-1, 3)
        self.mass_kg = np.array([kg for kg, _ in scene.masses.values()])
        routes = [[names.index(place) for place in cord.through] for cord in self.cords]
        self.spans = np.array([pair for route in routes for pair in pairwise(route)])
        self.firsts = np.concatenate(([0], np.cumsum([len(route) - 1 for route in routes])))
        self.of_cord = np.repeat(np.arange(len(routes)), np.diff(self.firsts))
        self.stiffness_N = np.array([cord.stretch_stiffness_N for cord in self.cords])
        self.wound = [self._wound(cord.unstretched_m, m) for cord, m in zip(self.cords, self.motions, strict=True)]
        self.drives, self.work = np.zeros((len(routes), 4)), np.zeros((len(self.spans), 4))
        rest = np.array([place for _, place in scene.masses.values()], float).ravel()
        self.start = np.concatenate((rest, np.zeros_like(rest)))
        weight, length = float(self.mass_kg[0]) * G_M_S2, max(cord.unstretched_m(0.0) for cord in self.cords)
        stretch = weight * length / float(self.stiffness_N[0])
        self.scale = np.repeat((stretch, np.sqrt(weight * stretch / self.mass_kg[0])), len(rest))
        self.end_s = scene.duration_s
        self.corner_s = tuple(sorted({t for m in self.motions for t in m.corner_s if 0.0 < t < self.end_s}))
        self.lines = tuple(scene.cords)

    @staticmethod
    def _wound(unstretched_m: Any, motion: PaidOut) -> float:
        """Metres of unstretched line that a metre at the rim is: read off the scene."""
        late = motion.corner_s[-1] + 1.0
        return (unstretched_m(late) - unstretched_m(0.0)) / motion.position_m(late)

    @override
    def begin(self, time_s: float, y: Floats) -> None:
        for c, (motion, cord, wound) in enumerate(zip(self.motions, self.cords, self.wound, strict=True)):
            speed, acceleration = piece(motion, time_s + 1e-12)
            self.drives[c] = time_s, cord.unstretched_m(time_s), speed * wound, 0.5 * acceleration * wound

    @override
    def compiled(self) -> tuple[Any, tuple[Any, ...]]:
        tables = (self.spans, self.firsts, self.stiffness_N, self.drives, self.mass_kg, self.fixed, self.work)
        return massless_rates, tables

    @override
    def numpy_rates(self, time_s: float, y: Floats) -> Floats:
        half = len(y) // 2
        at = np.concatenate((self.fixed, y[:half].reshape(-1, 3)))
        along = at[self.spans[:, 1]] - at[self.spans[:, 0]]
        length = np.sqrt((along * along).sum(axis=1))
        since = time_s - self.drives[:, 0]
        unstretched = self.drives[:, 1] + since * (self.drives[:, 2] + since * self.drives[:, 3])
        whole = np.add.reduceat(length, self.firsts[:-1])
        tension = self.stiffness_N * np.maximum(0.0, whole / unstretched - 1.0)
        pulls = (tension[self.of_cord] / length)[:, None] * along
        force = np.zeros_like(at)
        np.add.at(force, self.spans[:, 0], pulls)
        np.add.at(force, self.spans[:, 1], -pulls)
        fall = force[len(self.fixed) :] / self.mass_kg[:, None]
        fall[:, 2] -= G_M_S2
        return np.concatenate((y[half:], fall.ravel()))

    def lengths_m(self, time_s: Floats) -> Floats:
        """Unstretched lengths (cords, n) at times."""
        each = zip(self.cords, self.motions, self.wound, strict=True)
        return np.array([cord.unstretched_m(0.0) + wound * paid_out_m(motion, time_s) for cord, motion, wound in each])

    @override
    def tensions_N(self, time_s: Floats, y: Floats) -> Floats:
        return self.tensions_of(self.lengths_m(time_s), y)

    def tensions_of(self, lengths_m: Floats, y: Floats) -> Floats:
        """Tensions (cords, n) of unstretched lengths (cords, n) and states (states, n)."""
        count = len(self.fixed)

        def at(place: int) -> Floats:
            return y[3 * (place - count) :][:3] if place >= count else self.fixed[place][:, None]

        length = np.array([np.sqrt(((at(b) - at(a)) ** 2).sum(axis=0)) + np.zeros(y.shape[1]) for a, b in self.spans])
        whole = np.add.reduceat(length, self.firsts[:-1], axis=0)
        return self.stiffness_N[:, None] * np.maximum(0.0, whole / lengths_m - 1.0)

    @override
    def height_m(self, y: Floats) -> Floats:
        return y[2]
