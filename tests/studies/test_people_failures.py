"""What fails of people, there from the start, equals the rig written that way; hands that let go do so at once."""

from __future__ import annotations

import dataclasses

import pytest

import sim
from sim.results.model import CaseResult, Outcome
from sim.scenario.pending import not_simulated

TEAM = """
title: a weight on a team
floor: 0 m
performers:
  weight: {mass: 60 kg, hook_mass: 1 kg, at: [0 m, 0 m, 5 m], body_below: 1 m, harness: rigid}
lines:
  line: {type: {stiffness_EA: 100 kN, mass_per_length: 30 g/m, damping_ratio: 5 %}, route: [team, head, weight]}
sheaves:
  head: {at: [0 m, 0 m, 9 m], tread_diameter: 120 mm, mass: 1 kg, bearing: ball}
drives:
  team: {kind: pull team, at: [6 m, 0 m, 1 m], people: 5, force_each: 300 N, top_speed: 4 m/s, team_loss: 10 %,
         reaction: 0.4 s, grip_each: 300 N}
moves:
  - {drive: team, start: 0.3 s, pay_out: 2.5 m, speed: 1.2 m/s, acceleration: 2 m/s^2, deceleration: 2 m/s^2}
run: {duration: 4 s}
stops: [{name: hold, hands: hold, when: 1 s}]
limits: none
"""


def cases(text: str) -> dict[str, CaseResult]:
    found = sim.run_scenario(sim.read_text(text, "people"))
    assert not found.not_simulated
    return dict(found.cases)


def failing(fault: str) -> dict[str, CaseResult]:
    return cases(TEAM.replace("limits:", f"faults:\n  - {fault}\nlimits:"))


def same(a: CaseResult, b: CaseResult) -> bool:
    """The same to the last bit, but for names and remarks."""
    plain = {"name": "", "remarks": (), "kind": ""}
    return dataclasses.replace(a, **plain) == dataclasses.replace(b, **plain)


@pytest.mark.parametrize(
    ("fault", "written"),
    [
        ("short team: team, by: 2", ("people: 5", "people: 3")),
        ("slipping hands: team, by: 50 %", ("grip_each: 300 N", "grip_each: 150 N")),
        ("slipping hands: team, by: 150 N", ("grip_each: 300 N", "grip_each: 150 N")),
    ],
)
def test_what_is_wrong_from_the_start_is_the_rig_written_so(fault: str, written: tuple[str, str]):
    found = failing(f"{{{fault}, when: 1 s, then: hold}}")
    name = f"{fault.split(', ')[0].replace(':', ',')}, then hold"
    assert same(found[name], cases(TEAM.replace(*written))["hold"])
    assert not same(found[name], found["hold"])
    assert found[name].kind == "emergency"


def test_a_late_team_begins_late_and_stops_late():
    found = failing("{late team: team, by: 0.3 s, when: 1 s, then: hold}")["late team, team, then hold"]
    late = TEAM.replace("start: 0.3 s", "start: 0.6 s").replace("reaction: 0.4 s", "reaction: 0.7 s")
    written = cases(late)["hold"]
    assert found.performers["weight"].lowest_height_m == pytest.approx(
        written.performers["weight"].lowest_height_m, abs=1e-9
    )
    assert found.peaks["line"].force_N == pytest.approx(written.peaks["line"].force_N, rel=1e-9)


def test_a_team_that_lets_go_drops_what_it_held():
    found = failing("{let go: team, when: 0.5 s}")["let go, team"]
    assert [e.time_s for e in found.events if e.what == "hands let go"] == [0.5]
    lands = next(e.time_s for e in found.events if e.what == "touches the floor")
    # From a little below 5 m, body 1 m below: a fall of just under 4 m that begins at little speed.
    assert 0.5 + 0.75 < lands < 0.5 + (2 * 4.0 / 9.80665) ** 0.5 + 0.05
    assert found.audit is not None
    assert found.audit.passed


def test_a_team_too_short_to_hold_is_told():
    """Only its own case fails, and says why; the rest of the scenario is run."""
    found = failing("{short team: team, by: 4, when: 1 s}")
    failed = [name for name, case in found.items() if case.outcome is Outcome.FAILED]
    assert failed == ["short team, team"]
    assert "people hold 270 N" in found["short team, team"].reason


def test_hands_at_every_instant():
    found = sim.run_scenario(
        sim.read_text(TEAM.replace("hands: hold, when: 1 s", "hands: let go, when: every instant"), "x")
    )
    sweep = found.sweeps["hold"]
    assert not any(sweep.causes)
    assert not not_simulated(sim.read_text(TEAM, "x"))


def test_a_team_that_cannot_keep_up_is_told():
    """At 610 N of 1350, (1 - u)/(1 + u/20) = 0.45: no more than 2.2 m/s of the 3 m/s asked."""
    asked = "take_in: 2.5 m, speed: 3 m/s, acceleration: 6 m/s^2"
    found = cases(TEAM.replace("pay_out: 2.5 m, speed: 1.2 m/s, acceleration: 2 m/s^2", asked))["planned move"]
    assert found.drives["team"].top_speed_m_s < 2.2
    assert [remark for remark in found.remarks if "its people cannot give what they ask" in remark]
    assert not [remark for remark in cases(TEAM)["planned move"].remarks if "cannot give" in remark]
