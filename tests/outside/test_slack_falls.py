"""Falls from beside the anchor, on line that hangs double first, beside a chain of lumps written apart.

The chain: twenty links without bending stiffness between lumps in a plane, each pulling by its stretch and its rate,
from the points of an inextensible catenary on, stepped by the symplectic Euler method at a quarter of its limit. A bend
runs down it as in a folded chain; the program has one coordinate for how far the line hangs.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import root_scalar

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, apart, closed_form

STIFFNESS_N, MASS_KG_M, LENGTH_M, BODY_KG = 20e3, 0.077, 1.83, 100.0
DAMPING_S, LINKS, STEP_S, TOP_M = 2e-4, 20, 2e-5, 20.0


def hanging(aside_m: float, below_m: float) -> np.ndarray:
    """Places (links + 1, 2) along an inextensible catenary from (0, 0) to (aside, -below)."""
    level = math.sqrt(LENGTH_M**2 - below_m**2)
    u = root_scalar(lambda u: math.sinh(u) / u * aside_m - level, bracket=(1e-9, 60.0), xtol=1e-13).root
    a = aside_m / (2.0 * u)
    lowest = 0.5 * aside_m + a * math.atanh(below_m / LENGTH_M)
    along = np.linspace(0.0, LENGTH_M, LINKS + 1) + a * math.sinh(-lowest / a)
    x = lowest + a * np.arcsinh(along / a)
    return np.stack([x, a * np.cosh((x - lowest) / a) - a * math.cosh(lowest / a)], axis=1)


def chain_peak_N(aside_m: float, below_m: float, end_s: float) -> float:
    """Largest pull on the anchor until end_s after the body at the chain's other end is let go."""
    link = LENGTH_M / LINKS
    mass = np.full((LINKS + 1, 1), MASS_KG_M * link)
    mass[-1] = BODY_KG + 0.5 * MASS_KG_M * link
    place, velocity, peak = hanging(aside_m, below_m), np.zeros((LINKS + 1, 2)), 0.0
    for _ in range(round(end_s / STEP_S)):
        way = np.diff(place, axis=0)
        length = np.hypot(way[:, 0], way[:, 1])[:, None]
        way /= length
        rate = np.sum(np.diff(velocity, axis=0) * way, axis=1)[:, None]
        stretch = length - link
        pull = np.where(stretch > 0.0, np.maximum(STIFFNESS_N / link * (stretch + DAMPING_S * rate), 0.0), 0.0)
        peak = max(peak, float(pull[0, 0]))
        force = np.zeros_like(place)
        force[:-1] += pull * way
        force[1:] -= pull * way
        acceleration = force / mass - (0.0, rigs.G)
        acceleration[0] = 0.0
        velocity += STEP_S * acceleration
        place += STEP_S * velocity
    return peak


def ours_N(aside_m: float, below_m: float, end_s: float) -> float:
    """The same of the program."""
    text = rigs.scenario(
        performers={"body": rigs.performer(BODY_KG, rigs.at(aside_m, 0, TOP_M - below_m), release_s=0.001)},
        lines={
            "rope": rigs.line(
                STIFFNESS_N, ["anchor", "body"], length_m=LENGTH_M, mass_kg_m=MASS_KG_M, damping_s=DAMPING_S
            )
        },
        anchors={"anchor": rigs.anchor(0, 0, TOP_M)},
        duration_s=end_s,
    )
    return rigs.run(text).case.peaks["anchor"].force_N


@pytest.mark.parametrize(("aside_m", "below_m"), [(0.05, 0.01), (0.3, 0.01), (0.3, 0.5), (1.2, 0.3)])
def test_a_fall_on_line_that_hangs_double(aside_m: float, below_m: float, agrees: Agrees):
    theirs = chain_peak_N(aside_m, below_m, 0.85)
    case = f"100 kg falls from {aside_m} m beside and {below_m} m below the anchor of 1.83 m of heavy rope: peak"
    agrees(case, apart("chain of twenty lumps"), ours_N(aside_m, below_m, 0.85), theirs, 1e-2, "N")
    if aside_m < 0.1:
        weight = BODY_KG * rigs.G
        plumb = weight + math.sqrt(weight**2 + 2 * weight * STIFFNESS_N * (LENGTH_M - below_m) / LENGTH_M)
        straight = closed_form("impact force of a linear rope, encyclopedia article on the fall factor")
        agrees(f"{case}, by a light rope's", straight, ours_N(aside_m, below_m, 0.85), plumb, 5e-3, "N")
