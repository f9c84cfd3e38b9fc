"""Clearance of who starts standing: nothing is judged until the first rise to what is asked is over."""

from __future__ import annotations

import pytest

import sim
from sim.results.model import CaseResult

LIFT = """
title: lifted off the floor
floor: 0 m
performers:
  flyer: {mass: 70 kg, at: [4 m, 0 m, 1.2 m], body_below: 1.2 m, start: standing}
lines:
  line: {type: {stiffness_EA: 300 kN, mass_per_length: 20 g/m, damping_time: 3 ms}, route: [winch, head, flyer]}
sheaves:
  head: {at: [4 m, 0 m, 10 m], tread_diameter: 120 mm, mass: 1 kg, bearing: ball, bending_loss: 1 %}
drives:
  winch: {kind: winch, at: [0 m, 0 m, 1 m], moving_mass: 50 kg, brakes: [{force: 3 kN, delay: DELAY, rise: 20 ms}]}
moves: [{drive: winch, start: 0.5 s, take_in: WAY, speed: 2 m/s, acceleration: 3 m/s^2, deceleration: 3 m/s^2}]
stops: [{name: power loss, category: 0, when: WHEN}]
limits: {clearance: 0.3 m}
run: {duration: 4 s}
"""


def lifted(when: str | None, way: str = "4 m", delay: str = "80 ms") -> CaseResult:
    """The planned lift, or its stop by loss of power at an instant."""
    rig = sim.build_rig(
        sim.read_text(LIFT.replace("WHEN", when or "1 s").replace("WAY", way).replace("DELAY", delay), "lift")
    )
    stop = rig.stops[0]
    case = sim.planned_case(rig) if when is None else sim.stop_case(rig, stop, stop.time_s or 0.0)
    return sim.simulate(rig, case).case


@pytest.mark.parametrize("when", ["0.5 s", "0.6 s", "0.9 s"])
def test_a_stop_before_anybody_is_clear_is_not_a_lack_of_clearance(when: str):
    """At 3 m/s2 the lift reaches 0.3 m at 0.95 s, and every lift has instants before."""
    assert lifted(when).performers["flyer"].clearance_m is None


def test_who_is_lifted_on_after_a_stop_is_judged():
    on = "category: 1, deceleration: 5 m/s^2, restart_after: 0.3 s, when"
    rig = sim.build_rig(
        sim.read_text(
            LIFT.replace("category: 0, when: WHEN", f"{on}: 0.6 s").replace("WAY", "4 m").replace("DELAY", "80 ms"),
            "lift",
        )
    )
    found = sim.simulate(rig, sim.stop_case(rig, rig.stops[0], 0.6)).case.performers["flyer"].clearance_m
    assert found is not None
    assert found > 3.0


def test_a_lift_that_never_reaches_what_is_asked_has_too_little():
    found = lifted(None, way="0.2 m").performers["flyer"].clearance_m
    assert found is not None
    assert found == pytest.approx(0.2, abs=0.06)  # the most of it, a bounce with it
    assert found < 0.3


def test_after_the_first_rise_every_fall_counts():
    """Lifted at 2 m/s, the drum then runs back for most of a second: to the floor."""
    above = lifted("1.5 s", delay="80 ms").performers["flyer"].clearance_m
    fallen = lifted("1.5 s", delay="1.5 s").performers["flyer"].clearance_m
    assert above is not None
    assert fallen is not None
    assert above > 0.3
    assert fallen < 0.05


def test_a_lift_with_a_stop_at_every_instant_can_be_within():
    text = LIFT.replace("WHEN", "every instant").replace("WAY", "4 m").replace("DELAY", "80 ms")
    found = sim.run_scenario(sim.read_text(text, "lift"), ranges=False)
    clearance = next(each for each in found.findings if each.limit == "clearance")
    assert clearance.found is not None
    assert clearance.within, clearance
