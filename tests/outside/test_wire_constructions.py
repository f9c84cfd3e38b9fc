"""Wire of other constructions beside the catalogue's: fibre cores, six strands of nineteen, what cable measures.

6x7 with fibre core: API Specification 9A, Table C.1, as a document page shows it. It is a 7x7 rope whose middle strand
is a fibre rope, so a 7x7 of the catalogue without a seventh of its wire must have its strength; of its mass the core is
the rest. 6x19 with steel core: EN 12385 by its factors, from a textbook's table (Feyrer, Wire Ropes, Table 1.9); the
stretch factor of a wire-rope technical page, 1.36e-5; and 6x19 with fibre core in a table of an engineering page
(improved plow steel), than which a steel core makes it 7 % stronger by a wire-rope seller's page. What inch cable may
measure above its name: FAA AC 43.13-1B (1998), Table 7-3.

What differs: 1/4 in is given to two digits there and its strength here comes from millimetres, so the 6x19 of inch
sizes is held to 5 %.
"""

from __future__ import annotations

import math

import pytest

from sim.strength.slips import inch_size_meant
from tests.outside.accuracy.rows import Agrees, table
from tests.outside.test_line_tables import CIRCULAR, EA_N, EN_12385, FACTOR, INCH_M, LBF_N, at, strength_N

API = table("API Specification 9A, Table C.1, 6x7 with fibre core, grade 1770")
FIBRE_CORE = {
    # mm: kN, kg/100 m
    6: (21.2, 12.4),
    7: (28.8, 16.9),
    8: (37.6, 22.1),
    9: (47.6, 27.9),
    10: (58.8, 34.5),
    11: (71.1, 41.7),
    12: (84.6, 49.7),
}


@pytest.mark.parametrize("mm", FIBRE_CORE)
def test_six_of_seven_strands_are_a_rope_with_fibre_core(agrees: Agrees, mm: int):
    kN, kg = FIBRE_CORE[mm]
    rope = at("7x7 galvanised", mm / 1e3)
    agrees(
        f"7x7 {mm} mm, six of its seven strands: breaking strength", API, 6 / 7 * strength_N(rope) / 1e3, kN, 5e-3, "kN"
    )
    wire = 6 / 7 * 100.0 * rope.mass_kg_per_m
    agrees.within(f"7x7 {mm} mm, six of its seven strands: mass without the core", API, wire, 0.9 * kg, kg, "kg/100 m")


SIX_BY_19 = {
    # mm: kN and kg/100 m by K = 0.356, W = 0.400, grade 1770
    6: (22.68, 14.40),
    8: (40.33, 25.60),
    10: (63.01, 40.00),
    12: (90.74, 57.60),
}


@pytest.mark.parametrize("mm", SIX_BY_19)
def test_six_strands_of_nineteen(agrees: Agrees, mm: int):
    rope = at("6x19 steel core", mm / 1e3)
    kN, kg = SIX_BY_19[mm]
    agrees(f"6x19 steel core {mm} mm: breaking strength", EN_12385, strength_N(rope) / 1e3, kN, 1e-3, "kN")
    agrees(f"6x19 steel core {mm} mm: mass", EN_12385, 100.0 * rope.mass_kg_per_m, kg, 1e-3, "kg/100 m")
    modulus = EA_N(rope) / (math.pi / 4.0 * (mm / 1e3) ** 2) / 1e9
    agrees(f"6x19 steel core {mm} mm: modulus on the circle", FACTOR, modulus, 64.5, 2e-3, "GPa")


@pytest.mark.parametrize(("size", "lbf"), [(1 / 4, 5480), (5 / 16, 8520), (3 / 8, 12200), (1 / 2, 21400)])
def test_a_steel_core_makes_it_stronger_than_a_fibre_core(agrees: Agrees, size: float, lbf: float):
    source = table("6x19 with fibre core, engineering page, and 7 % more with a steel core, seller's page (secondary)")
    ours = strength_N(at("6x19 steel core", size * INCH_M)) / LBF_N
    agrees(f"6x19 steel core {size:.4g} in: breaking strength", source, ours, 1.07 * lbf, 0.05, "lbf")


@pytest.mark.parametrize(
    ("size", "nominal", "over_in"),
    [("1/8 in", 1 / 8, 0.014), ("5/32 in", 5 / 32, 0.016), ("3/16 in", 3 / 16, 0.018), ("1/4 in", 1 / 4, 0.018)],
)
def test_how_thick_inch_cable_may_measure(agrees: Agrees, size: str, nominal: float, over_in: float):
    """The thickest that the program takes for it, in steps of 10 um that are no metric sizes; and never one thinner."""
    steps_m = [
        1e-5 * n + 3e-6 for n in range(int(1e5 * (nominal - 0.03) * INCH_M), int(1e5 * (nominal + 0.04) * INCH_M))
    ]
    taken = [each / INCH_M - nominal for each in steps_m if inch_size_meant(each) == size]
    agrees(
        f"{size}: thickest that is taken for it, over its name",
        CIRCULAR,
        max(taken),
        over_in,
        unit="in",
        allowed_abs=5e-4,
    )
    rounded = table("two in a hundred, a size rounded to a tenth of a millimetre")
    agrees.within(
        f"{size}: thinnest that is taken for it, under its name", rounded, -min(taken), 0.0, 0.02 * nominal, "in"
    )
