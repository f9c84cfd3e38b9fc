"""The catalogue's dynamic kernmantle in the standard fall of climbing ropes, beside 101 ropes measured in it.

The ropes: data set `ropes` of the R package plsdepot 0.1.18, makers' published type tests of single ropes, 2011.
First peak of 80 kg 5.8 to 10.3 kN, mean 8.46 kN; greatest stretch 26 to 39 %; stretch from 5 to 80 kg standing still
4.2 to 11 %. Stiffness that gives the peak without damping over stiffness standing still: 2.08 +- 0.40. The
catalogue's size of 10 mm was made from the means of these ropes, so at 10 mm this checks the program; other sizes,
strands and masses check the law. Damping is the one of bodies ringing down, 10.5 %, never more than 30 % of the
tension: that part is what mean peak and mean stretch together ask for. (Without a limit they ask for a ratio of 6 %.)
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import pytest

import sim
from tests.outside import falls, rigs
from tests.outside.accuracy.rows import Agrees, closed_form, record, table
from tests.outside.rigs import G

LENGTH_M, FALL_M = falls.STANDARD_FALL["length_m"], falls.STANDARD_FALL["free_fall_m"]
MEAN_PEAK_kN, RATIO = 8.46, 2.08
ROPES = record("101 single ropes, makers' type tests: data set 'ropes' of the R package plsdepot 0.1.18")
STANDARD = table("EN 892 and UIAA 101, as an encyclopedia and a climbing page restate them")
HALF_ROPES = record("four half ropes, a rope maker's test staff in a climbing blog, 30 November 2006")


def rope(mm: float, stiffness: str = "dynamic") -> dict[str, Any]:
    """The catalogue's rope of a size."""
    return {"type": "dynamic kernmantle", "diameter": rigs.of(mm, "mm"), "stiffness": stiffness}


@cache
def standard_fall(mm: float, mass_kg: float = 80.0, stiffness: str = "dynamic") -> rigs.Run:
    """80 kg, or another mass, in the standards' rig."""
    return rigs.run(falls.fall(mass_kg, rope(mm, stiffness), **falls.STANDARD_FALL))


def impact_kN(mm: float, mass_kg: float = 80.0) -> float:
    """The first peak."""
    return falls.impact_N(standard_fall(mm, mass_kg)) / 1e3


def most_percent(mm: float, mass_kg: float = 80.0) -> float:
    """The greatest stretch in the fall."""
    return 100.0 * falls.stretch(standard_fall(mm, mass_kg), LENGTH_M)


def rest_percent(mm: float) -> float:
    """Stretch from 5 to 80 kg standing still."""
    light, heavy = (falls.stretch(rigs.run(falls.hung(m, rope(mm, "static"), LENGTH_M)), LENGTH_M) for m in (5, 80))
    return 100.0 * (heavy - light)


@pytest.mark.parametrize("mm", [9.0, 10.0, 11.0])
def test_single_ropes(agrees: Agrees, mm: float):
    agrees.within(f"{mm:g} mm, 80 kg: peak among the measured", ROPES, impact_kN(mm), 5.8, 10.3, "kN")
    agrees.within(f"{mm:g} mm, 80 kg: greatest stretch among the measured", ROPES, most_percent(mm), 26, 39, "%")
    agrees.within(f"{mm:g} mm: stretch from 5 to 80 kg among the measured", ROPES, rest_percent(mm), 4.2, 11.0, "%")
    agrees.within(f"{mm:g} mm, 80 kg: peak of a single rope", STANDARD, impact_kN(mm), 0, 12, "kN")
    agrees.within(f"{mm:g} mm, 80 kg: greatest stretch of a single rope", STANDARD, most_percent(mm), 0, 40, "%")
    agrees.within(f"{mm:g} mm: stretch from 5 to 80 kg of a single rope", STANDARD, rest_percent(mm), 0, 10, "%")


@pytest.mark.parametrize("mm", [8.0, 8.5, 9.0])
def test_half_ropes(agrees: Agrees, mm: float):
    agrees.within(f"{mm:g} mm, 55 kg: peak of a half rope", STANDARD, impact_kN(mm, 55.0), 0, 8, "kN")
    agrees.within(f"{mm:g} mm, 55 kg: greatest stretch of a half rope", STANDARD, most_percent(mm, 55.0), 0, 40, "%")
    agrees.within(f"{mm:g} mm: stretch from 5 to 80 kg of a half rope", STANDARD, rest_percent(mm), 0, 12, "%")
    # two measurements of one of those ropes lie up to 11 % apart
    case = f"{mm:g} mm, 55 kg: peak among the measured"
    agrees.within(case, HALF_ROPES, impact_kN(mm, 55.0), 5.39, 6.25, "kN", allowed=0.11)


def test_a_pair_of_twin_ropes(agrees: Agrees):
    line = {"route": ["anchor", "weight"], "length": rigs.of(LENGTH_M, "m"), **rope(8.0)}
    text = rigs.scenario(
        performers={"weight": rigs.performer(80.0, rigs.at(0.005, 0, 102), release_s=0.1)},
        lines={"one": line, "other": line},
        anchors={"anchor": rigs.anchor(0, 0, 100)},
        duration_s=2.0,
    )
    found = rigs.run(text).case
    both = found.peaks["anchor"].force_N
    assert both == pytest.approx(found.peaks["one"].force_N + found.peaks["other"].force_N, rel=1e-3)
    agrees.within("two of 8 mm, 80 kg: peak of twin ropes", STANDARD, both / 1e3, 0, 12, "kN")


def test_the_mean_rope(agrees: Agrees):
    """Undamped, the mean peak asks for EA = F (F - 2 m g)/(2 m g f) = 21.0 kN; 2.08 times less is 10.1 kN, 7.3 % of
    stretch from 5 to 80 kg. With that stiffness the fall comes out 27 % low, as the data set says of its own peaks: a
    rope's stretch at rest does not foretell its force in a fall."""
    agrees("10 mm, 80 kg: mean peak", ROPES, impact_kN(10.0), MEAN_PEAK_kN, 0.02, "kN")
    weight, factor, peak = 80.0 * G, FALL_M / LENGTH_M, 1e3 * MEAN_PEAK_kN
    slow_N = peak * (peak - 2.0 * weight) / (2.0 * weight * factor) / RATIO
    agrees("10 mm: mean stretch from 5 to 80 kg", ROPES, rest_percent(10.0), 100.0 * 75.0 * G / slow_N, 0.02, "%")
    linear = {"type": {"stiffness_EA": rigs.of(slow_N, "N"), "mass_per_length": "0.001 g/m", "damping_time": "0 s"}}
    low = falls.impact_N(rigs.run(falls.fall(80.0, linear, **falls.STANDARD_FALL))) / peak
    agrees("80 kg: peak with the stiffness at rest, off the mean", ROPES, 100 * (low - 1), -27, unit="%", allowed_abs=1)


@pytest.mark.parametrize(("length_m", "free_fall_m"), [(2.6, 4.6), (6.0, 1.5)])
def test_a_damping_ratio_is_of_the_bounce_on_the_whole_rope(agrees: Agrees, length_m: float, free_fall_m: float):
    """With the rope's own length, however near its anchor the weight is held."""
    rig = sim.build_rig(sim.read_text(falls.fall(80.0, rope(10.0), length_m, free_fall_m), "fall"))
    material = rig.line("rope").material
    force, strain = material.stretch[-1]
    tau_ms = 2e3 * 0.105 * math.sqrt(80.0 * length_m * strain / force)
    vibration = closed_form("2 zeta sqrt(m L / EA), vibration textbooks")
    case = f"10.5 % of the bounce of 80 kg on {length_m:g} m: damping time"
    agrees(case, vibration, 1e3 * material.damping_time_s, tau_ms, 1e-6, "ms")
