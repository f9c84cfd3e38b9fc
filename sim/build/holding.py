"""Whether lines can lead a performer along a path: lines only pull, so at rest they must bear its weight between them.

Statics at places along the path: the directions of the lines, times tensions that are none below zero, against the
weight (non-negative least squares; where more lines than equations leave a choice, the one with the largest least
tension, a linear programme).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog, nnls

from profiles import Path
from sim.rig.point import Vector

Floats = NDArray[np.float64]

# Of the places along a path, one in so many is looked at.
EVERY = 5
# What lines may leave unbalanced, as a share of the weight, before the performer is said to hang elsewhere.
UNBALANCED = 0.02
# A line that pulls with less than this share of the weight is slack.
SLACK = 1e-3
# A performer this near to where its line comes from runs into it.
NEAREST_M = 0.1
# A line that does not move is too short by more than this before it is said to be.
TOO_SHORT_M = 1e-2


@dataclass(frozen=True)
class HoldingLine:
    """A line that ends on a performer, by the span that changes.

    drive: '' where none holds its other end. head: the last place it comes from; leads_from: where that is, less where
    the line's end sits on the performer. length_m: of the span before the flight; None where its other end moves.
    """

    line: str
    drive: str
    head: str
    leads_from: Vector
    length_m: float | None

    def reach_m(self, at: Floats) -> float:
        """How far a place of the performer is from where the line comes from."""
        return float(np.linalg.norm(at - np.array(self.leads_from)))


def cannot_hold(path: Path, flown: Sequence[HoldingLine], others: Sequence[HoldingLine]) -> list[str]:
    """Why lines cannot lead a performer along a path: the first place where each thing is wrong, as a sentence.

    others: lines on the performer that are not moved in this flight.
    """
    found: dict[str, str] = {}
    for way_m in _ways(path):
        at = path.position_m(float(way_m))
        for what, sentence in _wrong(at, flown, others):
            if what not in found:
                found[what] = f"{sentence} at {_where(path, float(way_m), at)}"
    return list(found.values())


def remaining_freedom(path: Path, lines: Sequence[HoldingLine]) -> str:
    """Which ways flown lines leave the performer free to swing, in words; '' for none."""
    rank = min(int(np.linalg.matrix_rank(_pulls(at, lines), tol=1e-2)) for at in path.position_m(_ways(path)))
    if rank >= 3:
        return ""
    if rank == 2:
        return "The flown lines lie in a plane; across it only weight holds the performer, so it can swing there."
    return "The flown lines pull one way only; the performer can swing to all sides."


def _wrong(at: Floats, flown: Sequence[HoldingLine], others: Sequence[HoldingLine]) -> list[tuple[str, str]]:
    near = [x for x in flown if x.reach_m(at) < NEAREST_M]
    if near:
        return [("near", f"it runs into {near[0].head}")]
    over = [(x, x.reach_m(at) - x.length_m) for x in others if x.length_m is not None]
    short = [(x, by_m) for x, by_m in over if by_m > TOO_SHORT_M]
    if short:
        return [(x.line, f"{x.line}, which is not flown, is {by_m:.2f} m too short") for x, by_m in short]
    slack_others = {x.line for x, by_m in over if by_m < -TOO_SHORT_M}
    holding = [*flown, *(x for x in others if x.line not in slack_others)]
    pulls = _pulls(at, holding)
    tension, unbalanced = nnls(pulls, np.array([0.0, 0.0, 1.0]))
    if unbalanced > UNBALANCED:
        left = f"{100 * unbalanced:.0f} % of its weight would be left unbalanced"
        return [("held", f"its lines cannot hold it: {left}")]
    if len(holding) > 3:
        tension = _tautest(pulls, tension)
    names = [x.line for x, pull in zip(holding, tension, strict=True) if pull < SLACK and x in flown]
    return [(f"slack {name}", f"{name} would be slack") for name in names]


def _tautest(pulls: Floats, tension: Floats) -> Floats:
    """The tensions with the same resultant whose least is largest."""
    n = pulls.shape[1]
    found = linprog(
        np.append(np.zeros(n), -1.0),
        A_ub=np.hstack([-np.eye(n), np.ones((n, 1))]),
        b_ub=np.zeros(n),
        A_eq=np.hstack([pulls, np.zeros((3, 1))]),
        b_eq=pulls @ tension,
        bounds=[(0, None)] * (n + 1),
    )
    return found.x[:n] if found.success else tension


def _pulls(at: Floats, lines: Sequence[HoldingLine]) -> Floats:
    """(3, lines) directions in which lines pull a performer at a place."""
    to_heads = np.array([np.array(x.leads_from) - at for x in lines])
    return (to_heads / np.linalg.norm(to_heads, axis=1)[:, None]).T


def _ways(path: Path) -> Floats:
    """Ways to look at, the places themselves first, so that they are the ones named."""
    return np.concatenate([path.place_at_m, path.ways_m[::EVERY]])


def _where(path: Path, way_m: float, at: Floats) -> str:
    near = int(np.argmin(np.abs(np.array(path.place_at_m) - way_m)))
    if abs(path.place_at_m[near] - way_m) < 1e-6:
        return path.place_name(near)
    leg = int(np.searchsorted(path.place_at_m, way_m)) - 1
    place = ", ".join(f"{x:.4g} m" for x in at)
    return f"[{place}], between {path.place_name(leg)} and {path.place_name(leg + 1)}"
