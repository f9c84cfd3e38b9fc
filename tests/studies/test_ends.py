"""Ends of spreads: which are run, what they come to, and that the worse end is the one reported."""

from __future__ import annotations

import pytest

import sim
from sim.results.model import Result
from sim.scenario.model import Scenario
from sim.scenario.pending import not_simulated
from sim.studies.ends import (
    AS_STATED,
    HEAVIEST,
    LIGHTEST,
    STRONG,
    WEAK,
    Ends,
    planned_ends,
    scenario_at,
    spreads_not_run,
    stop_ends,
    taken,
)
from tests.studies.hoist import SPREAD, hoist_text


def _read(force: str = "3 kN") -> Scenario:
    return sim.read_text(hoist_text(force=force), "hoist")


@pytest.fixture(scope="module")
def spread() -> Scenario:
    text = hoist_text(1.5, **SPREAD).replace("stops:", "stops:\n  - {name: dropped, category: 0, when: 0.9 s}")
    return sim.read_text(text, "hoist")


@pytest.fixture(scope="module")
def result(spread: Scenario) -> Result:
    return sim.run_scenario(spread)


def test_without_a_spread_there_are_no_ends() -> None:
    scenario = _read()
    assert planned_ends(scenario) == ()
    assert stop_ends(scenario, ("winch",), 0) == ()
    assert scenario_at(scenario, AS_STATED) is scenario
    assert taken(scenario, AS_STATED) == ()


def test_heaviest_and_lightest_are_always_paired(spread: Scenario) -> None:
    assert planned_ends(spread) == (Ends(HEAVIEST), Ends(LIGHTEST))
    assert stop_ends(spread, ("winch",), 2) == (Ends(HEAVIEST), Ends(LIGHTEST))
    both = {Ends(m, b) for m in (HEAVIEST, LIGHTEST) for b in (STRONG, WEAK)}
    assert set(stop_ends(spread, ("winch",), 0)) == set(stop_ends(spread, ("winch",), 1)) == both
    assert stop_ends(_read(force=SPREAD["force"]), ("winch",), 0) == (Ends("", STRONG), Ends("", WEAK))
    assert stop_ends(_read(force=SPREAD["force"]), ("winch",), 2) == ()


def test_the_ends_come_to_the_values_of_the_file(spread: Scenario) -> None:
    strong = {(e.what, e.of): e.value for e in taken(spread, Ends(HEAVIEST, STRONG))}
    weak = {(e.what, e.of): e.value for e in taken(spread, Ends(LIGHTEST, WEAK))}
    assert strong == {
        ("mass", "weight"): 85.0,
        ("brake force", "winch"): pytest.approx(3300.0),
        ("brake delay", "winch"): 0.04,
    }
    assert weak == {
        ("mass", "weight"): 75.0,
        ("brake force", "winch"): pytest.approx(2700.0),
        ("brake delay", "winch"): 0.07,
    }
    rig = sim.build_rig(scenario_at(spread, Ends(LIGHTEST, WEAK)))
    brake = rig.drives[0].brakes[0]
    assert (brake.force_N, brake.delay_s, brake.rise_s) == (pytest.approx(2700.0), 0.07, 0.05)
    assert rig.performers[0].body_mass_kg == 75.0


def test_a_brake_given_by_torque_is_spread_by_its_torque() -> None:
    text = hoist_text().replace("force: 3 kN", "torque: {value: 450 N*m, within: 10 %}")
    scenario = sim.read_text(text.replace("moving_mass", "drum_diameter: 0.3 m, moving_mass"), "hoist")
    brake = sim.build_rig(scenario_at(scenario, Ends("", STRONG))).drives[0].brakes[0]
    assert brake.force_N == pytest.approx(495.0 / 0.15)


def test_every_case_says_which_ends_it_took(result: Result) -> None:
    assert {"planned move", "planned move, heaviest", "planned move, lightest", "dropped"} <= set(result.cases)
    for name, case in result.cases.items():
        stated = name in ("planned move", "dropped")
        assert stated == (case.ends == ())
        if not stated:
            masses = [e.value for e in case.ends if e.what == "mass"]
            assert masses in ([85.0], [75.0])
            assert any("Run at ends of spreads" in remark and "weight" in remark for remark in case.remarks)
    static = {name: case.static_N["line"] for name, case in result.cases.items()}
    assert static["planned move, heaviest"] > static["planned move"] > static["planned move, lightest"]


def test_the_worse_end_is_reported(spread: Scenario, result: Result) -> None:
    """Against a sweep of each pairing by itself: none of them is worse than the case that is named for it."""
    stop = next(s for s in sim.build_rig(spread).stops if s.time_s is None)
    force: list[float] = []
    felt: list[float] = []
    for ends in stop_ends(spread, ("winch",), 0):
        found = sim.sweep(sim.build_rig(scenario_at(spread, ends)), stop).table
        force.append(float(found.columns["force_N:line"].max()))
        felt.append(float(found.columns["peak_g:weight"].max()))
    assert result.cases["power loss, worst force"].peaks["line"].force_N == pytest.approx(max(force), rel=1e-3)
    assert result.cases["power loss, worst g"].performers["weight"].peak_g == pytest.approx(max(felt), rel=1e-3)
    assert max(force) > 1.02 * min(force)
    largest = max(c.peaks["line"].force_N for c in result.cases.values())
    assert result.elements["line"].emergency_N == pytest.approx(largest)


def test_a_stop_at_one_time_is_run_at_the_ends_too(result: Result) -> None:
    stated = result.cases["dropped"]
    worst = result.cases["dropped, worst force"]
    assert worst.stop_time_s == stated.stop_time_s == 0.9
    assert worst.peaks["line"].force_N > stated.peaks["line"].force_N


def test_spreads_that_no_run_takes_are_told() -> None:
    text = hoist_text(1.5, **SPREAD).replace("moving_mass: 50 kg", "moving_mass: {value: 50 kg, within: 5 kg}")
    (told,) = spreads_not_run(sim.read_text(text, "hoist"))
    assert "drives / winch / moving_mass" in told
    assert "performers" not in told
    assert "brakes" not in told
    assert list(spreads_not_run(sim.read_text(hoist_text(1.5, **SPREAD), "hoist"))) == []


BALANCED = """
title: a weight and what balances most of it
floor: 0 m
performers:
  weight: {mass: {value: 80 kg, within: 20 kg}, hook_mass: 1 kg, at: [0 m, 0 m, 2 m], body_below: 1 m}
counterweights:
  balance: {mass: 70 kg, at: [3 m, 0 m, 4 m], guide: vertical}
sheaves:
  first: {at: [0 m, 0 m, 6 m], tread_diameter: 100 mm, mass: 1 kg, bearing: ball}
  second: {at: [3 m, 0 m, 6 m], tread_diameter: 100 mm, mass: 1 kg, bearing: ball}
lines:
  line: {type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}, route: [winch, weight]}
  other: {like: line, route: [balance, second, first, weight]}
drives:
  winch: {kind: winch, at: [0 m, 0 m, 5 m], moving_mass: 50 kg}
stops: none
limits: none
"""


def test_ends_at_which_the_rig_cannot_hang_are_refused_and_named() -> None:
    """60 kg cannot hold a balance of 70 kg down, 80 kg can."""
    scenario = sim.read_text(BALANCED, "balanced")
    lighter = sim.read_text(BALANCED.replace("20 kg}", "5 kg}"), "balanced")
    assert "planned move, lightest" in sim.run_scenario(lighter).cases
    with pytest.raises(sim.RigError, match="lightest"):
        sim.run_scenario(scenario)


def test_a_brake_by_torque_holds_least_on_the_outermost_layer():
    """Brake by torque on three layers: as stated and weak it acts over the outermost arm, strong over the first."""
    torque = hoist_text().replace(
        "brakes: [{force: 3 kN,", "drum_diameter: 200 mm, layers: 3, brakes: [{torque: 360 N*m,"
    )
    torque = torque.replace("route: [winch, weight]", "diameter: 10 mm\n    route: [winch, weight]")
    scenario = sim.read_text(torque, "layers")
    assert not not_simulated(scenario)
    assert sim.build_rig(scenario).drives[0].brakes[0].force_N == pytest.approx(360 / 0.12)
    strong, weak = stop_ends(scenario, ("winch",), 0)
    assert sim.build_rig(scenario_at(scenario, strong)).drives[0].brakes[0].force_N == pytest.approx(360 / 0.1)
    assert sim.build_rig(scenario_at(scenario, weak)).drives[0].brakes[0].force_N == pytest.approx(360 / 0.12)
    assert [(e.what, e.value) for e in taken(scenario, strong)] == [("layer of line", 1.0)]
    with pytest.raises(sim.RigError, match="3 layers, and no line on it has a diameter"):
        sim.build_rig(sim.read_text(torque.replace("diameter: 10 mm\n", "notes: bare\n"), "layers"))
