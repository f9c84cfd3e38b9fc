"""Four half ropes dropped with 55 and with 80 kg: each identified at 55 kg, its force at 80 kg predicted.

The record: falls of the rope standards' rig (EN 892, UIAA 101) on four ropes, by a rope maker's test staff in a
climbing blog, 30 November 2006; 20 degC for 48 hours, 42 % humidity, without the standard's conditioning. What the
makers publish for the same ropes at 55 kg differs from this record by 1 to 11 %. Rope D is an outlier: the linear law
predicts it 21 % low, the square law 16 %.

The record has peaks only, so it cannot tell damping from stiffness. Two dampings are run, neither of them chosen by
its result: none, and 6 % of critical of 80 kg on the rope, which 101 other ropes in the same rig gave
(`test_climbing_ropes.py`). The prediction moves by about 1 % between them. Friction at the edge near the fixed end
and the knot at the weight are not in the rig.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import pytest
from scipy.optimize import root_scalar

from tests.outside import falls, rigs
from tests.outside.accuracy.rows import Agrees, closed_form, record
from tests.outside.rigs import G

LENGTH_M, FALL_M = falls.STANDARD_FALL["length_m"], falls.STANDARD_FALL["free_fall_m"]
RECORD_kN = {"A": (5.39, 7.35, 4.85), "B": (6.23, 8.15, 6.3), "C": (6.25, 8.23, 6.5), "D": (5.88, 9.22, 6.1)}
"""Rope -> peak at 55 kg, at 80 kg, and what its maker publishes at 55 kg."""
OUTLIER = "D"

Law = Callable[[float], dict[str, Any]]


def linear(stiffness_N: float) -> dict[str, Any]:
    """Force as strain."""
    return {"stiffness_EA": rigs.of(stiffness_N, "N")}


def square(factor_N: float) -> dict[str, Any]:
    """Force as strain squared."""
    return {"stretch": {rigs.of(factor_N * e * e, "N"): rigs.of(100 * e, "%") for e in np.arange(0.02, 1.21, 0.02)}}


def bounce_rad_s(law: Law, size_N: float) -> float:
    """Of 80 kg at rest on the rope, small movements: the frequency that a damping ratio is of."""
    slope = size_N if law is linear else 2.0 * math.sqrt(size_N * 80.0 * G)
    return math.sqrt(slope / LENGTH_M / 80.0)


@cache
def peak_kN(law: Law, size_N: float, damping_ratio: float, mass_kg: float) -> float:
    """The same rope whatever falls: its damping time stays that of 80 kg."""
    tau = rigs.of(2.0 * damping_ratio / bounce_rad_s(law, size_N), "s")
    rope = {"type": {**law(size_N), "mass_per_length": "0.001 g/m", "damping_time": tau}}
    return falls.impact_N(rigs.run(falls.fall(mass_kg, rope, **falls.STANDARD_FALL, tolerance=1e-6))) / 1e3


@cache
def predicted_kN(law: Law, rope: str, damping_ratio: float) -> float:
    """At 80 kg, of the rope that gives the record's force at 55 kg."""
    at_55 = RECORD_kN[rope][0]
    size_N = root(lambda s: peak_kN(law, s, damping_ratio, 55.0) - at_55, 4e3, 1e5)
    return peak_kN(law, size_N, damping_ratio, 80.0)


def root(of: Callable[[float], float], low: float, high: float) -> float:
    """Where a function is zero."""
    return root_scalar(of, bracket=(low, high), rtol=1e-6).root


def off_percent(law: Law, rope: str, damping_ratio: float) -> float:
    """Predicted against measured."""
    return 100.0 * (predicted_kN(law, rope, damping_ratio) / RECORD_kN[rope][1] - 1.0)


RECORD = record("four half ropes in the standard fall, a rope maker's test staff in a climbing blog, 30 November 2006")
DAMPED = {0.0: "no damping", 0.06: "6 % damping"}


@pytest.mark.parametrize("damping_ratio", DAMPED)
@pytest.mark.parametrize(("law", "allowed"), [(linear, 0.10), (square, 0.05)])
@pytest.mark.parametrize("rope", [name for name in RECORD_kN if name != OUTLIER])
def test_a_rope_known_at_55_kg_predicts_80_kg(
    agrees: Agrees, rope: str, law: Law, allowed: float, damping_ratio: float
):
    # What is allowed was set before these runs, from hand arithmetic without damping: linear 6 to 9.5 % low, squared
    # within about 3 %.
    case = f"rope {rope} at 80 kg from 55 kg: {law.__name__} law, {DAMPED[damping_ratio]}"
    agrees(case, RECORD, predicted_kN(law, rope, damping_ratio), RECORD_kN[rope][1], allowed, "kN")


@pytest.mark.parametrize(("rope", "percent"), [("A", -9.5), ("B", -6.0), ("C", -6.6), (OUTLIER, -21.5)])
def test_the_linear_prediction_is_the_textbooks(agrees: Agrees, rope: str, percent: float):
    """F = mg + sqrt((mg)^2 + 2 mg EA f) solved for EA at 55 kg and used at 80 kg, by hand."""
    light, heavy, factor = 55.0 * G, 80.0 * G, FALL_M / LENGTH_M
    force = 1e3 * RECORD_kN[rope][0]
    stiffness = force * (force - 2.0 * light) / (2.0 * light * factor)
    hand_kN = (heavy + math.sqrt(heavy**2 + 2.0 * heavy * stiffness * factor)) / 1e3
    formula = closed_form("F = mg + sqrt((mg)^2 + 2 mg EA f), encyclopedia on the fall factor, twice")
    agrees(f"rope {rope} at 80 kg: linear law by hand", formula, predicted_kN(linear, rope, 0.0), hand_kN, 1e-3, "kN")
    assert off_percent(linear, rope, 0.0) == pytest.approx(percent, abs=0.06)


@pytest.mark.parametrize("rope", RECORD_kN)
def test_the_prediction_by_squared_strain_is_the_energy_balance(agrees: Agrees, rope: str):
    def most_strain(factor_N: float, mass_kg: float) -> float:
        return root(lambda e: mass_kg * G * (FALL_M + LENGTH_M * e) - factor_N * LENGTH_M * e**3 / 3.0, 0.0, 5.0)

    factor = root(lambda k: k * most_strain(k, 55.0) ** 2 - 1e3 * RECORD_kN[rope][0], 1e3, 1e6)
    hand_kN = factor * most_strain(factor, 80.0) ** 2 / 1e3
    formula = closed_form("m g (h + L e) = k L e^3 / 3 at the lowest point, for both masses")
    agrees(f"rope {rope} at 80 kg: square law by hand", formula, predicted_kN(square, rope, 0.0), hand_kN, 1e-3, "kN")


def test_the_outlier_stays_one():
    """Rope D gave 57 % more force at 80 kg than at 55 kg, the others 31 to 36 %. A force that is a power of strain
    rises less than the mass does, 45 %: so D was near the end of its stretch, or one of its readings is no good.
    Nothing is fitted to it: it is predicted far too low."""
    assert off_percent(linear, OUTLIER, 0.0) < -20.0
    assert off_percent(square, OUTLIER, 0.0) < -15.0


@pytest.mark.parametrize("rope", RECORD_kN)
def test_damping_that_nobody_measured_matters_little(rope: str):
    """It moves a prediction by 1.2 % at most, while two measurements of one rope at 55 kg lie up to 11 % apart."""
    assert abs(off_percent(linear, rope, 0.06) - off_percent(linear, rope, 0.0)) < 1.2
