"""A person stopped by a force that cannot rise: the shortest way there is for a limit on force.

What falls h and is stopped by a constant F travels m g h / (F - m g) more: the least that any absorber, slipping brake
or hand can do with; what it feels meanwhile is F over its weight. Limits read in a regulation and in catalogues: 1800
lbf on a harness and 6 ft of free fall (29 CFR 1926.502(d)(16), as a state regulation restates it), 6 kN on 100 kg
falling 4 m (EN 355, as two catalogues restate it). Neither was made for flying performers, and nothing is judged by
them here. The force is held by a winch of next to no mass whose line slips at its grip.
"""

from __future__ import annotations

import pytest

from sim.results.body import PUBLISHED
from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form, table

LBF_N, FOOT_M = 4.4482216152605, 0.3048
ENERGY = closed_form("m g h / (F - m g)")
TOP_M, LENGTH_M = 100.0, 6.0


def stopped(mass_kg: float, fall_m: float, force_N: float) -> rigs.Run:
    """A weight that falls so far onto a line that slips at this force."""
    text = rigs.scenario(
        performers={"weight": rigs.performer(mass_kg, rigs.at(0, 0, TOP_M - LENGTH_M + fall_m), release_s=0.1)},
        lines={"line": rigs.line(100e6, ["winch", "weight"], length_m=LENGTH_M, damping_s=1e-5)},
        drives={"winch": rigs.winch(rigs.at(0, 0, TOP_M), 0.01) | {"grip": rigs.of(force_N, "N")}},
        moves=[rigs.move(1e-3, 1e-2, start_s=0.01)],
        duration_s=2.5,
        tolerance=1e-7,
    )
    return rigs.run(text)


@pytest.mark.parametrize(
    ("what", "mass_kg", "fall_m", "force_N", "way_m"),
    [("1800 lbf after 6 ft", 100.0, 6.0 * FOOT_M, 1800.0 * LBF_N, 0.2553), ("6 kN after 4 m", 100.0, 4.0, 6e3, 0.7815)],
)
def test_the_way_to_stop(agrees: Agrees, what: str, mass_kg: float, fall_m: float, force_N: float, way_m: float):
    formula = mass_kg * rigs.G * fall_m / (force_N - mass_kg * rigs.G)
    assert formula == pytest.approx(way_m, abs=6e-5)
    found = stopped(mass_kg, fall_m, force_N)
    stopped_m = TOP_M - LENGTH_M - found.case.performers["weight"].lowest_height_m
    agrees(f"100 kg, {what}: way", ENERGY, stopped_m, formula + 1e-3, 5e-3, "m")


@pytest.mark.parametrize(
    ("what", "mass_kg", "force_N", "g"),
    [
        ("1800 lbf on 140.6 kg", 140.6, 1800.0 * LBF_N, 5.81),
        ("1800 lbf on 80 kg", 80.0, 1800.0 * LBF_N, 10.21),
        ("6 kN on 100 kg", 100.0, 6e3, 6.12),
        ("6 kN on 75 kg", 75.0, 6e3, 8.16),
    ],
)
def test_what_a_force_is_to_a_body(agrees: Agrees, what: str, mass_kg: float, force_N: float, g: float):
    """One limit of force is twice as many g to one person as to another; and the same in the program, slipping."""
    trace = stopped(mass_kg, 2.0, force_N).trace
    slips = trace.columns["line_speed_m_s:winch"] > 0.5
    mean_g = float(trace.columns["g:weight"][slips].mean())
    agrees(f"{what}: force over weight", closed_form("F / (m g), to two decimals"), mean_g, g, 5e-3)


def test_what_is_quoted_of_harnesses_stands_beside_the_figures(agrees: Agrees):
    quoted = sorted(each.value for each in PUBLISHED if each.figure == "force over weight")
    page = table("6 g in an industrial harness, 12 g in a parachute harness, rigging-education page (secondary)")
    agrees("force over weight quoted of an industrial harness", page, quoted[0], 6.0, 1e-9)
    agrees("force over weight quoted of a parachute harness", page, quoted[1], 12.0, 1e-9)
    on_100_kg = min(each.value for each in PUBLISHED if each.unit == "N") / (100.0 * rigs.G)
    agrees("force of EN 355 on its 100 kg, beside 6 g", page, on_100_kg, 6.0, 0.03)


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
