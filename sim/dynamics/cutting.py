"""How long each line is cut: tensions that balance every free point where it stands, or a plain word why none do.

Known positions, unknown tensions: non-negative least squares, one tension per line, the same both sides of every sheave
but for the line's own weight. Where nothing balances without friction, a linear programme asks whether
friction can hold.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog, minimize, nnls

from sim.rig.line import Line
from sim.rig.rig import Rig, RigError
from sim.rig.sheave import bending_loss

# A remainder below this share of the heaviest weight counts as balanced.
BALANCED = 1e-3


@dataclass(frozen=True)
class Balance:
    """Tension (N) in the middle of every span of every line, and whether friction is needed to keep it."""

    tension_N: dict[str, tuple[float, ...]]
    on_friction: bool


def start_positions(rig: Rig) -> NDArray:
    """Positions of all points as described, (points, 3)."""
    return np.array([p.position_m for p in rig.points], float)


def _ends(rig: Rig, line: Line, at: NDArray) -> NDArray:
    """Positions of a line's places, (places, 3)."""
    return np.array([at[rig.index(p.point)] + np.array(p.offset_m) for p in line.route])


def _spans(rig: Rig, line: Line, at: NDArray) -> list[tuple[int, int, NDArray, float, float]]:
    """Per span: both points, direction, length, height of the middle above the line's first place."""
    ends = _ends(rig, line, at)
    out = []
    for k in range(len(ends) - 1):
        way = ends[k + 1] - ends[k]
        length = float(np.linalg.norm(way))
        i, j = rig.index(line.route[k].point), rig.index(line.route[k + 1].point)
        out.append((i, j, way / length, length, 0.5 * (ends[k, 2] + ends[k + 1, 2]) - ends[0, 2]))
    return out


def free_points(rig: Rig) -> list[int]:
    """Numbers of the points that must balance at the start: those that move and hang on no spring."""
    sprung = {s.point for s in rig.springs}
    return [i for i, p in enumerate(rig.points) if p.start == "moving" and p.name not in sprung]


def _weights(rig: Rig, at: NDArray) -> NDArray:
    """Weight on every point (points, 3), N: its own, what lags behind on it, and half of each span's line."""
    load = np.zeros((len(rig.points), 3))
    for i, p in enumerate(rig.points):
        load[i, 2] -= p.mass_kg * rig.gravity_m_s2
    for s in rig.springs:
        if s.other is not None:
            load[rig.index(s.other), 2] -= rig.point(s.point).mass_kg * rig.gravity_m_s2
    for line in rig.lines:
        spans = _spans(rig, line, at)
        extra = line.cut.slack_m or 0.0
        total = sum(s[3] for s in spans)
        for i, j, _, length, _ in spans:
            half = 0.5 * line.material.mass_kg_per_m * rig.gravity_m_s2 * length * (1 + extra / total)
            load[i, 2] -= half
            load[j, 2] -= half
    return load


def _directions(rig: Rig, i: int) -> NDArray:
    """The directions a point can move in, (1 or 3, 3)."""
    guide = rig.points[i].guide
    return np.eye(3) if guide is None else np.array([guide])


def _given(line: Line) -> float | None:
    """A tension that is said, not sought."""
    if line.cut.slack_m is not None:
        return 0.0
    return line.cut.tension_N


def _system(rig: Rig, at: NDArray, free: list[int]) -> tuple[NDArray, NDArray, list[Line]]:
    """Rows: free directions of free points. Columns: spans of the lines whose tension is sought. And the known load."""
    sought = [x for x in rig.lines if _given(x) is None]
    rows = {i: _directions(rig, i) for i in free}
    start = np.cumsum([0, *(len(rows[i]) for i in free)])
    at_row = {i: int(start[k]) for k, i in enumerate(free)}
    count = sum(len(x.route) - 1 for x in sought)
    matrix, load = np.zeros((int(start[-1]), count)), np.zeros(int(start[-1]))
    weights = _weights(rig, at)
    for i in free:
        load[at_row[i] : at_row[i] + len(rows[i])] += rows[i] @ weights[i]
    column = 0
    for line in rig.lines:
        known = _given(line)
        per_metre = line.material.mass_kg_per_m * rig.gravity_m_s2 if line.cut.slack_m is None else 0.0
        for i, j, unit, _, rise in _spans(rig, line, at):
            for point, sign in ((i, 1.0), (j, -1.0)):
                if point in at_row:
                    pull = rows[point] @ unit * sign
                    here = slice(at_row[point], at_row[point] + len(pull))
                    load[here] += pull * (per_metre * rise + (known or 0.0))
                    if known is None:
                        matrix[here, column] += pull
            column += known is None
    return matrix, load, sought


def _per_line(matrix: NDArray, sought: list[Line]) -> NDArray:
    """Columns per span summed to one per line: the same tension all along."""
    out, column = np.zeros((len(matrix), len(sought))), 0
    for k, line in enumerate(sought):
        n = len(line.route) - 1
        out[:, k] = matrix[:, column : column + n].sum(axis=1)
        column += n
    return out


def _solve(rig: Rig, at: NDArray, free: list[int]) -> tuple[NDArray, NDArray, list[Line]]:
    """Tension per sought line and what remains unbalanced (N, per row). Surplus lines stretch equally."""
    matrix, load, sought = _system(rig, at, free)
    per_line = _per_line(matrix, sought)
    if not sought:
        return np.zeros(0), load, sought
    stiffness = np.array([x.material.stretch[0][0] / x.material.stretch[0][1] for x in sought])
    scale = max(float(np.abs(load).max(initial=0.0)), 1e-9)
    bears = np.abs(per_line).sum(axis=0) > 1e-12  # a line that touches no free point carries nothing yet
    if not bears.any():
        return np.zeros(len(sought)), load, sought
    whole = np.zeros(len(sought))
    whole[bears] = _equal_stretch(per_line[:, bears], load, stiffness[bears], scale)
    return whole, per_line @ whole + load, sought


def _equal_stretch(per_line: NDArray, load: NDArray, stiffness: NDArray, scale: float) -> NDArray:
    """Tensions that balance the load; where several do, the ones nearest to equal strain in all lines."""
    lines = per_line.shape[1]
    tie = 1e-7 * np.hstack([np.diag(stiffness.max() / stiffness), -np.ones((lines, 1))])
    stacked = np.vstack([np.hstack([per_line, np.zeros((len(per_line), 1))]), tie])
    right = np.concatenate([-load, np.zeros(lines)]) / scale
    solution, _ = nnls(stacked, right, maxiter=50 * stacked.shape[1] + 100)
    return solution[:-1] * scale


def _friction_holds(rig: Rig, at: NDArray, free: list[int]) -> NDArray | None:
    """Tension per span of the sought lines with which dry friction keeps everything where it is; None if it cannot."""
    matrix, load, sought = _system(rig, at, free)
    n = matrix.shape[1]
    low, column, places = [], 0, 0
    for line in sought:
        spans = _spans(rig, line, at)
        for k in range(1, len(line.route) - 1):
            sheave = rig.sheave(line.route[k].name)
            assert sheave is not None
            a, b = column + k - 1, column + k
            pin = float(np.linalg.norm(spans[k][2] - spans[k - 1][2]))
            per_tension = 0.5 * (sheave.bearing * pin + bending_loss(sheave, line.material))
            fixed = sheave.bearing * sheave.mass_kg * rig.gravity_m_s2
            ratio = 0.0
            if sheave.bar > 0.0:
                wrap = np.arccos(np.clip(spans[k][2] @ spans[k - 1][2], -1, 1))
                per_tension, fixed, ratio = 0.0, 0.0, float(np.exp(sheave.bar * wrap) - 1.0)
            low.append((a, b, per_tension, fixed, ratio))
            places += 1
        column += len(spans)
    if not places:
        return None
    upper, right = [], []
    for number, (a, b, per_tension, fixed, ratio) in enumerate(low):
        for more, less in ((a, b), (b, a)):
            row = np.zeros(n + places)
            row[more], row[less] = 1.0 - per_tension, -1.0 - per_tension - ratio
            upper.append(row)
            right.append(fixed)
            row = np.zeros(n + places)
            row[more], row[less], row[n + number] = 1.0, -1.0, -1.0
            upper.append(row)
            right.append(0.0)
    cost = np.concatenate([np.zeros(n), np.ones(places)])
    found = linprog(
        cost,
        A_ub=np.array(upper),
        b_ub=np.array(right),
        A_eq=np.hstack([matrix, np.zeros((len(matrix), places))]),
        b_eq=-load,
        bounds=(0, None),
        method="highs",
    )
    return found.x[:n] if found.status == 0 else None


def balance(rig: Rig, at: NDArray) -> Balance:
    """Tensions in every span that keep the free points at rest at their places `at` (points, 3).

    Raises RigError naming the imbalance in newtons and, for a performer, the nearest place at that height.
    """
    free = free_points(rig)
    tension, rest, sought = _solve(rig, at, free)
    heaviest = max((rig.points[i].mass_kg for i in free), default=0.0) * rig.gravity_m_s2
    by_line: dict[str, tuple[float, ...]] = {}
    on_friction = False
    positions_given = all(x.cut.length_m is None for x in rig.lines) and not any(rig.points[i].guess for i in free)
    per_span: NDArray | None = None
    if positions_given and len(rest) and float(np.linalg.norm(rest)) > BALANCED * heaviest:
        per_span = _friction_holds(rig, at, free)
        if per_span is None:
            raise RigError(_cannot_hang(rig, at, free, rest))
        on_friction = True
    column = 0
    for line in rig.lines:
        known = _given(line)
        per_metre = line.material.mass_kg_per_m * rig.gravity_m_s2 if line.cut.slack_m is None else 0.0
        spans = _spans(rig, line, at)
        if known is not None:
            base = [known - per_metre * (spans[-1][4])] * len(spans) if known > 0 else [0.0] * len(spans)
        elif per_span is not None:
            base = list(per_span[column : column + len(spans)])
            column += len(spans)
        else:
            base = [float(tension[sought.index(line)])] * len(spans)
        loaded = any(t > 0 for t in base)
        by_line[line.name] = tuple(
            max(t + per_metre * s[4], 0.0) if loaded else 0.0 for t, s in zip(base, spans, strict=True)
        )
    return Balance(by_line, on_friction)


def in_newtons(force_N: float, sign: str = "-") -> str:
    """A force as told: one decimal, and as many more as three digits need.

    >>> in_newtons(1234.56), in_newtons(0.012345), in_newtons(4.0, "+")
    ('1234.6 N', '0.0123 N', '+4.00 N')
    """
    decimals = 2 - int(np.floor(np.log10(abs(force_N)))) if force_N else 1
    return f"{force_N:{sign}.{max(decimals, 1)}f} N"


def _cannot_hang(rig: Rig, at: NDArray, free: list[int], rest: NDArray) -> list[str]:
    """Say what is out of balance and where it could hang instead."""
    sentences, row = [], 0
    for i in free:
        axes = _directions(rig, i)
        force = rest[row : row + len(axes)] @ axes
        row += len(axes)
        if np.linalg.norm(force) < BALANCED * np.linalg.norm(rest):
            continue
        least = BALANCED * float(np.linalg.norm(force))
        parts = [f"{in_newtons(v, '+')} in {axis}" for axis, v in zip("xyz", force, strict=True) if abs(v) > least]
        text = ", ".join(parts)
        place = ", ".join(f"{v:.3g} m" for v in at[i])
        sentences.append(
            f"{rig.points[i].name} cannot hang at rest at [{place}]: with the best tensions its lines can give, "
            f"{text} is left over, and friction cannot hold it."
        )
    near = _nearest(rig, at, free)
    if near:
        sentences.append(near)
    return sentences


def _nearest(rig: Rig, at: NDArray, free: list[int]) -> str:
    """The nearest place at the same height where the first performer can hang, as a sentence, or nothing."""
    for who in rig.performers:
        if who.start != "hanging":
            continue
        parts = [rig.index(who.suspension)] + ([rig.index(who.body)] if who.body != who.suspension else [])

        def left_over(shift: NDArray, parts: list[int] = parts) -> float:
            moved = at.copy()
            moved[parts, :2] += shift
            return float(np.linalg.norm(_solve(rig, moved, free)[1]))

        found = minimize(
            left_over, np.zeros(2), method="Nelder-Mead", options={"xatol": 1e-4, "fatol": 1e-3, "maxiter": 400}
        )
        if found.fun < 2 * BALANCED * who.weight_N:
            x, y, z = at[parts[0]] + np.array([*found.x, 0.0])
            return f"The nearest place at that height where {who.name} can hang is [{x:.3f} m, {y:.3f} m, {z:.3f} m]."
    return ""
