"""The static stiffness of a rig's lines and mounts at the hook of a performer, by the statics of small movements."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sim.results.model import CaseResult, Trace
from sim.rig.curve import curve_pieces, slope_at, strain_at
from sim.rig.line import Line
from sim.rig.rig import Rig

_TINY_N_PER_M = 1e-3
"""What holds a point where no line does, so that a free direction stays finite."""

Places = Mapping[str, NDArray[np.float64]]


@dataclass(frozen=True)
class Share:
    """What one line takes of a small load on the hook: tension per load, and its spans with their straight ways (m)."""

    line: str
    per_load: float
    spans_m: Mapping[str, float]


@dataclass(frozen=True)
class AtHook:
    """The line that bears most of a small load on the hook, and the hook's stiffness, vertical.

    travel: how far the hook goes down for a metre of line paid out, half a metre under a moving block. shares: of all
    lines; what they stretch lets the hook down by the sum of share times stretch (unit-load method of statics).
    """

    line: Line
    N_per_m: float
    EA_N: float
    length_m: float
    travel: float
    shares: tuple[Share, ...]


def at_hook(
    rig: Rig, case: CaseResult, trace: Trace, sample: int, performer: str, taut: Collection[str] | None = None
) -> AtHook | None:
    """What the hook hangs on at one sample; None where no line bears it. taut: the lines that count, None: all.

    Statics of small movements: every line is one spring over freely turning sheaves, every span with its force is also
    stiff across, mounts are springs. Sag softens a span by (w l)² l / (12 T³) (H.-J. Ernst, Der Bauingenieur 40, 1965).
    """
    where = _places(rig, trace, sample)
    free = [p for p in rig.points if p.start != "fixed" and p.name not in _bodies(rig)]
    number = {p.name: i for i, p in enumerate(free)}
    K = _TINY_N_PER_M * np.eye(3 * len(free))
    for spring in rig.springs:
        if spring.other is None and spring.point in number:
            rows = slice(3 * number[spring.point], 3 * number[spring.point] + 3)
            K[rows, rows] += spring.stiffness_N_per_m * np.eye(3)
    hook = next(p for p in rig.performers if p.name == performer).suspension
    down = np.zeros(3 * len(free))
    down[3 * number[hook] + 2] = 1.0
    lines = []
    for line in rig.lines:
        if line.strap or (taut is not None and line.name not in taut):
            continue
        spring = _LineSpring(rig, line, case, trace, sample, where)
        lines.append((spring.add_to(K, number), line, spring))
    for p in free:
        if p.guide is not None:  # stiff in every direction but its own
            rows = slice(3 * number[p.name], 3 * number[p.name] + 3)
            along = np.array(p.guide)
            K[rows, rows] += 1e12 * (np.eye(3) - np.outer(along, along))
    moved = np.linalg.solve(K, down)
    borne = [spring.N_per_m * float(grows @ moved) * float(grows @ down) for grows, _, spring in lines]
    if max(borne, default=0.0) <= 0.0:
        return None
    grows, line, spring = lines[int(np.argmax(borne))]
    travel = 1.0 / max(abs(float(grows @ down)), 0.1)
    # The unit load points up, so what it slackens is what a weight pulls.
    shares = tuple(
        Share(each.name, max(-one.N_per_m * float(rows @ moved), 0.0), one.spans_m) for rows, each, one in lines
    )
    return AtHook(line, 1.0 / float(down @ moved), spring.EA_N, spring.length_m, travel, shares)


class _LineSpring:
    """One line as a spring: stiffness, force, and the spans it runs through."""

    def __init__(self, rig: Rig, line: Line, case: CaseResult, trace: Trace, sample: int, where: Places) -> None:
        self.line = line
        at = [where[place.point] + np.array(place.offset_m) for place in line.route]
        self.points = [place.point for place in line.route]
        self.ways = [b - a for a, b in pairwise(at)]
        lengths = [float(np.linalg.norm(way)) for way in self.ways]
        names = [f"{line.name}:{line.span_name(k)}" for k in range(len(self.ways))]
        self.spans_m = dict(zip(names, lengths, strict=True))
        rest_N = [case.static_N.get(name, 0.0) for name in names]
        self.force_N = float(np.mean(rest_N))
        if self.force_N <= 0.0:  # slack at rest: it will bear what hangs on it
            ends = sum(1 for p in rig.performers if p.suspension in self.points)
            self.force_N = sum(p.weight_N for p in rig.performers if p.suspension in self.points) / max(ends, 1)
        x, c = curve_pieces([s for _, s in line.material.stretch], [f for f, _ in line.material.stretch])
        strain = strain_at(x, c, self.force_N)
        self.EA_N = slope_at(x, c, strain)
        self.length_m = max(sum(lengths), line.cut.length_m or 0.0) + (line.cut.slack_m or 0.0)
        softness = self.length_m / (1.0 + strain) / self.EA_N
        if self.force_N > 0.0:
            softness += sum(self._sag_softness(rig, way, self.force_N) for way in self.ways)
        self.N_per_m = 1.0 / softness

    def _sag_softness(self, rig: Rig, way: NDArray[np.float64], force_N: float) -> float:
        weight_N_per_m = self.line.material.mass_kg_per_m * rig.gravity_m_s2
        level_m = float(np.hypot(way[0], way[1]))
        return weight_N_per_m**2 * level_m**3 / (12.0 * force_N**3)

    def add_to(self, K: NDArray[np.float64], number: Mapping[str, int]) -> NDArray[np.float64]:
        """Add the spring to the stiffness matrix; gives how its way grows with every free point's movement."""
        gradient = np.zeros(len(K))
        for k, (a, b) in enumerate(pairwise(self.points)):
            length = float(np.linalg.norm(self.ways[k]))
            if length < 1e-9:
                continue
            along = self.ways[k] / length
            across = self.force_N / length * (np.eye(3) - np.outer(along, along))
            rows = [slice(3 * number[p], 3 * number[p] + 3) if p in number else None for p in (a, b)]
            for row, sign in zip(rows, (-1.0, 1.0), strict=True):
                if row is not None:
                    gradient[row] += sign * along
                    K[row, row] += across
            if rows[0] is not None and rows[1] is not None:
                K[rows[0], rows[1]] -= across
                K[rows[1], rows[0]] -= across
        K += self.N_per_m * np.outer(gradient, gradient)
        return gradient


def _bodies(rig: Rig) -> set[str]:
    """Points below a harness, which is told apart; and lagging masses."""
    hung = {p.body for p in rig.performers if p.body != p.suspension}
    return hung | {s.point for s in rig.springs if s.other is not None}


def _places(rig: Rig, trace: Trace, sample: int) -> dict[str, NDArray[np.float64]]:
    """Where every point is at one sample; what the trace does not tell of is where it was at the start."""
    where = {p.name: np.array(p.position_m) for p in rig.points}
    for p in rig.performers:
        columns = [trace.columns.get(f"{axis}:{p.name}") for axis in ("x_m", "y_m", "height_m")]
        if all(column is not None for column in columns):
            where[p.suspension] = np.array([float(column[sample]) for column in columns if column is not None])
    for name in rig.counterweights:
        height = trace.columns.get(f"height_m:{name}")
        if height is not None:
            where[name] = np.array([*where[name][:2], float(height[sample])])
    return where
