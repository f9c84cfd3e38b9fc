"""A person stopped by a force that cannot rise: the shortest way there is for a limit on force.

What falls h and is stopped by a constant F travels m g h / (F - m g) more: the least that any absorber, slipping
brake or hand can do with. Limits read in a regulation and in catalogues: 1800 lbf on a harness and 6 ft of free fall
(29 CFR 1926.502(d)(16), as a state regulation restates it), 6 kN on 100 kg falling 4 m (EN 355, as two catalogues
restate it). Neither was made for flying performers, and nothing is judged by them here. The force is held by a winch
of next to no mass whose line slips at its grip.
"""

from __future__ import annotations

import pytest

from sim.results.body import PUBLISHED
from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form, table

LBF_N, FOOT_M = 4.4482216152605, 0.3048
ENERGY = closed_form("m g h / (F - m g)")
TOP_M = 100.0


@pytest.mark.parametrize(
    ("what", "mass_kg", "fall_m", "force_N", "way_m"),
    [("1800 lbf after 6 ft", 100.0, 6.0 * FOOT_M, 1800.0 * LBF_N, 0.2553), ("6 kN after 4 m", 100.0, 4.0, 6e3, 0.7815)],
)
def test_the_way_to_stop(agrees: Agrees, what: str, mass_kg: float, fall_m: float, force_N: float, way_m: float):
    length_m = 6.0
    formula = mass_kg * rigs.G * fall_m / (force_N - mass_kg * rigs.G)
    assert formula == pytest.approx(way_m, abs=6e-5)
    text = rigs.scenario(
        performers={"weight": rigs.performer(mass_kg, rigs.at(0, 0, TOP_M - length_m + fall_m), release_s=0.1)},
        lines={"line": rigs.line(100e6, ["winch", "weight"], length_m=length_m, damping_s=1e-5)},
        drives={"winch": rigs.winch(rigs.at(0, 0, TOP_M), 0.01) | {"grip": rigs.of(force_N, "N")}},
        moves=[rigs.move(1e-3, 1e-2, start_s=0.01)],
        duration_s=2.5,
        tolerance=1e-7,
    )
    found = rigs.run(text)
    stopped_m = TOP_M - length_m - found.case.performers["weight"].lowest_height_m
    agrees(f"100 kg, {what}: way", ENERGY, stopped_m, formula + 1e-3, 5e-3, "m")


def test_what_stands_beside_the_figures(agrees: Agrees):
    forces = sorted(each.value for each in PUBLISHED if each.unit == "N")
    agrees(
        "harness force of 29 CFR 1926.502",
        table("1800 lbf, 29 CFR 1926.502(d)(16)"),
        forces[1],
        1800.0 * LBF_N,
        1e-5,
        "N",
    )
    agrees("force of EN 355", table("6 kN, EN 355 as two catalogues restate it"), forces[0], 6e3, 1e-9, "N")
