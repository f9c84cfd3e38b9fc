"""Loss of line over a sheave by the bearing's name alone, and the grip of turns on a bar, beside published factors.

Over half a turn on a sheave, force at the hauling end over the load while it is raised slowly. Wire rope: 1.09 on
plain bearings, 1.04 on anti-friction bearings (Wire Rope Users Manual, 4th ed., Wire Rope Technical Board), 1.02 as
the usual design value (wire-rope technical page, secondary). Fibre: 1.03 to 1.06 on ball bearings, 1.08 to 1.12 on
plain pins (common practice, no source). The catalogue gives the line's share, the word `ball`, `roller` or `plain`
the bearing's; the plain bearing's was taken from the handbook's 1.09, so of that row only the rig is checked, and of
fibre on plain pins all.

Turns on a bar: polyester rope on an aluminium tube held 1.32 times at a quarter of a turn, 1.73 at half, 3.00 at one
turn, then 9.02, 27.08 and 81.31 (self-published rope-physics textbook, 2022), which is one coefficient of friction,
0.175.
"""

from __future__ import annotations

import math
from functools import cache

import pytest

import sim
from sim.rig.hands import capstan_ratio
from sim.rig.sheave import BEARINGS
from sim.strength.catalogue import find
from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form, practice, table

HANDBOOK = table("Wire Rope Users Manual, 4th ed., Wire Rope Technical Board, lead-line factors")
DESIGN = table("2 % a sheave as the usual design value of wire rope, wire-rope technical page (secondary)")
TUBE = table("polyester rope on aluminium tube, self-published rope-physics textbook, 2022")
HEAD_M, LOAD_KG = 20.0, 100.0


@cache
def raising(line: str, mm: float, D_to_d: float, bearing: str) -> float:
    """Tension behind a sheave over the tension before it, half a turn, the load going up slowly."""
    text = rigs.scenario(
        performers={"load": rigs.performer(LOAD_KG, rigs.at(0, 0, 2))},
        lines={"line": {"type": line, "diameter": rigs.of(mm, "mm"), "route": ["winch", "head", "load"]}},
        sheaves={
            "head": {
                "at": rigs.at(0, 0, HEAD_M), "tread_diameter": rigs.of(mm * D_to_d, "mm"), "mass": "0.5 kg",
                "bearing": bearing,
            }
        },
        drives={"winch": rigs.winch(rigs.at(0, 0, 0))},
        moves=[rigs.move(-10.0, 0.5, 0.25, 0.25)],
        duration_s=20.0,
    )  # fmt: skip
    trace = rigs.run(text).trace
    steady = (trace.time_s > 12.0) & (trace.time_s < 19.0)
    own_N_m = sim.build_rig(sim.read_text(text, "loss")).line("line").material.mass_kg_per_m * rigs.G
    hang_m = HEAD_M - float(trace.columns["height_m:load"][steady].mean())
    behind, before = (float(trace.columns[f"force_N:{end}"][steady].mean()) for end in ("winch", "load harness"))
    return (behind + own_N_m * HEAD_M) / (before + own_N_m * hang_m)


@pytest.mark.parametrize("name", ["7x19 galvanised", "7x19 stainless"])
def test_wire_rope(agrees: Agrees, name: str):
    agrees(f"{name} 6 mm, plain bearing", HANDBOOK, raising(name, 6, 25, "plain"), 1.09, 2e-3)
    agrees(f"{name} 6 mm, ball bearing", DESIGN, raising(name, 6, 25, "ball"), 1.02, 0.01)
    least = table("from the design value to the handbook's anti-friction bearings")
    agrees.within(f"{name} 6 mm, roller bearing", least, raising(name, 6, 25, "roller"), 1.02, 1.04, allowed=0.01)


@pytest.mark.parametrize(
    ("name", "mm"), [("HMPE 12-strand", 6), ("aramid copolymer 12-strand", 6), ("polyester double braid", 10)]
)
def test_fibre_rope(agrees: Agrees, name: str, mm: float):
    agrees.within(f"{name}, ball bearing", practice(), raising(name, mm, 10, "ball"), 1.03, 1.06)
    agrees.within(f"{name}, plain pin", practice(), raising(name, mm, 10, "plain"), 1.08, 1.12)


@pytest.mark.parametrize(
    ("turns", "ratio"), [(0.25, 1.32), (0.5, 1.73), (1.0, 3.00), (2.0, 9.02), (3.0, 27.08), (4.0, 81.31)]
)
def test_turns_on_a_tube(agrees: Agrees, turns: float, ratio: float):
    agrees(f"{turns:g} turns on a tube", TUBE, capstan_ratio(0.17501, 2.0 * math.pi * turns), ratio, 5e-3)


def test_five_turns(agrees: Agrees):
    encyclopedia = closed_form("e^(mu phi), five turns at 0.6: encyclopedia on the capstan equation")
    agrees("5 turns, friction 0.6", encyclopedia, capstan_ratio(0.6, 10.0 * math.pi), 153_552_935.0, 1e-8)


def test_what_the_words_stand_for(agrees: Agrees):
    handbooks = table("bearing handbooks, value from memory")
    agrees.within("friction of 'ball'", handbooks, BEARINGS["ball"][0], 0.0015, 0.003)
    agrees.within("friction of 'roller'", handbooks, BEARINGS["roller"][0], 0.0015, 0.003)
    agrees.within("friction of 'plain', oiled bronze", handbooks, BEARINGS["plain"][0], 0.06, 0.12)
    drives = table("steel wire on steel, lubricated to dry, rope-drive textbooks, value from memory")
    for name in ("7x19 galvanised", "7x7 stainless", "music wire"):
        known = find(name).at(0.002).sources["line_friction"]
        agrees.within(f"{name}: friction of the line", drives, known.value, 0.07, 0.20)
