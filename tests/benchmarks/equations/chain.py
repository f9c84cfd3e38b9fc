"""A hanging line with mass as bodies in a row with springs between, as the physics engine has it; numpy and compiled.

Seen from the drive's end, which stands still: while the drive speeds up or slows down every mass weighs otherwise
(mechanics textbooks, accelerated frames). State: how far each body has sunk below its unstretched place, and speeds.
"""

from __future__ import annotations

from typing import Any

import numba
import numpy as np
from typing_extensions import override

from tests.benchmarks.equations.problem import Floats, Problem
from tests.outside.reference.line_with_mass import G_M_S2, HangingLine


@numba.njit(cache=True, error_model="numpy")
def chain_rates(t, y, out, spring_N_m, mass_kg, weight):
    """The rates of all states. weight: one number, what a kilogram weighs in this leg."""
    n = len(mass_kg)
    above = spring_N_m * max(0.0, y[0])
    for i in range(n):
        below = spring_N_m * max(0.0, y[i + 1] - y[i]) if i + 1 < n else 0.0
        out[i] = y[n + i]
        out[n + i] = weight[0] - (above - below) / mass_kg[i]
        above = below


class Chain(Problem):
    """The rig's line in as many pieces as it says."""

    def __init__(self, rig: HangingLine) -> None:
        self.rig, piece = rig, rig.length_m / rig.pieces
        lump = rig.mass_kg_m * piece
        self.mass_kg = np.full(rig.pieces, lump)
        self.mass_kg[-1] = 0.5 * lump + rig.performer_kg
        self.spring_N_m = rig.stretch_stiffness_N / piece
        carried = np.cumsum(self.mass_kg[::-1])[::-1] * G_M_S2
        self.start = np.concatenate((np.cumsum(carried) / self.spring_N_m, np.zeros(rig.pieces)))
        stretch = rig.performer_kg * G_M_S2 / self.spring_N_m
        self.scale = np.repeat((stretch, rig.performer_kg * G_M_S2 / np.sqrt(self.spring_N_m * lump)), rig.pieces)
        self.weight = np.array([rig.weight_m_s2(0.0)])
        self.end_s, self.corner_s, self.lines = rig.duration_s, (rig.stop_s,), ("at the drive", "at the performer")

    @override
    def begin(self, time_s: float, y: Floats) -> None:
        self.weight[0] = self.rig.weight_m_s2(time_s + 1e-12)

    @override
    def compiled(self) -> tuple[Any, tuple[Any, ...]]:
        return chain_rates, (self.spring_N_m, self.mass_kg, self.weight)

    @override
    def numpy_rates(self, time_s: float, y: Floats) -> Floats:
        n = len(self.mass_kg)
        out = np.empty_like(y)
        out[:n] = y[n:]
        tension = self.spring_N_m * np.maximum(0.0, np.diff(y[:n], prepend=0.0))
        out[n:] = self.weight[0] - (tension - np.append(tension[1:], 0.0)) / self.mass_kg
        return out

    @override
    def tensions_N(self, time_s: Floats, y: Floats) -> Floats:
        n = len(self.mass_kg)
        return self.spring_N_m * np.maximum(0.0, np.array([y[0], y[n - 1] - y[n - 2]]))

    @override
    def height_m(self, y: Floats) -> Floats:
        return -y[len(self.mass_kg) - 1]
