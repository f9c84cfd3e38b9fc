"""Which lines are gone through their ranges, how, and what is told of it; the forces: tests/outside."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor

import pytest

import sim
from sim.results.verdict import verdict_sentence
from sim.scenario.model import Scenario
from sim.strength.known_range import known_range
from sim.studies.ends import spreads_not_run
from sim.studies.line_ranges import PARTS, steps

TEXT = """
title: a short lift
performers:
  weight: {mass: 80 kg, hook_mass: 1 kg, at: [0 m, 0 m, 3 m], harness: rigid, body_below: 1.2 m}
lines:
  line: {type: TYPE, breaking_strength: {value: 20 kN, from: certificate}, route: [winch, weight]}
drives:
  winch: {kind: winch, at: [0 m, 0 m, 9 m], moving_mass: 60 kg, breaking_strength: 60 kN}
moves:
  - {drive: winch, start: 0.1 s, take_in: 0.5 m, speed: 1 m/s, acceleration: 4 m/s2, deceleration: 4 m/s2}
stops: none
floor: 0 m
limits: {g_load: LIMIT, design_factor: 3}
run: {duration: 1 s}
"""
EXACT = "{stiffness_EA: 200 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}"
LINEAR = EXACT.replace("200 kN", "{value: 200 kN, within: 20 %}").replace("5 %", "{value: 5 %, range: [3 %, 8 %]}")


def rig(line_type: str, limit: str = "3") -> Scenario:
    """The lift on a line of that type."""
    return sim.read_text(TEXT.replace("TYPE", line_type).replace("LIMIT", limit), "lift")


def test_a_line_known_exactly_is_not_run_again():
    of = rig(EXACT)
    assert known_range(of.lines["line"], "line").exact
    assert steps(of) == 0
    assert sim.run_scenario(of).ranges == ()


def test_the_range_of_a_type_written_in_place():
    of = known_range(rig(LINEAR).lines["line"], "line")
    assert (of.stiffest, of.softest) == pytest.approx((1 / 1.2, 1 / 0.8))
    assert of.damping_ratio == pytest.approx(0.03)
    curve = (
        "{stretch: {1 kN: {value: 1 %, range: [0.9 %, 1.1 %]}, 5 kN: 3 %}, mass_per_length: 20 g/m, damping_time: 1 ms}"
    )
    of = known_range(rig(curve).lines["line"], "line")
    assert (of.stiffest, of.softest, of.damping_ratio) == (pytest.approx(0.9), pytest.approx(1.1), None)


def test_the_range_of_the_catalogue():
    """The slow stretch's range times that of fast over slow: 0.8 to 1.3, 1.0 to 2.4 where 1.2 is taken."""
    of = sim.read_file("scenarios/lamplighters-drop.yaml")
    aramid = known_range(of.lines["drop line"], "drop line")
    assert (aramid.stiffest, aramid.softest) == pytest.approx((0.8 * 0.5, 1.3 * 1.2))
    assert aramid.stretch_at(0.0) == pytest.approx(aramid.stiffest)
    assert aramid.stretch_at(0.5) == pytest.approx((aramid.stiffest * aramid.softest) ** 0.5)
    assert aramid.damping_ratio == 0.01


def test_a_limit_that_turns_is_told_and_the_verdict_stays_of_the_line_as_stated():
    stated = sim.run_scenario(rig(LINEAR))
    g = next(each for each in stated.ranges if each.finding.limit == "g_load")
    assert not g.turned
    assert g.finding.found is not None
    assert g.finding.found > g.stated == next(f.found for f in stated.findings if f.limit == "g_load")
    assert "stiffer or softer" not in verdict_sentence(stated)
    between = f"{0.5 * (g.finding.found + g.stated)}"
    tight = sim.run_scenario(rig(LINEAR, between))
    assert (tight.verdict, tight.exit_status) == (stated.verdict, stated.exit_status)
    assert all(each.within is not False for each in tight.findings)
    assert [each.finding.limit for each in tight.ranges if each.turned] == ["g_load"]
    assert tight.ranges[0].turned
    told = "One of those within would be outside with lines stiffer or softer, as far as their data allow."
    assert told in verdict_sentence(tight)


def test_where_it_is_run_changes_nothing():
    here = sim.run_scenario(rig(LINEAR)).ranges
    with ProcessPoolExecutor(2) as pool:
        assert sim.run_scenario(rig(LINEAR), workers=pool).ranges == here


def test_it_is_told_before_it_is_run_and_its_spreads_are_not_called_unused():
    told: list[str] = []
    sim.run_scenario(rig(LINEAR), lambda what, done, total: told.append(what))
    assert any("ranges of the lines' data" in what for what in told)
    assert not [*spreads_not_run(rig(LINEAR))]
    assert steps(rig(LINEAR)) == len(PARTS) + 1


def test_it_can_be_left_out():
    assert sim.run_scenario(rig(LINEAR), ranges=False).ranges == ()
