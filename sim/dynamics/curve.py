"""The stretch curves of a rig in tables, and their evaluation in the compiled solver."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from sim.dynamics.jit import part


def curve_tables(curves: Sequence[tuple[NDArray, NDArray]]) -> tuple[NDArray, NDArray]:
    """All curves of a rig in two rectangular tables; unused breakpoints are infinite."""
    width = max((len(x) for x, _ in curves), default=2)
    table_x = np.full((max(len(curves), 1), width), np.inf)
    table_c = np.zeros((max(len(curves), 1), width, 5))
    for i, (x, c) in enumerate(curves):
        table_x[i, : len(x)] = x
        table_c[i, : len(x)] = c
    return table_x, table_c


@part
def curve_at(curve_x, curve_c, curve, strain):
    """Force (N), stiffness df/dstrain (N) and stored energy (J/m) at a strain; the first piece continues below zero."""
    k = 0
    last = curve_x.shape[1] - 1
    while k < last and strain >= curve_x[curve, k + 1]:
        k += 1
    x = strain - curve_x[curve, k]
    c0, c1 = curve_c[curve, k, 0], curve_c[curve, k, 1]
    c2, c3 = curve_c[curve, k, 2], curve_c[curve, k, 3]
    force = c0 + x * (c1 + x * (c2 + x * c3))
    slope = c1 + x * (2 * c2 + x * 3 * c3)
    energy = curve_c[curve, k, 4] + x * (c0 + x * (c1 / 2 + x * (c2 / 3 + x * c3 / 4)))
    return force, slope, energy
