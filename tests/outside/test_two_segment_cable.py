"""The two-segment elastic cable of the literature, loaded at its joint: at rest to 0.1 %.

Supports 1000 ft apart, 412.8837 and 613.0422 ft of cable of 3.16 lb/ft, 0.85 in2 and 19,000 ksi; 8 kip at the joint
move it 18.457 ft down and 2.819 ft aside (Michalos and Birnstiel 1962, O'Brien and Francis 1964, Jayaraman and Knudson
1981; citation from memory, its numbers found again by elastic catenaries in test_references.py). The program hangs a
performer on a junction. A span cut into several elements hangs straight in the program: see LEAVES_OUT.md.
"""

from functools import cache

import pytest

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, apart, table
from tests.outside.reference import statics

FOOT_M, POUND_N = 0.3048, 4.4482216
STIFFNESS_N, WEIGHT_N_M = 19e6 * 0.85 * POUND_N, 3.16 * POUND_N / FOOT_M
LEFT_M, RIGHT_M, SPAN_M = 412.8837 * FOOT_M, 613.0422 * FOOT_M, 1000 * FOOT_M
HIGH_M, KIP_N = 500.0, 1000 * POUND_N
LITERATURE = table("Michalos and Birnstiel 1962, Jayaraman and Knudson 1981 (citation from memory)")
CATENARIES = apart("SciPy root, elastic catenaries in balance")


@cache
def theirs(load_N: float) -> statics.Equilibrium:
    lines = {
        "left": statics.Line(("left", "joint"), STIFFNESS_N, LEFT_M, WEIGHT_N_M),
        "right": statics.Line(("joint", "right"), STIFFNESS_N, RIGHT_M, WEIGHT_N_M),
    }
    joint = ((0.4 * SPAN_M, 0.0, -0.1 * SPAN_M), load_N / rigs.G)
    fixed = {"left": (0.0, 0.0, 0.0), "right": (SPAN_M, 0.0, 0.0)}
    return statics.equilibrium(statics.Description(fixed, {"joint": joint}, lines, {}))


@cache
def ours(load_N: float, elements: int = 1) -> rigs.Run:
    x, _, z = theirs(load_N).places_m["joint"]
    heavy = {"mass_kg_m": WEIGHT_N_M / rigs.G, "elements": elements}
    text = rigs.scenario(
        performers={"load": rigs.performer(load_N / rigs.G - 0.01, rigs.at(float(x), 0, HIGH_M + float(z) - 1.0))},
        junctions={"joint": {"at": rigs.at(float(x), 0, HIGH_M + float(z)), "mass": "0.01 kg"}},
        lines={
            "left": rigs.line(STIFFNESS_N, ["left end", "joint"], length_m=LEFT_M, **heavy),
            "right": rigs.line(STIFFNESS_N, ["joint", "right end"], length_m=RIGHT_M, **heavy),
            "hang": rigs.line(1e9, ["joint", "load"], length_m=1.0),
        },
        anchors={"left end": rigs.anchor(0, 0, HIGH_M), "right end": rigs.anchor(SPAN_M, 0, HIGH_M)},
        duration_s=0.01,
    )
    return rigs.run(text)


def joint_ft(run: rigs.Run) -> tuple[float, float]:
    """The joint from the left support, ft; it is a metre above the load."""
    columns = run.trace.columns
    return float(columns["x_m:load"][0]) / FOOT_M, (float(columns["height_m:load"][0]) + 1.0 - HIGH_M) / FOOT_M


@pytest.mark.parametrize("kip", [0.5, 8.0])
def test_tensions_at_the_supports(kip: float, agrees: Agrees):
    case, expected = ours(kip * KIP_N).case, theirs(kip * KIP_N)
    for end, pick in (("left", 0), ("right", -1)):
        theirs_N = expected.tension_N[end][pick][pick]
        agrees(f"{kip} kip: pull on the {end} end", CATENARIES, case.static_N[f"{end} end"], theirs_N, 1e-3, "N")


def test_the_load_moves_the_joint(agrees: Agrees):
    """From where the catenaries hang without a load: a performer weighs something, so the program has no such state."""
    x, z = joint_ft(ours(8 * KIP_N))
    unloaded, loaded = (theirs(load_N).places_m["joint"] / FOOT_M for load_N in (0.0, 8 * KIP_N))
    agrees("8 kip move the joint down", LITERATURE, unloaded[2] - z, 18.457, 1e-3, "ft")
    agrees("8 kip move the joint aside", LITERATURE, unloaded[0] - x, 2.819, 1e-3, "ft")
    agrees("8 kip: height of the joint", CATENARIES, z, loaded[2], 1e-3, "ft")
