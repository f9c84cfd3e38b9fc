"""A span that hangs, at every slope and every slack, beside the elastic catenary.

With the pull at one end (H, V), T = hypot of it, unstretched length L and weight w per unstretched metre, the other is

    x = H L / EA + H / w (asinh(V / H) - asinh((V - w L) / H)),  z = (V - w L / 2) L / EA + (T(0) - T(L)) / w

away (any text on cables, Irvine 1981 for one). The program has one coordinate for all of it.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import root, root_scalar

import sim
from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form

ELASTIC = closed_form("elastic catenary (texts on cables)")
CHORD_M, STIFFNESS_N, MASS_KG_M = 10.0, 400e3, 0.3
WEIGHT_N_M = MASS_KG_M * rigs.G
LONGER = (1.0002, 1.002, 1.02, 1.1, 1.5, 4.0)


def reach(pull: NDArray[np.float64], length_m: float) -> NDArray[np.float64]:
    """Where the far end is from one whose pull on the line is (log H, V), V upwards."""
    level, up = math.exp(pull[0]), pull[1]
    far = up - WEIGHT_N_M * length_m
    x = level * length_m / STIFFNESS_N + level / WEIGHT_N_M * (math.asinh(up / level) - math.asinh(far / level))
    z = (math.hypot(level, far) - math.hypot(level, up)) / WEIGHT_N_M
    return np.array((x, z - (up - 0.5 * WEIGHT_N_M * length_m) * length_m / STIFFNESS_N))


def pulls_N(x: float, z: float, length_m: float) -> tuple[float, float]:
    """Pull at the end at (0, 0) and at the one at (x, z); first that of the inextensible one, then with stretch."""
    level_m = math.sqrt(max(length_m**2 - z**2, x**2 * (1 + 1e-9)))
    u = root_scalar(lambda u: math.sinh(u) / u * x - level_m, bracket=(1e-6, 60.0), xtol=1e-13).root
    a = x / (2.0 * u)
    lowest = 0.5 * x - a * math.atanh(max(min(z / length_m, 1 - 1e-12), -1 + 1e-12))
    guess = np.array((math.log(WEIGHT_N_M * a), WEIGHT_N_M * a * math.sinh(lowest / a)))
    found = root(lambda pull: reach(pull, length_m) - (x, z), guess, tol=1e-13)
    assert np.abs(reach(found.x, length_m) - (x, z)).max() < 1e-9
    level, up = math.exp(found.x[0]), found.x[1]
    return math.hypot(level, up), math.hypot(level, up - WEIGHT_N_M * length_m)


def ours_N(x: float, z: float, length_m: float) -> float:
    """Pull on the anchor, from which a held performer is (x, z) away."""
    text = rigs.scenario(
        performers={"weight": rigs.performer(80.0, rigs.at(x, 0, 100 + z), release_s=0.1)},
        lines={"line": rigs.line(STIFFNESS_N, ["anchor", "weight"], length_m=length_m, mass_kg_m=MASS_KG_M)},
        anchors={"anchor": rigs.anchor(0, 0, 100)},
        duration_s=0.01,
    )
    rig = sim.build_rig(sim.read_text(text, "a span"))
    return sim.simulate(rig, sim.planned_case(rig)).case.static_N["anchor"]


@pytest.mark.parametrize("degrees", [0, 30, 60, 80, 86])
@pytest.mark.parametrize("longer", LONGER)
def test_a_span_hangs_as_the_elastic_catenary(degrees: int, longer: float, agrees: Agrees):
    x = round(CHORD_M * math.cos(math.radians(degrees)), 5)
    z = round(CHORD_M * math.sin(math.radians(degrees)), 5)
    length = round(CHORD_M * longer, 4)
    weight = WEIGHT_N_M * length
    low, high = pulls_N(x, z, length)
    for end, way, theirs in (("lower", z, low), ("upper", -z, high)):
        case = f"{degrees} degrees, line {longer:g} of the chord: pull at the {end} end over the line's weight"
        agrees(
            case, ELASTIC, ours_N(x, way, length) / weight, theirs / weight, allowed_abs=2e-3 * max(1.0, high / weight)
        )
