"""Lines as stiff as their data allow: the worst that is told of a fall and of a start is the textbook's, at that end.

An undamped line of which only a range of stiffness is known. A weight that falls on it pulls most where the line is
stiffest: F = mg + sqrt((mg)^2 + 2 mg k h), h from where the line is taut. So does one lifted at once at speed v:
F = mg + v sqrt(k m). Nearest to the floor it comes where the line is softest.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

import sim
from sim.results.model import RangeFinding, Result
from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form
from tests.outside.rigs import G

MASS_KG, LENGTH_M, EA_N, STRENGTH_N, WITHIN = 80.0, 8.0, 160e3, 20e3, 0.2
SPRING = closed_form("a weight on a spring: energy balance, and v sqrt(k m) of one moved at once; vibration textbooks")
TYPE = {
    "stiffness_EA": {"value": rigs.of(EA_N, "N"), "within": rigs.of(100 * WITHIN, "%")},
    "mass_per_length": "0.001 g/m",
    "damping_time": "0 s",
}


def result(text: str) -> Result:
    """Of a scenario's text, judged by g, clearance and strength."""
    limits = "limits: {g_load: 8, clearance: 0.5 m, design_factor: 1.5}\nfloor: 0 m\n"
    return sim.run_scenario(sim.read_text(text.replace("limits: none\n", limits), "rig"))


def weight_at(height_m: float, release_s: float | None = None) -> dict[str, Any]:
    """A rigid performer whose height is that of its hook."""
    return rigs.performer(MASS_KG, rigs.at(0, 0, height_m), release_s=release_s) | {"body_below": "0 m"}


def range_of(found: Result, limit: str) -> RangeFinding:
    """The one that tells of this limit."""
    return next(each for each in found.ranges if each.finding.limit.startswith(limit) and each.finding.of != "anchor")


def test_a_fall_on_a_line_known_within_a_fifth(agrees: Agrees):
    free_m = 1.0
    text = rigs.scenario(
        performers={"weight": weight_at(12 - LENGTH_M + free_m, release_s=0.1)},
        lines={
            "line": {
                "type": TYPE, "route": ["anchor", "weight"], "length": rigs.of(LENGTH_M, "m"),
                "breaking_strength": rigs.of(STRENGTH_N, "N"),
            }
        },
        anchors={"anchor": {"at": rigs.at(0, 0, 12)}},
        duration_s=2.0,
    )  # fmt: skip
    found = result(text)
    stiff, weight = (1 + WITHIN) * EA_N / LENGTH_M, MASS_KG * G
    most_N = weight + math.sqrt(weight**2 + 2 * weight * stiff * free_m)
    factor = range_of(found, "design_factor")
    agrees("fall, stiffest: design factor", SPRING, factor.finding.found or 0.0, STRENGTH_N / most_N, 1e-3)
    assert factor.stretch["line"] == pytest.approx(1 / (1 + WITHIN))
    soft = (1 - WITHIN) * EA_N / LENGTH_M
    lowest_m = (weight + math.sqrt(weight**2 + 2 * weight * soft * free_m)) / soft
    clearance = range_of(found, "clearance")
    agrees("fall, softest: clearance", SPRING, clearance.finding.found or 0.0, 12 - LENGTH_M - lowest_m, 1e-3, "m")
    assert clearance.stretch["line"] == pytest.approx(1 / (1 - WITHIN))


def test_a_start_at_once(agrees: Agrees):
    speed = 0.2
    text = rigs.scenario(
        performers={"weight": weight_at(12 - LENGTH_M)},
        lines={"line": {"type": TYPE, "route": ["winch", "weight"], "breaking_strength": rigs.of(STRENGTH_N, "N")}},
        drives={"winch": rigs.winch(rigs.at(0, 0, 12))},
        moves=[rigs.move(-1.0, speed, start_s=0.1)],
        duration_s=0.3,
    )
    stiff = (1 + WITHIN) * EA_N / LENGTH_M
    most_g = 1 + speed * math.sqrt(stiff / MASS_KG) / G
    g = range_of(result(text), "g_load")
    # A quarter of a bounce takes in 2 cm, which stiffens the line by a little more.
    agrees("lifted at once, stiffest: g", SPRING, g.finding.found or 0.0, most_g, 3e-3)
