"""The sag of a span against worked values, the parabola, and SciPy's solution of the hanging line's equation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_bvp

from sim.strength.sag import line_in_sag_m, sag_m


@pytest.mark.parametrize(
    ("level", "weight", "pull", "sag"),
    [
        # elastic catenary, level (open-source finite-element verification manual, Irvine): H and sag, own computation;
        # the weight is per stretched metre here, so it is w over 1 + H / EA
        (30.0, 1.605 / (1 + 168.172 / 1.986e6), 168.172, 1.07542),
        (30.0, 1.605 / (1 + 420.800 / 1.986e6), 420.800, 0.429120),
        (30.0, 1.605 / (1 + 899.239 / 1.986e6), 899.239, 0.200716),
        (100.0, 10.0 / (1 + 1442.105 / 1e7), 1442.105, 8.753764),
    ],
)
def test_level_spans_are_those_of_the_worked_cases(level: float, weight: float, pull: float, sag: float):
    assert sag_m(level, level, weight, pull) == pytest.approx(sag, rel=5e-5)


def test_a_flat_span_is_the_parabola():
    assert sag_m(40.0, 40.0, 1.345, 800.0) == pytest.approx(1.345 * 40**2 / (8 * 800), rel=1e-4)
    assert line_in_sag_m(40.0, 40.0, 1.345, 800.0) == pytest.approx(8 * 0.33625**2 / (3 * 40), rel=1e-3)


@pytest.mark.parametrize(
    ("level", "rise", "weight", "tension"), [(30, 12, 1.6, 90), (20, 40, 2.0, 150), (15, -9, 1, 30)]
)
def test_sloping_spans_hang_as_the_equation_says(level: float, rise: float, weight: float, tension: float):
    way = math.hypot(level, rise)
    pull = tension * level / way

    def slopes(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack((y[1], weight / pull * np.sqrt(1 + y[1] ** 2)))

    x = np.linspace(0, level, 200)
    guess = np.vstack((rise * x / level, np.full_like(x, rise / level)))
    found = solve_bvp(slopes, lambda a, b: np.array([a[0], b[0] - rise]), x, guess, tol=1e-9, max_nodes=20_000)
    assert found.success
    assert sag_m(way, level, weight, tension) == pytest.approx(rise / 2 - found.sol(level / 2)[0], rel=1e-6)
    length = quad(lambda at: math.sqrt(1 + found.sol(at)[1] ** 2), 0, level, epsrel=1e-10, limit=200)[0]
    assert line_in_sag_m(way, level, weight, tension) == pytest.approx(length - way, rel=1e-5)


def test_a_plumb_line_does_not_sag():
    assert sag_m(12.0, 0.0, 1.0, 100.0) == line_in_sag_m(12.0, 0.0, 1.0, 100.0) == 0.0
