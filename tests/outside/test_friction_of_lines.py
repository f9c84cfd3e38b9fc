"""Friction of lines on bars, pins and branches beside what people measured or remember of it: plausibility.

A doubled line over a branch cuts the force that has to be held by 55 to 71 % (Arboriculture & Urban Forestry 33(1),
2007); half a turn on timber, of friction 0.36 to 0.37 (self-published rope-physics textbook, 2022). A climber held over
one carabiner: 0.52 to 0.66 of the pull on the other side (climbing physics, from memory). Line of 11 mm raised over a
carabiner: about 50 % (a forum that cites an equipment sheet), over a ball-bearing pulley about 91 %.

What differs: over a carabiner the catalogue's friction of kernmantle, 0.15 to 0.21 measured on tubes, keeps 52 to 62 %
where the sheet has 50: a carabiner's bend of a few millimetres takes something for bending too, which a bar here does
not know. The same shows in that textbook's own tubes, where a quarter of a turn reads 0.18 to 0.21 and half a turn 0.14
to 0.15. Over the pulley the catalogue's loss must reach as far as the sheet's within its range.
"""

from __future__ import annotations

import math

import pytest

from sim.rig.hands import capstan_ratio
from sim.strength.catalogue import find
from tests.outside.accuracy.rows import Agrees, record, table
from tests.outside.test_published_losses import raising

BRANCH = record("doubled line, Arboriculture & Urban Forestry 33(1), 2007, abstract and table 6")
CLIMBING = table("climber over one carabiner, climbing physics, value from memory")
SHEET = table("equipment sheet cited in a forum (secondary)")


@pytest.mark.parametrize("timber", [0.36, 0.37])
def test_a_line_over_a_branch(agrees: Agrees, timber: float):
    saved = 100.0 * (1.0 - 1.0 / capstan_ratio(timber, math.pi))
    agrees.within(f"half a turn on timber of {timber:g}: less to hold", BRANCH, saved, 55.0, 71.0, "%")


def test_a_rope_over_a_carabiner(agrees: Agrees):
    for name in ("dynamic kernmantle", "low-stretch kernmantle"):
        known = find(name).at(0.010).sources["line_friction"]
        held = 1.0 / capstan_ratio(known.value, math.pi)
        agrees.within(f"{name} over a carabiner: held side over the other", CLIMBING, held, 0.52, 0.66)
        least = 1.0 / capstan_ratio(known.high, math.pi)
        agrees(f"{name} over a carabiner, most friction of the catalogue: load over haul", SHEET, least, 0.50, 0.05)
        most = 1.0 / capstan_ratio(known.low, math.pi)
        agrees.within(f"{name} over a carabiner, least friction of the catalogue", SHEET, most, 0.50, 1.0)


def test_a_rope_over_a_ball_bearing_pulley(agrees: Agrees):
    known = find("low-stretch kernmantle").at(0.011).sources["bending_loss"]
    sheet_loss = 2.0 * (1.0 - 0.91) / (1.0 + 0.91)
    agrees.within(
        "low-stretch kernmantle: loss of the sheet, in the catalogue's range", SHEET, sheet_loss, known.low, known.high
    )
    ours = 1.0 / raising("low-stretch kernmantle", 11, 5, "ball")
    agrees("low-stretch kernmantle over a ball-bearing sheave: load over haul", SHEET, ours, 0.91, 0.05)
