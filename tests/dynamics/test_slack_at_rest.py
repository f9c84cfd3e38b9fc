"""A performer held beside a place it is tied to, on line longer than the way: stiff or soft, it hangs at rest."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import root_scalar

import sim
from sim.dynamics.orders import END_OF_TIME
from sim.dynamics.run import ready, run
from tests.outside import rigs

LINES = ("HMPE 12-strand", "aramid copolymer 12-strand", "polyester double braid", "7x19 galvanised", "7x7 stainless")


def held(aside_m: float, below_m: float, length_m: float, line: str) -> str:
    """80 kg held, tied to an anchor."""
    return rigs.scenario(
        performers={"weight": rigs.performer(80.0, rigs.at(aside_m, 0, 8.0 - below_m), release_s=0.1)},
        lines={"line": {"type": line, "diameter": "6 mm", "route": ["anchor", "weight"], "length": f"{length_m} m"}},
        anchors={"anchor": rigs.anchor(0, 0, 8)},
        duration_s=0.1,
    )


@settings(deadline=None)
@given(st.sampled_from(LINES), st.floats(0.01, 3.0), st.floats(-1.0, 2.0), st.floats(1.001, 20.0), st.floats(0.0, 1.0))
def test_slack_line_hangs_wherever_its_ends_are(line: str, aside: float, below: float, longer: float, more: float):
    length = round(longer * math.hypot(aside, below) + more, 4)
    rig = sim.build_rig(sim.read_text(held(round(aside, 4), round(below, 4), length, line), "slack"))
    raw = ready(rig)
    assert raw.start.state.size


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("longer", [1.005, 1.02])
def test_a_level_line_sags_as_the_catenary(line: str, longer: float):
    """S = (2 H/w) asinh(w L/2 H), end force sqrt(H^2 + (w L/2)^2), textbooks of statics; the line's own stretch,
    up to 0.4 % of the pull here, is not in it."""
    span, length = 3.0, round(3.0 * longer, 4)
    rig = sim.build_rig(sim.read_text(held(span, 0.0, length, line), "slack"))
    weight = rig.line("line").material.mass_kg_per_m * rigs.G

    def reach(pull: float) -> float:
        return 2.0 * pull / weight * math.asinh(weight * length / (2.0 * pull)) - span

    pull = root_scalar(reach, bracket=(1e-2 * weight, 1e4 * weight)).root
    found = sim.simulate(rig, sim.planned_case(rig)).case.static_N["anchor"]
    assert found == pytest.approx(math.hypot(pull, weight * length / 2.0), rel=5e-3)


ROPE = """
title: a fall beside the anchor
performers:
  weight: {mass: 100 kg, at: [ASIDE m, 0 m, HEIGHT m], start: held, release: 0.1 s}
lines:
  rope: {type: dynamic kernmantle, diameter: 11 mm, length: 1.83 m, route: [anchor, weight]}
anchors: {anchor: {at: [0 m, 0 m, 20 m]}}
run: {duration: 1 s}
stops: none
limits: none
"""


@pytest.mark.parametrize("below", [0.0, 0.01, 0.1])
@pytest.mark.parametrize("aside", [0.001, 0.005, 0.02, 0.1])
def test_a_fall_from_beside_the_anchor(aside: float, below: float):
    """Rope that hangs double beside its anchor takes no thousands of steps. It swings a little once it is tight, which
    a plumb fall leaves out: with this rope's damping that lifts the peak by up to 2.8 %."""
    text = ROPE.replace("ASIDE", f"{aside:g}").replace("HEIGHT", f"{20 - below:g}")
    plumb = ROPE.replace("ASIDE", "0").replace("HEIGHT", f"{20 - max(below, 0.01):g}")
    peaks = []
    for each in (text, plumb):
        rig = sim.build_rig(sim.read_text(each, "fall"))
        raw = run(ready(rig), sim.planned_case(rig), 1e-6, 1e-3)
        assert raw.status == END_OF_TIME
        assert raw.events < 200
        names = [column.column for column in raw.ready.columns]
        peaks.append(raw.peak[names.index("force_N:anchor")])
    assert peaks[0] == pytest.approx(peaks[1], rel=0.03)
