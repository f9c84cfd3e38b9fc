"""A rig at rest, solved without time: scipy.optimize only.

Two stages, so that a wrong start cannot end in a wrong answer:
1. the potential energy of straight elastic lines through frictionless points is minimised (principle of minimum
   potential energy, any mechanics textbook), each span's own weight lumped half and half to its ends;
2. from there, forces are balanced with every span an elastic catenary: H/T and (V - w s)/T integrated along the line
   (Irvine, Cable Structures, section 1.3, kept in integral form so that any stretch curve serves, and so that a
   hanging, a sloping and a level span are one case).

Frictionless: the tension is the same on both sides of every point a line passes. Lines run from point to point (no
tread radius). Lengths in m, forces in N, masses in kg.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize, root

Floats = NDArray[np.float64]
Law = Callable[[Any], Any] | float
"""Tension (N) at strains (a number or an array of them, above zero), or a number: EA of a linear line."""
G_M_S2 = 9.80665
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(40)
_NODES, _WEIGHTS = 0.5 * (_NODES + 1.0), 0.5 * _WEIGHTS


@dataclass(frozen=True)
class Line:
    """A line through named points.

    unstretched_m: of the whole line from first to last point. weight_N_m: per unstretched metre.
    """

    through: tuple[str, ...]
    tension_at: Law
    unstretched_m: float
    weight_N_m: float = 0.0


@dataclass(frozen=True)
class Description:
    """fixed: places of fixed points. free: (first guess of place, mass) of points that may move; a point may be
    carried by a free one at an offset: carried[name] = (carrier, offset). guided: free points moving vertically."""

    fixed: Mapping[str, tuple[float, float, float]]
    free: Mapping[str, tuple[tuple[float, float, float], float]]
    lines: Mapping[str, Line]
    carried: Mapping[str, tuple[str, tuple[float, float, float]]]
    guided: frozenset[str] = frozenset()
    gravity_m_s2: float = G_M_S2


@dataclass(frozen=True)
class Equilibrium:
    """places of all points; per line the tension at the start and end of each span; the force on each point from its
    lines (N, a vector); unstretched length of each span; residual: largest unbalanced force over largest tension."""

    places_m: Mapping[str, Floats]
    tension_N: Mapping[str, tuple[tuple[float, float], ...]]
    pull_N: Mapping[str, Floats]
    unstretched_m: Mapping[str, tuple[float, ...]]
    residual: float


class _Stretch:
    """Tension from strain and back, and stored energy per unstretched metre."""

    MOST, COUNT = 0.5, 100_001

    def __init__(self, law: Law) -> None:
        self.linear = None if callable(law) else float(law)
        self._law = law if callable(law) else (lambda strain: float(law) * strain)
        self._table = np.linspace(0.0, self.MOST, 2 if self.linear is not None else self.COUNT)
        self._at_table = np.asarray(self._law(self._table))

    def tension(self, strain: float) -> float:
        return float(self._law(strain)) if strain > 0.0 else 0.0

    def strain(self, tension: Floats) -> Floats:
        if self.linear is not None:
            return tension / self.linear
        if np.max(tension) > self._at_table[-1]:
            raise ValueError(f"{np.max(tension)} N is beyond a strain of {self.MOST}")
        return np.interp(tension, self._at_table, self._table)

    def energy_J_m(self, strain: float) -> float:
        if strain <= 0.0:
            return 0.0
        if self.linear is not None:
            return 0.5 * self.linear * strain**2
        return strain * float(np.sum(_WEIGHTS * self._law(strain * _NODES)))


@lru_cache(maxsize=64)
def _stretch(law: Law) -> _Stretch:
    return _Stretch(law)


def span_reach(
    horizontal_N: float, vertical_N: float, unstretched_m: float, weight_N_m: float, strain: Callable[[Floats], Floats]
) -> tuple[float, float]:
    """Where the far end of an elastic catenary is, seen from its start: (along, up) in m.

    horizontal_N, vertical_N: the line's pull on its start point, along and up (negative: the line hangs from its
    start).
    """
    rise = vertical_N + weight_N_m * unstretched_m * _NODES
    tension = np.hypot(horizontal_N, rise)
    stretched = (1.0 + strain(tension)) * unstretched_m * _WEIGHTS / tension
    return float(np.sum(stretched * horizontal_N)), float(np.sum(stretched * rise))


def span_pulls(along_m: float, up_m: float, unstretched_m: float, weight_N_m: float, law: Law) -> tuple[float, float]:
    """The pull (along, up) in N of an elastic catenary on its start point, its far end at (along, up).

    Raises ValueError when it cannot be found (a vertical span too slack to hang from both ends).
    """
    stretch = _stretch(law)
    direction = np.array([along_m, up_m]) / np.hypot(along_m, up_m)
    chord = float(np.hypot(along_m, up_m))
    if weight_N_m == 0.0:
        tension = stretch.tension(chord / unstretched_m - 1.0)
        return float(tension * direction[0]), float(tension * direction[1])
    weight = weight_N_m * unstretched_m
    taut = stretch.tension(chord / unstretched_m - 1.0)
    slack = max(unstretched_m / chord - 1.0, 0.0)
    parabola = weight * abs(direction[0]) / np.sqrt(24.0 * slack) if slack > 1e-9 else 0.0
    least = max(weight * abs(direction[0]) * 0.3, weight * abs(direction[1]) * 0.6, 1e-3)
    starts = [max(taut, least), max(parabola, least), max(weight * 3.0, least), least]

    def miss(pull: Floats) -> Floats:
        reach = span_reach(float(pull[0]), float(pull[1]), unstretched_m, weight_N_m, stretch.strain)
        return (np.array(reach) - (along_m, up_m)) / chord

    for tension in starts:
        guess = tension * direction - (0.0, 0.5 * weight)
        for method in ("hybr", "lm"):
            found = root(miss, guess, method=method, tol=1e-13)
            if float(np.max(np.abs(miss(found.x)))) < 1e-9:
                return float(found.x[0]), float(found.x[1])
    raise ValueError(f"no catenary of {unstretched_m} m between ends {chord} m apart")


class _Problem:
    def __init__(self, rig: Description) -> None:
        self.rig = rig
        self.free = list(rig.free)
        self.axes = [(name, axis) for name in self.free for axis in ((2,) if name in rig.guided else (0, 1, 2))]
        self.stretch = {name: _stretch(line.tension_at) for name, line in rig.lines.items()}
        self.spans = [(name, i) for name, line in rig.lines.items() for i in range(len(line.through) - 1)]

    def places(self, x: Floats) -> dict[str, Floats]:
        places = {name: np.array(at, dtype=float) for name, at in self.rig.fixed.items()}
        places |= {name: np.array(at, dtype=float) for name, (at, _) in self.rig.free.items()}
        for value, (name, axis) in zip(x, self.axes, strict=False):
            places[name][axis] = value
        return places | {name: places[carrier] + offset for name, (carrier, offset) in self.rig.carried.items()}

    def lengths(self, x: Floats) -> dict[tuple[str, int], float]:
        """Unstretched length per span: all but a line's last are unknowns, the last is what is left."""
        values = iter(x[len(self.axes) :])
        out: dict[tuple[str, int], float] = {}
        for name, line in self.rig.lines.items():
            left = line.unstretched_m
            for i in range(len(line.through) - 2):
                out[name, i] = float(next(values))
                left -= out[name, i]
            out[name, len(line.through) - 2] = left
        return out

    def start(self) -> Floats:
        x = [self.rig.free[name][0][axis] for name, axis in self.axes]
        places = self.places(np.array(x))
        for line in self.rig.lines.values():
            chords = [
                float(np.linalg.norm(places[b] - places[a]))
                for a, b in zip(line.through, line.through[1:], strict=False)
            ]
            x += [line.unstretched_m * chord / sum(chords) for chord in chords[:-1]]
        return np.array(x)

    def energy_J(self, x: Floats) -> float:
        """Potential energy with straight spans, their weight lumped to their ends."""
        places, lengths, total = self.places(x), self.lengths(x), 0.0
        if min(lengths.values()) <= 0.0:
            return 1e9
        for name, (_, mass) in self.rig.free.items():
            total += mass * self.rig.gravity_m_s2 * places[name][2]
        for (name, i), length in lengths.items():
            line = self.rig.lines[name]
            a, b = places[line.through[i]], places[line.through[i + 1]]
            strain = float(np.linalg.norm(b - a)) / length - 1.0
            total += length * self.stretch[name].energy_J_m(strain) + line.weight_N_m * length * 0.5 * float(
                a[2] + b[2]
            )
        return total

    def pulls(self, x: Floats) -> dict[tuple[str, int], tuple[Floats, Floats]]:
        """Each span's pull on its start and on its end, N."""
        places, lengths = self.places(x), self.lengths(x)
        out: dict[tuple[str, int], tuple[Floats, Floats]] = {}
        for (name, i), length in lengths.items():
            line = self.rig.lines[name]
            a, b = places[line.through[i]], places[line.through[i + 1]]
            level = np.array([b[0] - a[0], b[1] - a[1], 0.0])
            along = float(np.linalg.norm(level))
            unit = level / along if along > 0.0 else np.array([1.0, 0.0, 0.0])
            pull, up = span_pulls(along, float(b[2] - a[2]), max(length, 1e-9), line.weight_N_m, line.tension_at)
            first = pull * unit + (0.0, 0.0, up)
            last = -pull * unit - (0.0, 0.0, up + line.weight_N_m * length)
            out[name, i] = first, last
        return out

    def unbalanced_N(self, x: Floats) -> Floats:
        """Net force on every free coordinate, then the difference of tension at every point a line passes."""
        pulls = self.pulls(x)
        net = {name: np.array([0.0, 0.0, -mass * self.rig.gravity_m_s2]) for name, (_, mass) in self.rig.free.items()}
        for (name, i), (first, last) in pulls.items():
            through = self.rig.lines[name].through
            for point, pull in ((through[i], first), (through[i + 1], last)):
                carrier = self.rig.carried[point][0] if point in self.rig.carried else point
                if carrier in net:
                    net[carrier] = net[carrier] + pull
        forces = [net[name][axis] for name, axis in self.axes]
        for name, line in self.rig.lines.items():
            for i in range(len(line.through) - 2):
                forces.append(float(np.linalg.norm(pulls[name, i][1]) - np.linalg.norm(pulls[name, i + 1][0])))
        return np.array(forces)


def equilibrium(rig: Description) -> Equilibrium:
    """The rig at rest. Raises ValueError when no balance is found."""
    problem = _Problem(rig)
    x = problem.start()
    if len(x):
        lowest = minimize(problem.energy_J, x, method="Nelder-Mead" if len(x) < 3 else "Powell",
                          options={"xtol": 1e-8, "ftol": 1e-14, "maxiter": 20_000} if len(x) >= 3
                          else {"xatol": 1e-9, "fatol": 1e-9, "maxiter": 20_000})  # fmt: skip
        x = np.atleast_1d(lowest.x)
        x = _balanced(problem, x)
    pulls = problem.pulls(x)
    places, lengths = problem.places(x), problem.lengths(x)
    tensions: dict[str, tuple[tuple[float, float], ...]] = {}
    on_point = {name: np.zeros(3) for name in places}
    for name, line in rig.lines.items():
        ends = [pulls[name, i] for i in range(len(line.through) - 1)]
        tensions[name] = tuple((float(np.linalg.norm(a)), float(np.linalg.norm(b))) for a, b in ends)
        for i, (first, last) in enumerate(ends):
            on_point[line.through[i]] = on_point[line.through[i]] + first
            on_point[line.through[i + 1]] = on_point[line.through[i + 1]] + last
    largest = max(max(pair) for spans in tensions.values() for pair in spans)
    residual = float(np.max(np.abs(problem.unbalanced_N(x)), initial=0.0)) / largest
    unstretched = {name: tuple(lengths[name, i] for i in range(len(tensions[name]))) for name in rig.lines}
    return Equilibrium(places, tensions, on_point, unstretched, residual)


def _balanced(problem: _Problem, x: Floats) -> Floats:
    for method in ("hybr", "lm", "krylov"):
        try:
            found = root(problem.unbalanced_N, x, method=method, tol=1e-11)
        except ValueError:
            continue
        scale = max(1.0, float(max(np.linalg.norm(a) for a, _ in problem.pulls(np.array(found.x)).values())))
        if float(np.max(np.abs(problem.unbalanced_N(np.array(found.x))))) < 1e-6 * scale:
            return np.array(found.x)
    raise ValueError("no balance found from the energy minimum")
