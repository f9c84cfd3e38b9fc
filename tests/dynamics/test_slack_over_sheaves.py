"""Slack line over several sheaves finds its rest: each span hangs, and line runs over until all of them balance.

Held against the catenary over smooth pegs (textbooks of statics: the parts of one rope over smooth pegs have the same
directrix, and the tension is the weight of rope that reaches down to it), and on rigs that were once refused.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar, root_scalar

import sim
from sim.dynamics.run import ready
from sim.rig.rig import RigError
from tests.outside import rigs

# Where the anchor, the sheaves and the held performer are (m), the line's slack (m), EA (N) and mass (kg/m): each of
# these was refused with some tenths of a newton left.
REFUSED = {
    "two spans": ((0.0, 5.42, 8.06), (9.57, 9.68, 9.67), 0.547, 918e3, 0.0091),
    "three spans": ((0.0, 4.21, 9.98, 12.94), (9.01, 9.21, 8.79, 9.46), 0.405, 1285e3, 0.0081),
    "three spans, the first long": ((0.0, 5.96, 8.57, 9.59), (8.62, 9.66, 8.6, 8.96), 0.558, 1504e3, 0.0078),
    "four spans": ((0.0, 3.93, 6.6, 9.72, 10.73), (9.27, 9.42, 9.78, 9.54, 9.16), 0.724, 185e3, 0.005),
}


def over_sheaves(xs: tuple[float, ...], zs: tuple[float, ...], slack_m: float, EA_N: float, kg_per_m: float) -> str:
    """A line from an anchor over sheaves without friction to a held performer."""
    names = [f"sheave {k}" for k in range(len(xs) - 2)]
    line = rigs.line(EA_N, ["anchor", *names, "weight"], mass_kg_m=kg_per_m)
    return rigs.scenario(
        performers={"weight": rigs.performer(80.0, rigs.at(xs[-1], 0, zs[-1]), release_s=0.1)},
        lines={"line": line | {"slack": rigs.of(slack_m, "m")}},
        anchors={"anchor": rigs.anchor(xs[0], 0, zs[0])},
        sheaves={n: rigs.sheave(rigs.at(x, 0, z)) for n, x, z in zip(names, xs[1:-1], zs[1:-1], strict=True)},
        duration_s=0.1,
    )


def _root(zero_at, low: float, high: float) -> float:
    return root_scalar(zero_at, bracket=(low, high)).root


Span = tuple[float, float, float, float]
"""How wide it is, how much it rises, at which height it begins, its chord (m)."""


def _directrix_m(span: Span, length: float) -> float:
    """Height of the directrix of a catenary of that length."""
    wide, rise, begins, _ = span
    a = 1.0 / _root(
        lambda inverse: 2.0 * math.sinh(0.5 * wide * inverse) / inverse - math.sqrt(length**2 - rise**2), 1e-6, 1e2
    )
    lowest = 0.5 * wide - a * math.atanh(rise / length)
    return begins - a * math.cosh(lowest / a)


def directrix_m(xs: tuple[float, ...], zs: tuple[float, ...], slack_m: float) -> float:
    """The height at which the directrix of all spans lies together; each on its shallow branch."""
    spans = [(b - a, w - v, v, math.hypot(b - a, w - v)) for (a, v), (b, w) in pairwise(zip(xs, zs, strict=True))]
    deepest = [
        minimize_scalar(lambda s, x=x: -_directrix_m(x, s), bounds=(x[3] * (1 + 1e-6), 2 * x[3])).x for x in spans
    ]
    highest = min(_directrix_m(x, s) for x, s in zip(spans, deepest, strict=True))

    def length_m(height: float, x: Span, most: float) -> float:
        return _root(lambda s: _directrix_m(x, s) - height, x[3] * (1 + 1e-6), most)

    def too_long(height: float) -> float:
        return sum(length_m(height, x, most) - x[3] for x, most in zip(spans, deepest, strict=True)) - slack_m

    return _root(too_long, min(zs) - 40.0, highest - 1e-6)


@pytest.mark.parametrize("name", REFUSED)
def test_it_hangs_as_a_catenary_over_smooth_pegs(name: str) -> None:
    """Some of these sag by a fifth of their span, and slope."""
    xs, zs, slack_m, _, kg_per_m = REFUSED[name]
    rig = sim.build_rig(sim.read_text(over_sheaves(*REFUSED[name]), name))
    found = sim.simulate(rig, sim.planned_case(rig)).case.static_N["anchor"]
    assert found == pytest.approx(kg_per_m * rigs.G * (zs[0] - directrix_m(xs, zs, slack_m)), rel=0.02)


places = st.lists(st.tuples(st.floats(0.3, 8.0), st.floats(0.0, 3.0)), min_size=2, max_size=6)


@settings(max_examples=25, derandomize=True, deadline=None)
@given(places, st.floats(0.001, 1.5), st.floats(5e4, 4e6), st.floats(0.004, 0.3))
def test_any_slack_line_finds_its_rest(ways: list[tuple[float, float]], slack: float, EA_N: float, kg_per_m: float):
    xs, zs = [0.0], [8.0]
    for wide, height in ways:
        xs.append(xs[-1] + wide)
        zs.append(8.0 + height)
    rig = sim.build_rig(sim.read_text(over_sheaves(tuple(xs), tuple(zs), slack, EA_N, kg_per_m), "slack"))
    start = ready(rig).start
    elements = start.layout.elements_of("line")
    lengths = [float(start.state[start.model.elements[e]["state"]]) for e in elements]
    assert min(lengths) > 0.0
    path = sum(math.dist(a, b) for a, b in pairwise(zip(xs, zs, strict=True)))
    assert sum(lengths) == pytest.approx(path + slack, abs=1e-9)


def test_what_stays_unbalanced_is_told_with_its_digits(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a hundredth of a newton there is no saying 0.0; the place is named, and how little would do."""
    monkeypatch.setattr("sim.dynamics.equilibrium.SOON_TURNS", 2)
    monkeypatch.setattr("sim.dynamics.equilibrium.MOST_TURNS", 2)
    rig = sim.build_rig(sim.read_text(over_sheaves(*REFUSED["two spans"]), "unfinished"))
    with pytest.raises(RigError) as told:
        ready(rig)
    assert " 0.0 N" not in str(told.value)
    assert "where at most 0.00785 N may" in str(told.value)  # 1e-5 of 80 kg
    assert "the line at sheave 0" in str(told.value) or "the sag of line, anchor -> sheave 0" in str(told.value)
