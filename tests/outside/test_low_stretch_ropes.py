"""The catalogue's low-stretch kernmantle beside EN 1891 and beside measured drops.

EN 1891, type A, as a summary sheet and catalogues restate it: at most 5 % from 50 to 150 kg, 22 kN of strength, less
than 6 kN when 100 kg fall at factor 0.3. Measured drops: a tester's blog, October 2018, six ropes of this kind, 100
kg on 2 m, figure-eight knots at both ends: at factor 1 about 12 kN on an unused rope and 10 kN on old ones; all under
6 kN when dropped 0.6 m. Their diameters were not read; such ropes have 10 to 11 mm.

What differs: at factor 0.3 the catalogue's middle value gives 5.9 kN at 10 mm and 6.4 kN at 11 mm, up to 6 % above
the standard's bound; at factor 1 it gives 10.0 and 10.9 kN, between the old ropes and the unused one, 9 to 17 % below
that. One straight curve cannot meet both: real rope is softer at first, and knots that tighten give some length
whatever the fall, which counts most in a small one. Neither is in the catalogue, as no measurement of either was
found; the range of its stiffness reaches both.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import pytest

from sim.strength.catalogue import find
from tests.outside import falls, rigs
from tests.outside.accuracy.rows import Agrees, record, table

SAMPLE_M = 2.0
STANDARD = table("EN 1891 type A, as a summary sheet and catalogues restate it")
DROPS = record("drops on low-stretch rope, a tester's blog, October 2018: about 10 kN old, 12 kN unused")


def rope(mm: float, stiffness: str = "dynamic") -> dict[str, Any]:
    """The catalogue's rope of a size."""
    return {"type": "low-stretch kernmantle", "diameter": rigs.of(mm, "mm"), "stiffness": stiffness}


@cache
def impact_kN(mm: float, factor: float) -> float:
    """Of 100 kg."""
    return falls.impact_N(rigs.run(falls.fall(100.0, rope(mm), SAMPLE_M, factor * SAMPLE_M))) / 1e3


def of_its_own(stiffness_N: float, damping: str) -> dict[str, Any]:
    """A linear line with a damping ratio in percent."""
    keys = {"stiffness_EA": rigs.of(stiffness_N, "N"), "mass_per_length": "62 g/m", "damping_ratio": damping}
    return {"type": keys}


@pytest.mark.parametrize("mm", [10.0, 10.5, 11.0, 13.0])
def test_stretch_and_strength(agrees: Agrees, mm: float):
    light, heavy = (falls.stretch(rigs.run(falls.hung(m, rope(mm, "static"), SAMPLE_M)), SAMPLE_M) for m in (50, 150))
    agrees.within(f"{mm:g} mm: stretch from 50 to 150 kg", STANDARD, 100.0 * (heavy - light), 0.0, 5.0, "%")
    strength = find("low-stretch kernmantle").at(mm / 1000.0).breaking_strength_N
    assert strength is not None
    agrees.within(f"{mm:g} mm: breaking strength", STANDARD, strength / 1e3, 22.0, math.inf, "kN")


@pytest.mark.parametrize("mm", [10.0, 10.5, 11.0])
def test_factor_one_lies_among_the_measured(agrees: Agrees, mm: float):
    # Both were read to the kilonewton.
    agrees.within(f"{mm:g} mm: 100 kg at factor 1", DROPS, impact_kN(mm, 1.0), 9.5, 12.5, "kN")


def test_the_small_fall(agrees: Agrees):
    agrees.within("10 mm: 100 kg at factor 0.3", STANDARD, impact_kN(10.0, 0.3), 0.0, 6.0, "kN")


@pytest.mark.parametrize(("mm", "small_kN", "large_kN"), [(10.0, 5.89, 9.99), (11.0, 6.38, 10.90)])
def test_what_differs_is_as_much_as_is_said(mm: float, small_kN: float, large_kN: float):
    assert impact_kN(mm, 0.3) == pytest.approx(small_kN, abs=0.03)
    assert impact_kN(mm, 1.0) == pytest.approx(large_kN, abs=0.03)
    notes = " ".join(find("low-stretch kernmantle").notes)
    assert "6.4 kN at 11 mm" in notes
    assert "10.9 kN where an unused rope measured about 12" in notes


@pytest.mark.parametrize("mm", [10.0, 11.0])
def test_the_range_of_stiffness_reaches_both(agrees: Agrees, mm: float):
    """The softest without damping, so with its curve alone to keep the force down; the stiffest with the type's."""
    data = find("low-stretch kernmantle").at(mm / 1000.0)
    force_N, strain = data.stretch[-1][0], data.sources["stretch"]
    soft = falls.fall(100.0, of_its_own(force_N / strain.high, "0 %"), SAMPLE_M, 0.6)
    softest_kN = falls.impact_N(rigs.run(soft)) / 1e3
    agrees.within(f"{mm:g} mm, softest: 100 kg at factor 0.3", STANDARD, softest_kN, 0.0, 6.0, "kN")
    hard = falls.fall(100.0, of_its_own(force_N / strain.low, "6 %"), SAMPLE_M, SAMPLE_M)
    stiffest_kN = falls.impact_N(rigs.run(hard)) / 1e3
    agrees.within(f"{mm:g} mm, stiffest: 100 kg at factor 1", DROPS, stiffest_kN, 12.0, math.inf, "kN")
