"""Wire and fibre line in the catalogue beside published tables of strength, mass and stiffness.

Inch cable (MIL-DTL-83420): strengths of FAA AC 43.13-1B (1998), Table 7-3; masses as the specification has them, from
memory; stiffness from the stretch factors of a wire-rope technical page, EA = 100 D^2/G in pounds and inches, 1.40e-5
galvanised and 1.62e-5 stainless for 7x19, 1.07e-5 and 1.20e-5 for 7x7. Metric rope: EN 12385 by its factors, F = d^2
Rr K/1000 and W, from a textbook's table (Feyrer, Wire Ropes, Table 1.9). Music wire: ASTM A228 as a wire mill's page
restates it, 203 GPa and 7850 kg/m3 from memory. Polyester: BS 4928 (1985), 8 strands, as tanker mooring guidelines
restate it, the lowest a double braid is taken for. Aramid copolymer and HMPE: common practice, no source.
"""

from __future__ import annotations

import math
from typing import Literal

import pytest

from sim.strength.catalogue import LineData, find
from tests.outside import falls, rigs
from tests.outside.accuracy.rows import Agrees, practice, table

INCH_M, LBF_N, G = 0.0254, 4.4482216152605, rigs.G
CIRCULAR = table("FAA AC 43.13-1B (1998), Table 7-3")
WEIGHT = table("MIL-DTL-83420, approximate weight, value from memory")
FACTOR = table("stretch factor of a wire-rope technical page (secondary)")
EN_12385 = table("EN 12385 by its factors, Feyrer, Wire Ropes, Table 1.9")
A228 = table("ASTM A228 as a wire mill's page restates it (secondary)")
SECOND = table("modulus on the circumscribed circle of a second technical page (secondary)")


def at(name: str, diameter_m: float, stiffness: Literal["dynamic", "static"] = "dynamic") -> LineData:
    """A type at a size."""
    return find(name).at(diameter_m, stiffness=stiffness)


def strength_N(data: LineData) -> float:
    """Minimum breaking strength."""
    assert data.breaking_strength_N is not None
    return data.breaking_strength_N


def EA_N(data: LineData) -> float:
    """Of a straight curve, or the mean to the last point."""
    force, strain = data.stretch[-1]
    return force / strain


CABLE = {
    # inches: lbf carbon and stainless, lb/100 ft
    "1/16": (480, 480, 0.75),
    "3/32": (1000, 920, 1.74),
    "1/8": (2000, 1760, 2.90),
    "5/32": (2800, 2400, 4.50),
    "3/16": (4200, 3700, 6.50),
    "7/32": (5600, 5000, 8.60),
    "1/4": (7000, 6400, 11.00),
    "5/16": (9800, 9000, 17.30),
    "3/8": (14400, 12000, 24.30),
}
EA_kN = {
    # inches: kN galvanised and stainless, worked out from the factors by hand
    "1/16": (124.1, 107.3),
    "3/32": (279.3, 241.3),
    "1/8": (496.5, 429.0),
    "5/32": (775.7, 670.4),
    "3/16": (1117.0, 965.3),
    "7/32": (1520.4, 1313.9),
    "1/4": (1985.8, 1716.1),
    "5/16": (3102.8, 2681.5),
    "3/8": (4468.1, 3861.3),
}


def inches(text: str) -> float:
    """'3/16' in metres."""
    top, bottom = text.split("/")
    return float(top) / float(bottom) * INCH_M


@pytest.mark.parametrize("size", CABLE)
def test_inch_cable(agrees: Agrees, size: str):
    *pounds, weight = CABLE[size]
    for name, lbf, kN in zip(("7x19 galvanised", "7x19 stainless"), pounds, EA_kN[size], strict=True):
        data = at(name, inches(size))
        assert data.sources["breaking_strength_N"].status == "read"
        agrees(f"{name} {size} in: breaking strength", CIRCULAR, strength_N(data) / LBF_N, lbf, 1e-6, "lbf")
        agrees(f"{name} {size} in: stiffness EA", FACTOR, EA_N(data) / 1e3, kN, 5e-4, "kN")
        per_100_ft = data.mass_kg_per_m * 30.48 / 0.45359237
        agrees(f"{name} {size} in: mass", WEIGHT, per_100_ft, weight, 1e-4, "lb/100 ft")


@pytest.mark.parametrize(("size", "lbf"), [("3/64", 270), ("1/16", 480), ("3/32", 920)])
def test_inch_cable_7x7(agrees: Agrees, size: str, lbf: float):
    for name, factor in (("7x7 galvanised", 1.07e-5), ("7x7 stainless", 1.20e-5)):
        data = at(name, inches(size))
        agrees(f"{name} {size} in: breaking strength", CIRCULAR, strength_N(data) / LBF_N, lbf, 1e-6, "lbf")
        expected_kN = 100.0 * (inches(size) / INCH_M) ** 2 / factor * LBF_N / 1e3
        agrees(f"{name} {size} in: stiffness EA", FACTOR, EA_N(data) / 1e3, expected_kN, 1e-4, "kN")


METRIC = [
    # mm; 7x19 kN, 7x7 kN, 7x19 kg/100 m
    (3, 5.77, 6.18, 3.43),
    (4, 10.25, 10.99, 6.10),
    (5, 16.02, 17.17, 9.53),
    (6, 23.07, 24.72, 13.72),
    (8, 41.01, 43.95, 24.38),
]


@pytest.mark.parametrize(("mm", "kN_7x19", "kN_7x7", "mass"), METRIC)
def test_metric_rope(agrees: Agrees, mm: int, kN_7x19: float, kN_7x7: float, mass: float):
    rope = at("7x19 galvanised", mm / 1000)
    agrees(f"7x19 galvanised {mm} mm: breaking strength", EN_12385, strength_N(rope) / 1e3, kN_7x19, 1e-3, "kN")
    agrees(f"7x19 galvanised {mm} mm: mass", EN_12385, 100.0 * rope.mass_kg_per_m, mass, 1e-3, "kg/100 m")
    stiffer = strength_N(at("7x7 galvanised", mm / 1000)) / 1e3
    agrees(f"7x7 galvanised {mm} mm: breaking strength", EN_12385, stiffer, kN_7x7, 1e-3, "kN")


@pytest.mark.parametrize(("name", "GPa"), [("7x19 stainless", 47.5), ("7x7 stainless", 57.3)])
def test_metric_stainless_stretches_as_a_second_page_says(agrees: Agrees, name: str, GPa: float):
    found = EA_N(at(name, 0.005)) / (math.pi / 4.0 * 0.005**2) / 1e9
    agrees(f"{name} 5 mm: modulus on the circle", SECOND, found, GPa, 1e-3, "GPa")


def test_inch_cable_is_a_fifth_stronger_than_metric_rope(agrees: Agrees):
    """1/4 in has 772 N/mm2 of diameter squared, metric 7x19 of grade 1770 has 641."""
    inch = strength_N(at("7x19 galvanised", 0.25 * INCH_M)) / 6.35**2
    metric = strength_N(at("7x19 galvanised", 0.006)) / 6.0**2
    agrees("7x19 1/4 in: strength over diameter squared", CIRCULAR, inch, 772.0, 1e-3, "N/mm2")
    agrees("7x19 6 mm: strength over diameter squared", EN_12385, metric, 641.0, 1e-3, "N/mm2")


MUSIC = [
    # inches, minimum ksi, kN, EA kN, g/m
    (0.020, 0.489, 41.1, 1.59),
    (0.030, 1.038, 92.6, 3.58),
    (0.032, 1.170, 105.3, 4.07),
    (0.040, 1.761, 164.6, 6.36),
    (0.048, 2.463, 237.0, 9.16),
    (0.063, 4.063, 408.3, 15.8),
    (0.080, 6.305, 658.3, 25.5),
    (0.100, 9.468, 1028.6, 39.8),
    (0.125, 14.25, 1607.2, 62.2),
]


@pytest.mark.parametrize(("size", "kN", "stiff_kN", "g_per_m"), MUSIC)
def test_music_wire(agrees: Agrees, size: float, kN: float, stiff_kN: float, g_per_m: float):
    data = at("music wire", size * INCH_M)
    name = f"music wire {size:.3f} in"
    agrees(f"{name}: breaking strength", A228, strength_N(data) / 1e3, kN, 2e-3, "kN")
    agrees(f"{name}: stiffness EA", table("203 GPa, value from memory"), EA_N(data) / 1e3, stiff_kN, 2e-3, "kN")
    agrees(f"{name}: mass", table("7850 kg/m3, textbooks"), 1e3 * data.mass_kg_per_m, g_per_m, 3e-3, "g/m")


BS_4928 = {8: 1.0, 10: 1.6, 12: 2.3, 14: 3.2, 16: 4.1, 18: 5.1, 20: 6.3, 24: 9.5}
"""Millimetres -> tonnes-force, unspliced."""


@pytest.mark.parametrize("mm", BS_4928)
def test_polyester_is_at_least_eight_strands(agrees: Agrees, mm: int):
    source = table("BS 4928 (1985), 8-strand polyester, tanker mooring guidelines (secondary)")
    known = at("polyester double braid", mm / 1000).sources["breaking_strength_N"]
    agrees.within(
        f"polyester double braid {mm} mm: breaking strength", source, known.value / 1e3, BS_4928[mm] * G, math.inf, "kN"
    )
    agrees(
        f"polyester double braid {mm} mm: low end of its strength", source, known.low / 1e3, BS_4928[mm] * G, 0.05, "kN"
    )


@pytest.mark.parametrize(("mm", "low_kN", "high_kN", "g_per_m"), [(6, 30, 40, 22), (8, 55, 70, 40), (10, 85, 110, 62)])
def test_hmpe(agrees: Agrees, mm: int, low_kN: float, high_kN: float, g_per_m: float):
    data = at("HMPE 12-strand", mm / 1000)
    agrees.within(
        f"HMPE 12-strand {mm} mm: breaking strength", practice(), strength_N(data) / 1e3, low_kN, high_kN, "kN"
    )
    agrees(f"HMPE 12-strand {mm} mm: mass", practice(), 1e3 * data.mass_kg_per_m, g_per_m, 0.02, "g/m")


@pytest.mark.parametrize(("size_m", "name", "tonnes"), [(0.006, "6 mm", 3.0), (0.25 * INCH_M, "1/4 in", 3.5)])
def test_aramid_copolymer(agrees: Agrees, size_m: float, name: str, tonnes: float):
    """Strength from the catalogue; stretch through a rig, hung with a tenth and a fifth of it."""
    data = at("aramid copolymer 12-strand", size_m, "static")
    case = f"aramid copolymer 12-strand {name}"
    agrees(f"{case}: breaking strength", practice(), strength_N(data) / 1e3, tonnes * G, 0.15, "kN")
    rope = {"type": "aramid copolymer 12-strand", "diameter": rigs.of(1e3 * size_m, "mm"), "stiffness": "static"}
    for share, percent in ((0.1, 0.6), (0.2, 0.9)):
        found = rigs.run(falls.hung(share * tonnes * 1e3, rope, 10.0))
        stretched = 100.0 * falls.stretch(found, 10.0)
        agrees(f"{case}: stretch at {share:.0%} of its strength", practice(), stretched, percent, 0.15, "%")


def test_small_sheaves_for_aramid_copolymer(agrees: Agrees):
    ratio = at("aramid copolymer 12-strand", 0.006).D_to_d_strength
    assert ratio is not None
    agrees("aramid copolymer: least D:d for strength", practice(), ratio, 3.0, 0.15)
    for name in ("7x19 galvanised", "7x19 stainless", "7x7 galvanised"):
        ratio = at(name, 0.005).D_to_d_strength
        assert ratio is not None
        agrees(f"{name}: least D:d for strength", practice(), ratio, 20.0, 0.15)
