"""Damping that is never more than a part of the tension, as strands rub under their own tension: large movements.

A weight falls on a rope. Damped by rate alone below the limit, by that part of the tension beyond it. With a damping
time far longer than the bounce only the limit is left, dry friction that grows with the tension (Coulomb's law; a
textbook's energy balance, force (1 + psi) k x on the way down and (1 - psi) k x on the way up). In between it is held
against a general integrator.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.outside import falls, rigs
from tests.outside.accuracy.rows import Agrees, apart, closed_form
from tests.outside.rigs import G

MASS_KG, LENGTH_M, STIFFNESS_N_M = 80.0, 5.0, 20e3
COULOMB = closed_form("energy of a weight on a spring with friction psi times its force, dry friction in textbooks")
INTEGRATOR = apart("scipy.integrate.solve_ivp, DOP853, rtol 1e-10, the same law written anew")


def rope(limit: float, damping_time_s: float) -> dict[str, Any]:
    """A linear rope without mass to speak of."""
    return {
        "type": {
            "stiffness_EA": rigs.of(STIFFNESS_N_M * LENGTH_M, "N"),
            "mass_per_length": "0.001 g/m",
            "damping_time": rigs.of(damping_time_s, "s"),
            "damping_limit": rigs.of(100 * limit, "%"),
        }
    }


def stretch_m(found: rigs.Run) -> np.ndarray:
    """How far the weight is below the end of the unstretched rope, over time."""
    return falls.TOP_M - LENGTH_M - found.trace.columns["height_m:weight"]


@pytest.mark.parametrize("limit", [0.1, 0.3, 0.7])
def test_only_the_limit_is_left_of_slow_damping(agrees: Agrees, limit: float):
    free_fall_m = 2.0
    found = rigs.run(falls.fall(MASS_KG, rope(limit, 30.0), LENGTH_M, free_fall_m, duration_s=3.0))
    weight, down, up = MASS_KG * G, (1 + limit) * STIFFNESS_N_M, (1 - limit) * STIFFNESS_N_M
    most_m = (weight + np.sqrt(weight**2 + 2.0 * down * weight * free_fall_m)) / down
    agrees(f"most of {limit:.0%} of the tension: peak", COULOMB, falls.impact_N(found), down * most_m, 1e-3, "N")
    travel = stretch_m(found)
    agrees(f"most of {limit:.0%} of the tension: stretch", COULOMB, travel.max(), most_m, 1e-3, "m")
    # What is left of k x^2 / 2 on the way up throws the weight above the rope's end, where it is slack.
    thrown_m = 0.5 * up * most_m**2 / weight - most_m
    rebound = travel[np.argmax(travel) :]
    first = rebound[: np.argmin(rebound) + 1]
    case = f"most of {limit:.0%} of the tension: thrown back"
    agrees(case, COULOMB, -first.min(), thrown_m, 2e-3, "m")


@pytest.mark.parametrize("limit", [0.1, 0.3, 1.0])
@pytest.mark.parametrize("damping_ratio", [0.05, 0.105])
def test_between_rate_and_limit(agrees: Agrees, limit: float, damping_ratio: float):
    free_fall_m = 3.0
    tau_s = 2.0 * damping_ratio / np.sqrt(STIFFNESS_N_M / MASS_KG)
    found = rigs.run(falls.fall(MASS_KG, rope(limit, tau_s), LENGTH_M, free_fall_m, duration_s=3.0))

    def tension_N(stretch: float, rate: float) -> float:
        elastic = STIFFNESS_N_M * max(stretch, 0.0)
        return elastic + float(np.clip(tau_s * STIFFNESS_N_M * rate, -limit * elastic, limit * elastic))

    def moves(_: float, y: np.ndarray) -> list[float]:
        return [y[1], G - tension_N(y[0], y[1]) / MASS_KG]

    times_s = np.linspace(0.0, 2.0, 20_001)
    start = [0.0, np.sqrt(2.0 * G * free_fall_m)]
    theirs = solve_ivp(moves, (0.0, 2.0), start, "DOP853", times_s, rtol=1e-10, atol=1e-10, max_step=1e-3).y
    peak_N = max(tension_N(x, v) for x, v in theirs.T)
    words = f"limit {limit:.0%}, damping ratio {damping_ratio}"
    agrees(f"{words}: peak", INTEGRATOR, falls.impact_N(found), peak_N, 1e-3, "N")
    taken_up_s = falls.LET_GO_S + np.sqrt(2.0 * free_fall_m / G)
    after = found.trace.time_s > taken_up_s + 0.1
    ours_m = stretch_m(found)[after & (found.trace.time_s < taken_up_s + 2.0)].min()
    agrees(f"{words}: thrown back", INTEGRATOR, -ours_m, -theirs[0][times_s > 0.1].min(), 2e-3, "m")
