"""Massless straight spans over sheaves that turn, in numpy and compiled: the physics of the program's own rigs.

Written from textbooks, as in tests/outside/reference/two_span_ode.py, which it agrees with (test_equations.py), but for
any number of cords in space and of bodies:

- span: EA * (length / unstretched - 1), never below zero (Hooke; a line cannot push);
- sheave: inertia / R^2 * dw/dt = tension out - tension in - friction (Euler's law for a turning disc);
- friction: journal friction on the pin load and a share of the mean tension (statics textbooks), at rest and sliding as
  two states;
- unstretched length flows at w / (1 + strain), mean of both sides (conservation of mass).

State: unstretched length of every span, rim speed of every sheave, speed of every drum, places, speeds.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numba
import numpy as np
from typing_extensions import override

from tests.benchmarks.equations.problem import Floats, Problem, piece
from tests.outside.reference.motion import PaidOut
from tests.outside.reference.scene import G_M_S2, Scene
from tests.outside.reference.two_span_ode import PowerOff

STUCK = 0.0
# How far beyond its capacity a contact at rest is pulled before it counts as given way, N: above a root's rounding.
GIVES_N = 1e-6
# Columns of the drives' table.
FROM_S, SPEED, ACCELERATION, WOUND, MOVING_KG, BRAKE_N, BRAKE_RISE, POWERED = range(8)


@dataclass(frozen=True)
class Sheaves:
    """What every sheave of a rig is: rim mass (inertia / R^2) kg, friction as in two_span_ode, weight N."""

    rim_kg: float
    journal: float = 0.0
    bending: float = 0.0
    weight_N: float = 0.0


@numba.njit(cache=True, error_model="numpy")
def _capacity(j, gates, rim, work):
    before, after = gates[j, 0], gates[j, 1]
    px = work[after, 0] * work[after, 2] - work[before, 0] * work[before, 2]
    py = work[after, 0] * work[after, 3] - work[before, 0] * work[before, 3]
    pz = work[after, 0] * work[after, 4] - work[before, 0] * work[before, 4] - rim[j, 3]
    pin = np.sqrt(px * px + py * py + pz * pz)
    return rim[j, 1] * pin + rim[j, 2] * 0.5 * (work[before, 0] + work[after, 0])


@numba.njit(cache=True, error_model="numpy")
def _spans(y, spans, stiffness_N, fixed, first_place, work):
    """Tension, strain and direction of every span into work."""
    count = len(fixed)
    for i in range(len(spans)):
        a, b = spans[i, 0], spans[i, 1]
        square = 0.0
        for k in range(3):
            at_a = fixed[a, k] if a < count else y[first_place + 3 * (a - count) + k]
            at_b = fixed[b, k] if b < count else y[first_place + 3 * (b - count) + k]
            work[i, 2 + k] = at_b - at_a
            square += (at_b - at_a) ** 2
        length = np.sqrt(square)
        strain = max(0.0, length / y[i] - 1.0)
        work[i, 0], work[i, 1] = stiffness_N[i] * strain, strain
        for k in range(3):
            work[i, 2 + k] /= length


@numba.njit(cache=True, error_model="numpy")
def turning_rates(t, y, out, spans, stiffness_N, gates, rim, modes, drives, firsts, mass_kg, fixed, work):
    """The rates of all states. modes: of every drum, then of every sheave; 0 where it stands."""
    n, g, c, m = len(spans), len(gates), len(drives), len(mass_kg)
    places, speeds = n + g + c, n + g + c + 3 * m
    _spans(y, spans, stiffness_N, fixed, places, work)
    out[:] = 0.0
    for d in range(c):
        i = firsts[d]
        if drives[d, 7] > 0.0:
            speed = drives[d, 1] + drives[d, 2] * (t - drives[d, 0])
        else:
            speed = y[n + g + d]
            brake_N = drives[d, 5] + drives[d, 6] * (t - drives[d, 0])
            out[n + g + d] = (work[i, 0] - brake_N * modes[d]) / drives[d, 4] if modes[d] != 0.0 else 0.0
        out[i] += speed * drives[d, 3]
    for j in range(g):
        before, after = gates[j, 0], gates[j, 1]
        flow = y[n + j] / (1.0 + 0.5 * (work[before, 1] + work[after, 1]))
        out[before] -= flow
        out[after] += flow
        mode = modes[c + j]
        if mode != 0.0:
            rubs = mode * _capacity(j, gates, rim, work) if rim[j, 1] + rim[j, 2] > 0.0 else 0.0
            out[n + j] = (work[after, 0] - work[before, 0] - rubs) / rim[j, 0]
    for k in range(3 * m):
        out[places + k] = y[speeds + k]
    for i in range(m):
        out[speeds + 3 * i + 2] = -9.80665
    count = len(fixed)
    for i in range(n):
        for side in range(2):
            b = spans[i, side] - count
            if b >= 0:
                pull = work[i, 0] / mass_kg[b] * (1.0 if side == 0 else -1.0)
                for k in range(3):
                    out[speeds + 3 * b + k] += pull * work[i, 2 + k]


@numba.njit(cache=True, error_model="numpy")
def turning_margins(t, y, margins, spans, stiffness_N, gates, rim, modes, drives, firsts, mass_kg, fixed, work):
    """Of every drum, then every sheave: falls through zero where it comes to rest, or gives way."""
    n, g, c = len(spans), len(gates), len(drives)
    _spans(y, spans, stiffness_N, fixed, n + g + c, work)
    for d in range(c):
        brake_N = drives[d, 5] + drives[d, 6] * (t - drives[d, 0])
        held = brake_N - abs(work[firsts[d], 0]) + 1e-6
        margins[d] = 1.0 if drives[d, 7] > 0.0 else (y[n + g + d] * modes[d] if modes[d] != 0.0 else held)
    for j in range(g):
        pull = work[gates[j, 1], 0] - work[gates[j, 0], 0]
        held = _capacity(j, gates, rim, work) - abs(pull) + 1e-6
        margins[c + j] = y[n + j] * modes[c + j] if modes[c + j] != 0.0 else held


class Turning(Problem):
    """A scene whose cords run over sheaves of one kind, each from its own drive (the first place of its route)."""

    def __init__(
        self, scene: Scene, motions: dict[str, PaidOut], sheaves: Sheaves, off: PowerOff | None = None
    ) -> None:
        names = [*scene.fixed, *scene.masses]
        self.fixed = np.array(list(scene.fixed.values()), float)
        at = np.array([*scene.fixed.values(), *(place for _, place in scene.masses.values())], float)
        self.mass_kg = np.array([kg for kg, _ in scene.masses.values()])
        spans, gates, firsts, stiffness, lengths, drives = [], [], [], [], [], []
        for cord in scene.cords.values():
            route = [names.index(place) for place in cord.through]
            way = [float(np.linalg.norm(at[b] - at[a])) for a, b in pairwise(route)]
            strain = sum(way) / cord.unstretched_m(0.0) - 1.0
            firsts.append(len(spans))
            gates += [(len(spans) + i, len(spans) + i + 1) for i in range(len(way) - 1)]
            spans += list(pairwise(route))
            stiffness += [cord.stretch_stiffness_N] * len(way)
            lengths += [x / (1.0 + strain) for x in way]
            drives.append([0.0, 0.0, 0.0, 1.0 / (1.0 + strain), off.moving_kg if off else np.inf, 0.0, 0.0, 1.0])
        self.spans, self.gates, self.firsts = np.array(spans), np.array(gates).reshape(-1, 2), np.array(firsts)
        self.stiffness_N, self.drives = np.array(stiffness), np.array(drives)
        kind = (sheaves.rim_kg, sheaves.journal, sheaves.bending, sheaves.weight_N)
        self.rim = np.array([kind] * len(gates)).reshape(-1, 4)
        self.rubs = bool(sheaves.journal or sheaves.bending)
        self.modes = np.ones(len(firsts) + len(gates))
        self.work = np.zeros((len(spans), 5))
        self.scene, self.motions, self.off = scene, [motions[name] for name in scene.cords], off
        still = np.zeros(len(gates) + len(firsts))
        rest = at[len(self.fixed) :].ravel()
        self.start = np.concatenate((lengths, still, rest, np.zeros_like(rest)))
        self.scale = self._scale(np.array(lengths), len(rest))
        self.end_s = scene.duration_s
        known = {t for motion in self.motions for t in motion.corner_s} | set(off.corners_s if off else ())
        self.corner_s = tuple(sorted(t for t in known if 0.0 < t < self.end_s))
        self.lines = tuple(
            f"{name}: {a} -> {b}" for name, cord in scene.cords.items() for a, b in pairwise(cord.through)
        )
        self.contacts = len(self.modes) if self.rubs or off else 0

    def _scale(self, lengths: Floats, coordinates: int) -> Floats:
        weight = float(self.mass_kg[0]) * G_M_S2
        stretch = lengths * weight / self.stiffness_N
        stiff = self.stiffness_N / lengths
        rims = [weight / np.sqrt(stiff[a] * kg) for (a, _), kg in zip(self.gates, self.rim[:, 0], strict=True)]
        speed = weight / np.sqrt(stiff.min() * self.mass_kg[0])
        drums = [speed] * len(self.firsts)
        return np.concatenate((stretch, rims, drums, np.full(coordinates, stretch.max()), np.full(coordinates, speed)))

    def _layout(self) -> tuple[int, int, int]:
        n, g = len(self.spans), len(self.gates)
        return n, n + g, n + g + len(self.drives)

    @override
    def begin(self, time_s: float, y: Floats) -> None:
        n, drums, _ = self._layout()
        now = time_s + 1e-12
        for d, motion in enumerate(self.motions):
            self.drives[d, :3] = time_s, *piece(motion, now)
            if self.off and now >= self.off.at_s:
                if self.drives[d, POWERED]:
                    y[drums + d] = motion.speed(self.off.at_s)
                rising = self.off.corners_s[1] <= now < self.off.corners_s[2]
                self.drives[d, BRAKE_N], self.drives[d, POWERED] = self.off.brake(time_s), 0.0
                self.drives[d, BRAKE_RISE] = self.off.brake_N / self.off.rise_s if rising else 0.0
            elif self.off:
                self.drives[d, POWERED] = 1.0
        if not self.contacts:
            return
        c = len(self.drives)
        speeds = np.concatenate((y[drums : drums + c], y[n:drums]))
        for i, (margin, pull) in enumerate(zip(*self._at_rest(time_s, y), strict=True)):
            gives = np.sign(pull) if margin <= GIVES_N else STUCK
            self.modes[i] = np.sign(speeds[i]) if speeds[i] else gives

    def _at_rest(self, time_s: float, y: Floats) -> tuple[Floats, Floats]:
        """If all stood still: what is left of each contact's capacity, and what pulls at it."""
        modes = self.modes.copy()
        self.modes[:] = STUCK
        left = self.margins(time_s, y, in_numpy=False)
        self.modes[:] = modes
        tension = self.work[:, 0]
        return left, np.concatenate((tension[self.firsts], tension[self.gates[:, 1]] - tension[self.gates[:, 0]]))

    @override
    def compiled(self) -> tuple[Any, tuple[Any, ...]]:
        tables = (self.spans, self.stiffness_N, self.gates, self.rim, self.modes, self.drives, self.firsts)
        return turning_rates, (*tables, self.mass_kg, self.fixed, self.work)

    def _ropes(self, y: Floats) -> tuple[Floats, Floats]:
        """Strains and directions of every span, in numpy."""
        _, _, places = self._layout()
        at = np.concatenate((self.fixed, y[places : places + 3 * len(self.mass_kg)].reshape(-1, 3)))
        along = at[self.spans[:, 1]] - at[self.spans[:, 0]]
        length = np.sqrt((along * along).sum(axis=1))
        return np.maximum(0.0, length / y[: len(self.spans)] - 1.0), along / length[:, None]

    def _capacities(self, tension: Floats, along: Floats) -> Floats:
        before, after = self.gates.T
        pin = tension[after, None] * along[after] - tension[before, None] * along[before]
        pin[:, 2] -= self.rim[:, 3]
        mean = 0.5 * (tension[before] + tension[after])
        return self.rim[:, 1] * np.sqrt((pin * pin).sum(axis=1)) + self.rim[:, 2] * mean

    @override
    def numpy_rates(self, time_s: float, y: Floats) -> Floats:
        n, drums, places = self._layout()
        c, m = len(self.drives), len(self.mass_kg)
        strain, along = self._ropes(y)
        tension = self.stiffness_N * strain
        before, after = self.gates.T
        out = np.zeros_like(y)
        since = time_s - self.drives[:, FROM_S]
        powered = self.drives[:, POWERED] > 0.0
        profile = self.drives[:, SPEED] + self.drives[:, ACCELERATION] * since
        out[self.firsts] = np.where(powered, profile, y[drums:places]) * self.drives[:, WOUND]
        flow = y[n:drums] / (1.0 + 0.5 * (strain[before] + strain[after]))
        out[before] -= flow
        out[after] += flow
        pull = tension[after] - tension[before]
        if self.rubs:
            pull = np.where(self.modes[c:] == STUCK, 0.0, pull - self.modes[c:] * self._capacities(tension, along))
        out[n:drums] = pull / self.rim[:, 0]
        if self.off:
            brake = self.drives[:, BRAKE_N] + self.drives[:, BRAKE_RISE] * since
            turned = (tension[self.firsts] - brake * self.modes[:c]) / self.drives[:, MOVING_KG]
            out[drums:places] = np.where(powered | (self.modes[:c] == STUCK), 0.0, turned)
        out[places : places + 3 * m] = y[places + 3 * m :]
        force = np.zeros((len(self.fixed) + m, 3))
        pulls = tension[:, None] * along
        np.add.at(force, self.spans[:, 0], pulls)
        np.add.at(force, self.spans[:, 1], -pulls)
        fall = force[len(self.fixed) :] / self.mass_kg[:, None]
        fall[:, 2] -= G_M_S2
        out[places + 3 * m :] = fall.ravel()
        return out

    @override
    def margins(self, time_s: float, y: Floats, *, in_numpy: bool) -> Floats:
        c = len(self.drives)
        if not in_numpy:
            out = np.empty(len(self.modes))
            turning_margins(time_s, y, out, *self.compiled()[1])
            return out
        n, drums, places = self._layout()
        strain, along = self._ropes(y)
        tension = self.stiffness_N * strain
        pulls = np.concatenate((tension[self.firsts], tension[self.gates[:, 1]] - tension[self.gates[:, 0]]))
        brake = self.drives[:, BRAKE_N] + self.drives[:, BRAKE_RISE] * (time_s - self.drives[:, FROM_S])
        held = np.concatenate((brake, self._capacities(tension, along))) - np.abs(pulls) + GIVES_N
        speeds = np.concatenate((y[drums:places], y[n:drums]))
        out = np.where(self.modes == STUCK, held, speeds * self.modes)
        out[:c][self.drives[:, POWERED] > 0.0] = 1.0
        return out

    @override
    def ended(self, contact: int, y: Floats) -> None:
        n, drums, _ = self._layout()
        c = len(self.drives)
        if self.modes[contact] != STUCK:
            y[drums + contact if contact < c else n + contact - c] = 0.0

    @override
    def tensions_N(self, time_s: Floats, y: Floats) -> Floats:
        places, count = self._layout()[2], len(self.fixed)

        def at(place: int) -> Floats:
            return y[places + 3 * (place - count) :][:3] if place >= count else self.fixed[place][:, None]

        length = np.array([np.sqrt(((at(b) - at(a)) ** 2).sum(axis=0)) + np.zeros(y.shape[1]) for a, b in self.spans])
        return self.stiffness_N[:, None] * np.maximum(0.0, length / y[: len(self.spans)] - 1.0)

    @override
    def height_m(self, y: Floats) -> Floats:
        return y[self._layout()[2] + 2]
