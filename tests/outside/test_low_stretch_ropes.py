"""The catalogue's low-stretch kernmantle beside EN 1891 and beside measured drops.

EN 1891, type A, as a summary sheet and catalogues restate it: at most 5 % from 50 to 150 kg, 22 kN of strength, less
than 6 kN when 100 kg fall at factor 0.3. Measured drops: a tester's blog, October 2018, six ropes of this kind, 100
kg on 2 m, figure-eight knots at both ends: at factor 1 about 12 kN on an unused rope and 10 kN on old ones; all under
6 kN when dropped 0.6 m. Their diameters were not read; such ropes have 10 to 11 mm.

The catalogue's fast curve was made from these two falls at 11 mm: just below the standard's bound, and what the unused
rope measured, which is the hardest rope that both leave open. So at 11 mm this checks the program; other sizes and the
range check the law. Up to 6 kN it is 1.7 times as stiff as slowly pulled, and climbing ropes are 2.08 +- 0.40 times.

What differs: old ropes measured 10 kN at factor 1. At the soft end of its range the catalogue gives that at 10 mm, and
10.7 kN at 11 mm: an old rope is caught softer than it says.
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


def at_an_end(mm: float, times: float, damping: str) -> dict[str, Any]:
    """The catalogue's fast curve with all its strains so many times as large."""
    curve = find("low-stretch kernmantle").at(mm / 1000.0).stretch
    points = {rigs.of(force, "N"): rigs.of(100 * times * strain, "%") for force, strain in curve if force > 0}
    return {"type": {"stretch": points, "mass_per_length": "62 g/m", "damping_ratio": damping}}


def of_range_kN(mm: float, factor: float, times: float, damping: str) -> float:
    """Of 100 kg on that rope."""
    text = falls.fall(100.0, at_an_end(mm, times, damping), SAMPLE_M, factor * SAMPLE_M)
    return falls.impact_N(rigs.run(text)) / 1e3


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


@pytest.mark.parametrize("mm", [10.0, 10.5, 11.0])
def test_the_small_fall(agrees: Agrees, mm: float):
    agrees.within(f"{mm:g} mm: 100 kg at factor 0.3", STANDARD, impact_kN(mm, 0.3), 0.0, 6.0, "kN")


def test_an_unused_rope(agrees: Agrees):
    unused = record("drops on low-stretch rope, a tester's blog, October 2018: unused, about 12 kN")
    agrees("11 mm: 100 kg at factor 1, unused", unused, impact_kN(11.0, 1.0), 12.0, 0.02, "kN")
    notes = " ".join(find("low-stretch kernmantle").notes)
    assert "5.9 kN" in notes
    assert impact_kN(11.0, 0.3) == pytest.approx(5.9, abs=0.05)


def test_fast_over_slow_is_within_that_of_climbing_ropes(agrees: Agrees):
    climbing = record("101 single ropes, data set 'ropes' of the R package plsdepot: 2.08 +- 0.40 without damping")
    fast, slow = (find("low-stretch kernmantle").at(0.011, "bedded", how).stretch[1] for how in ("dynamic", "static"))
    ratio = (fast[0] / fast[1]) / (slow[0] / slow[1])
    agrees.within("11 mm, up to 3 kN: fast stiffness over slow", climbing, ratio, 1.68, 2.48)


@pytest.mark.parametrize("mm", [10.0, 11.0])
def test_the_range_of_stiffness_reaches_old_ropes_and_unused_ones(agrees: Agrees, mm: float):
    """The softest without damping, so with its curve alone to keep the force down; the stiffest with the type's."""
    stretch = find("low-stretch kernmantle").at(mm / 1000.0).sources["stretch"]
    softest_kN = of_range_kN(mm, 1.0, stretch.high / stretch.value, "0 %")
    if mm == 10.0:
        agrees.within("10 mm, softest: 100 kg at factor 1, old rope", DROPS, softest_kN, 0.0, 10.5, "kN")
    else:
        assert softest_kN == pytest.approx(10.7, abs=0.05)
    stiffest_kN = of_range_kN(mm, 1.0, stretch.low / stretch.value, "6 %")
    agrees.within(f"{mm:g} mm, stiffest: 100 kg at factor 1", DROPS, stiffest_kN, 12.0, math.inf, "kN")
