"""The stretch curves of a rig in one table, and their evaluation in the compiled solver."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from sim.dynamics.jit import part
from sim.dynamics.tables import CURVE


def curve_table(curves: Sequence[tuple[NDArray, NDArray]]) -> NDArray:
    """All curves of a rig in one table (curves, pieces); unused pieces start at an infinite strain.

    Each curve: breakpoints (n,) and coefficients (n, 5): c0 to c3 of the force (N), energy up to the piece (J/m).
    """
    width = max((len(x) for x, _ in curves), default=1)
    table = np.zeros((max(len(curves), 1), width), CURVE)
    table["strain"] = np.inf
    for row, (x, c) in zip(table, curves, strict=False):
        row["strain"][: len(x)] = x
        for k, name in enumerate(("c0", "c1", "c2", "c3", "energy")):
            row[name][: len(x)] = c[: len(x), k]
    return table


def curve_of(table: NDArray, curve: int) -> tuple[NDArray, NDArray]:
    """Breakpoints and coefficients (n, 5) of one curve of a table."""
    row = table[curve][np.isfinite(table[curve]["strain"])]
    return row["strain"], np.stack([row[k] for k in ("c0", "c1", "c2", "c3", "energy")], axis=1)


@part
def curve_at(curves, curve, strain):
    """Force (N), stiffness df/dstrain (N) and stored energy (J/m) at a strain; the first piece continues below zero."""
    k = 0
    last = curves.shape[1] - 1
    while k < last and strain >= curves[curve, k + 1].strain:
        k += 1
    piece = curves[curve, k]
    x = strain - piece.strain
    c0, c1, c2, c3 = piece.c0, piece.c1, piece.c2, piece.c3
    force = c0 + x * (c1 + x * (c2 + x * c3))
    slope = c1 + x * (2 * c2 + x * 3 * c3)
    energy = piece.energy + x * (c0 + x * (c1 / 2 + x * (c2 / 3 + x * c3 / 4)))
    return force, slope, energy
