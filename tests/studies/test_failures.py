"""Failures there from the start equal the rig written that way; every failure is a case, at every instant too."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

import sim
from sim.results.model import CaseResult, Outcome, Result
from sim.studies.cases import happening
from tests.studies.hoist import hoist_text

SCENARIOS = Path(__file__).parents[2] / "scenarios"
TWO_BRAKES = "{force: 3 kN, delay: 50 ms, rise: 50 ms}, {force: 2 kN, delay: 80 ms, rise: 50 ms}"
ONE_BRAKE = "{force: 3 kN, delay: 50 ms, rise: 50 ms}"


def result(text: str) -> Result:
    """All cases of a scenario text."""
    return sim.run_scenario(sim.read_text(text, "failures"))


def at_one_instant(text: str, when: str = "0.6 s") -> str:
    """The stop at one instant, and no more."""
    return text.replace("when: every instant", f"when: {when}")


def failing(fault: str, text: str | None = None) -> str:
    """The hoist, stopped at 0.6 s, with a fault."""
    text = at_one_instant(hoist_text()) if text is None else text
    return text.replace("limits:", f"faults:\n  - {fault}\nlimits:")


def same(a: CaseResult, b: CaseResult) -> bool:
    """Whether two cases are the same to the last bit, but for their names and remarks."""
    plain = {"name": "", "remarks": (), "kind": ""}
    return dataclasses.replace(a, **plain) == dataclasses.replace(b, **plain)


@pytest.mark.parametrize(
    ("fault", "name", "brakes"),
    [
        ("late brake: winch, by: 30 ms", "late brake, winch", "{force: 3 kN, delay: 80 ms, rise: 50 ms}"),
        ("weak brake: winch, by: 20 %", "weak brake, winch", "{force: 2.4 kN, delay: 50 ms, rise: 50 ms}"),
        ("weak brake: winch, by: 500 N", "weak brake, winch", "{force: 2.5 kN, delay: 50 ms, rise: 50 ms}"),
    ],
)
def test_a_wrong_brake_is_the_rig_with_that_brake(fault: str, name: str, brakes: str):
    found = result(failing(f"{{{fault}, when: 0.6 s, then: power loss}}")).cases[f"{name}, then power loss"]
    as_written = result(at_one_instant(hoist_text().replace(ONE_BRAKE, brakes))).cases["power loss"]
    assert same(found, as_written)
    assert found.kind == "emergency"


def test_of_two_brakes_the_strongest_is_missing_or_both():
    text = at_one_instant(hoist_text().replace(ONE_BRAKE, TWO_BRAKES))
    found = result(failing("{no brake: winch, when: 0.6 s, then: power loss}", text)).cases
    with_both, without = found["power loss"], at_one_instant(hoist_text())
    weaker = result(without.replace(ONE_BRAKE, "{force: 2 kN, delay: 80 ms, rise: 50 ms}")).cases["power loss"]
    none = result(without.replace(f"brakes: [{ONE_BRAKE}]", "brakes: []")).cases["power loss"]
    assert same(found["no brake, winch, then power loss, the strongest missing"], weaker)
    assert same(found["no brake, winch, then power loss, none left"], none)
    assert not same(with_both, weaker)


def test_a_failure_of_a_brake_that_nobody_asks_for_says_so():
    found = result(failing("{no brake: winch, when: 0.6 s}")).cases
    assert same(found["no brake, winch"], dataclasses.replace(found["planned move"], stop_time_s=0.6))
    assert any("changes nothing" in remark for remark in found["no brake, winch"].remarks)


COUNTERWEIGHT = """
title: a balance
performers:
  person: {mass: 80 kg, hook_mass: 1 kg, at: [0 m, 0 m, 2 m]}
lines:
  line:
    type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}
    route: [person, sheave, weight]
sheaves:
  sheave: {at: [0 m, 0 m, 8 m], tread_diameter: 200 mm, mass: 1 kg, bearing: {friction: 0.1, pin_diameter: 30 mm}}
counterweights:
  weight: {mass: MASS, at: [0.2 m, 0 m, 5 m]}
run: {duration: 1 s}
stops: none
limits: none
"""


def test_a_wrong_trim_is_tried_both_ways():
    text = COUNTERWEIGHT.replace("MASS", "81 kg").replace(
        "stops:", "faults: [{wrong trim: weight, by: 10 %, when: 0 s}]\nstops:"
    )
    text = text.replace("start: hanging", "")
    free = result(text)  # hanging free, a wrong trim has no rest: the scenario has to hold one of the two
    for way in ("too heavy", "too light"):
        lost = free.cases[f"wrong trim, weight, {way}"]
        assert lost.outcome is Outcome.FAILED
        assert "cannot hang at rest" in lost.reason
    assert free.cases["planned move"].outcome is Outcome.FINISHED  # what can run has run
    assert free.exit_status == 3
    held = text.replace("at: [0 m, 0 m, 2 m]}", "at: [0 m, 0 m, 2 m], start: held, release: 0.1 s}")
    found = result(held).cases
    rises, sinks = found["wrong trim, weight, too heavy"], found["wrong trim, weight, too light"]
    written = {
        mass: result(held.replace("81 kg", mass).replace(", by: 10 %", ", by: 1 g")).cases["planned move"]
        for mass in ("89.1 kg", "72.9 kg")
    }
    assert rises.peaks == written["89.1 kg"].peaks
    assert sinks.peaks == written["72.9 kg"].peaks
    assert sinks.performers["person"].lowest_height_m < 2.0 - 1e-3


def test_overspeed_with_a_stop_is_there_before_it_and_without_one_begins_at_its_instant():
    stopped = result(failing("{overspeed: winch, by: 20 %, when: 0.7 s, then: power loss}")).cases
    quick = stopped["overspeed, winch, then power loss"]
    ways = [case.drives["winch"].stopping_distance_m or 0.0 for case in (quick, stopped["power loss"])]
    assert ways[0] > ways[1] > 0.0
    assert max(quick.performers["weight"].top_speed_m_s, 0.0) == pytest.approx(2.4, abs=0.15)
    alone = result(failing("{overspeed: winch, by: 0.4 m/s, when: 0.8 s}")).cases["overspeed, winch"]
    assert alone.drives["winch"].top_speed_m_s == pytest.approx(2.4, rel=1e-6)
    assert alone.drives["winch"].paid_out_m == pytest.approx(-1.5, abs=1e-6)
    assert any(e.what == "control lost, speeds up" and e.time_s == 0.8 for e in alone.events)


def test_a_failure_at_every_instant_finds_its_worst_and_reports_it():
    found = result(failing("{late brake: winch, by: 60 ms, when: every instant, then: power loss}"))
    name = "late brake, winch, then power loss"
    table = found.sweeps[name]
    worst = found.cases[f"{name}, worst g"]
    assert worst.performers["weight"].peak_g == pytest.approx(table.columns["peak_g:weight"].max(), rel=1e-4)
    assert worst.stop_time_s in table.stop_time_s
    assert not any(table.causes)


@pytest.mark.parametrize(
    "fault",
    [
        "{parted line: line, when: every instant}",
        "{snag: {line: line, sheave: head}, when: every instant, then: power loss}",
    ],
)
def test_what_happens_at_every_instant_is_the_same_as_at_that_instant(fault: str):
    text = hoist_text().replace("route: [winch, weight]", "route: [winch, head, weight]")
    text = text.replace("at: [0 m, 0 m, 5 m], moving", "at: [3 m, 0 m, 6 m], moving").replace(
        "drives:",
        "sheaves: {head: {at: [0 m, 0 m, 6 m], tread_diameter: 120 mm, mass: 0.5 kg, bearing: ball}}\ndrives:",
    )
    swept = result(failing(fault, at_one_instant(text)))
    name = next(iter(swept.sweeps))
    when = float(swept.sweeps[name].stop_time_s[30])
    alone = result(failing(fault.replace("every instant", f"{when:.17g} s"), at_one_instant(text))).cases[name]
    for column in ("peak_g:weight", "lowest_height_m:weight"):
        ours = swept.sweeps[name].columns[column][30]
        theirs = getattr(alone.performers["weight"], column.partition(":")[0])
        assert ours == pytest.approx(theirs, rel=1e-4)
    assert not any(swept.sweeps[name].causes)


MOUNTED = (
    "mounts: {jib: {at: [0 m, 0 m, 6 m], stiffness: 5000 kN/m, mass: 20 kg, damping_ratio: 3 %}}\n"
    "sheaves: {head: {mount: jib, tread_diameter: 120 mm, mass: 0.5 kg, bearing: ball}}\ndrives:"
)
FIXED = "sheaves: {head: {at: [0 m, 0 m, 6 m], tread_diameter: 120 mm, mass: 0.5 kg, bearing: ball}}\ndrives:"


def test_a_sheave_lost_from_a_stiff_mount_is_one_lost_from_a_fixed_place():
    over = hoist_text().replace("route: [winch, weight]", "route: [winch, head, weight]")
    over = over.replace("at: [0 m, 0 m, 5 m], moving", "at: [3 m, 0 m, 6 m], moving")
    found = [
        result(failing("{lost point: head, when: 0.6 s}", at_one_instant(over.replace("drives:", sheaves))))
        for sheaves in (MOUNTED, FIXED)
    ]
    mounted, fixed = (each.cases["lost point, head"].performers["weight"] for each in found)
    assert mounted.lowest_height_m == pytest.approx(fixed.lowest_height_m, abs=5e-3)
    assert mounted.peak_g == pytest.approx(fixed.peak_g, rel=0.02)
    assert any("whatever jib gives" in remark for remark in found[0].cases["lost point, head"].remarks)
    assert found[0].exit_status != 3


BLOCK = """
title: a block
floor: 0 m
performers:
  person: {mass: 80 kg, hook_mass: 1 kg, at: [0 m, 0 m, 4 m], body_below: 1 m}
lines:
  line:
    type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}
    route: [near, block, far]
sheaves:
  block: {carried_by: person, tread_diameter: 100 mm, mass: 0.7 kg, bearing: ball}
anchors: {near: {at: [-1 m, 0 m, 9 m]}, far: {at: [1 m, 0 m, 9 m]}}
stops: none
faults:
  - {lost point: block, when: 0.2 s}
  - {parted line: line, when: 0.2 s}
run: {duration: 0.6 s}
limits: none
"""


def test_a_block_that_comes_away_from_who_carries_it_lets_fall_as_a_parted_line_does():
    found = result(BLOCK)
    lost, parted = found.cases["lost point, block"], found.cases["parted line, line"]
    assert lost.peaks == parted.peaks
    fallen = 4.0 - 0.5 * 9.80665 * 0.4**2
    assert found.traces["lost point, block"].columns["height_m:person"][-1] == pytest.approx(fallen, abs=0.01)
    assert any("comes away from person" in remark for remark in lost.remarks)


def test_only_what_happens_at_an_instant_gives_a_sweep_its_name() -> None:
    """A part that breaks then does; a late team is late from the start, and it is the stop that comes at an instant."""
    told = {
        stop.name: happening(stop)
        for demo in ("weathercocks-bridle", "chandlers-flight")
        for stop in sim.build_rig(sim.read_file(f"{SCENARIOS}/{demo}.yaml")).stops
    }
    assert told["parted line, left leg"] == "left leg: line parts"
    assert told["late team, right team, then hold"] == told["power loss"] == "stop"
