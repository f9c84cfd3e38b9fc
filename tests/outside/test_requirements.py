"""Rules for people on lines as requirements of a scenario: a rule's own words, and what the program makes of them.

German insurers' rule for what carries people (DGUV 101-005, 4.3, statutory text): a line breaks at no less than ten
times its share, one line or two. Its least diameters are no requirement a file can state: see NOT_HELD.md. The
entertainment standard ANSI E1.43 (2016), as an article paraphrases it: the characteristic load is the greatest force of
normal use, at rest or moving, dynamics included; its other words were not read, and its design factors stand nowhere in
the program.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

import sim
from sim.results.model import Result
from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form, table
from tests.outside.rigs import G, at, of

INSURERS = table("line breaks at ten times its share or more, DGUV 101-005, 4.3 (statutory text)")
ARTICLE = table("characteristic load of ANSI E1.43 (2016), as an article paraphrases it")
MASS_KG = 100.0


def certified(strength_N: float, route: list[str]) -> dict[str, Any]:
    """A nearly massless line with a certificate, and ends that take nothing."""
    line = rigs.line(20e6, route, damping_s=2e-3)
    certificate = {"value": of(strength_N, "N"), "from": "certificate"}
    return line | {"breaking_strength": certificate, "terminations": dict.fromkeys(route, "spelter socket")}


def asked(text: str, **factors: float) -> Result:
    """The scenario run, with design factors asked."""
    wanted = ", ".join(f"{load}: {factor:g}" for load, factor in factors.items())
    whole = text.replace("limits: none", f"limits: {{design_factor: {{{wanted}}}}}")
    assert whole != text
    return sim.run_scenario(sim.read_text(whole, "requirement"))


@pytest.mark.parametrize("lines", [1, 2])
def test_ten_times_its_share(agrees: Agrees, lines: int):
    """Straight down from one anchor; or from two, each line at 30 degrees: a share is half the weight over cos 30."""
    aside_m = 0.0 if lines == 1 else 10.0 * math.tan(math.radians(30.0))
    share_N = MASS_KG * G / lines / math.cos(math.atan2(aside_m, 10.0))
    for strength_N, within in ((10.02 * share_N, True), (9.98 * share_N, False)):
        text = rigs.scenario(
            performers={"p": rigs.performer(MASS_KG, at(0, 0, 5))},
            lines={f"line {i}": certified(strength_N, [f"anchor {i}", "p"]) for i in range(lines)},
            anchors={f"anchor {i}": rigs.anchor((-1) ** i * aside_m, 0, 15) for i in range(lines)},
            duration_s=0.2,
        )
        found = asked(text, static=10).elements["line 0"]
        assert found.within is within, found
        ours = found.design_factor.static
        assert ours is not None
        theirs = strength_N / share_N
        way = "above" if within else "below"
        agrees(f"{lines} lines, strength just {way} ten shares: factor", INSURERS, ours, theirs, 1e-3)


def test_the_three_loads(agrees: Agrees):
    """At rest, at the most of normal use, at the most of what should not happen: each its own requirement."""
    stop = {"name": "trip", "category": "1", "deceleration": "6 m/s^2", "jerk": "40 m/s^3", "when": "1.6 s"}
    text = rigs.scenario(
        performers={"p": rigs.performer(MASS_KG, at(0, 0, 5))},
        lines={"line": certified(20e3, ["winch", "p"])},
        drives={"winch": rigs.winch(at(0, 0, 15))},
        moves=[rigs.move(6.0, 3.0, 2.0, 2.0, start_s=0.1, jerk_m_s3=10.0)],
        stops=[stop],
        duration_s=5.0,
    )
    found = asked(text, static=10, working=8, emergency=4)
    line = found.elements["line"]
    assert line.required.static == 10
    assert line.required.working == 8
    assert line.required.emergency == 4
    rigid = closed_form("m (g + a), line that does not stretch")
    agrees("static load", closed_form("m g"), line.static_N, MASS_KG * G, 1e-3, "N")
    agrees("working load, slowing down with 2 m/s2", rigid, line.working_N, MASS_KG * (G + 2.0), 0.02, "N")
    agrees.within("working load is more than at rest", ARTICLE, line.working_N, MASS_KG * G, math.inf, "N")
    assert line.emergency_N is not None
    agrees("emergency load, stopped with 6 m/s2", rigid, line.emergency_N, MASS_KG * (G + 6.0), 0.02, "N")
    for load, a_m_s2 in (("static", 0.0), ("working", 2.0), ("emergency", 6.0)):
        factor, theirs = getattr(line.design_factor, load), 20e3 / (MASS_KG * (G + a_m_s2))
        agrees(f"design factor on the {load} load", closed_form("strength over m (g + a)"), factor, theirs, 0.02)


def test_nothing_is_asked_that_the_file_does_not_ask(agrees: Agrees):
    """No design factor of ours or of a standard's stands in where the file has none."""
    text = rigs.scenario(
        performers={"p": rigs.performer(MASS_KG, at(0, 0, 5))},
        lines={"line": certified(20e3, ["anchor", "p"])},
        anchors={"anchor": rigs.anchor(0, 0, 15)},
        duration_s=0.2,
    )
    found = sim.run_scenario(sim.read_text(text, "requirement")).elements["line"]
    assert (found.required.static, found.required.working, found.required.emergency) == (None, None, None)
    assert found.within is None
    factor = found.design_factor.static
    assert factor is not None
    agrees("design factor where none is asked", closed_form("strength over m g"), factor, 20e3 / (MASS_KG * G), 1e-3)
