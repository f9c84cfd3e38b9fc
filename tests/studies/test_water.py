"""Open water and spray: Archimedes, soaked lines in the runs, clearance from the surface, and what is left out."""

from __future__ import annotations

import pytest

import sim
from sim.results.lines import InWater
from sim.results.model import Result
from sim.scenario import not_simulated
from sim.scenario.model import Scenario
from sim.strength.catalogue import find
from sim.strength.water import soaked_kg_per_m, weight_in_water_N_per_m
from sim.studies.water import in_the_water
from tests.demos.demos import G, changed, moved
from tests.studies.asked import asked, figures


def drop(*changes: tuple[str, str]) -> Scenario:
    """The first demo with no stop at every instant, so that it runs in a moment."""
    return changed("lamplighters-drop", ("  - {name: power loss, category: 0, when: every instant}\n", ""), *changes)


def over_water(level: str, *changes: tuple[str, str]) -> Scenario:
    return drop(("  wet: false\n", f"  wet: false\n  water: {{level: {level}}}\n"), *changes)


def of_drop(scenario: Scenario) -> InWater:
    found = figures(scenario)["drop line"].in_water
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("name", "density", "floats"),
    [
        # densities of the ocean-rope engineering table; aramid copolymer from memory
        ("HMPE 12-strand", 0.97, True),
        ("aramid copolymer 12-strand", 1.39, False),
        ("para-aramid 12-strand", 1.44, False),
        ("polyester double braid", 1.38, False),
        ("7x19 galvanised", 7.85, False),
    ],
)
def test_a_line_in_water_weighs_less_by_the_water_it_displaces(name: str, density: float, floats: bool):
    line = find(name).at(0.008)
    volume_m3_per_m = line.mass_kg_per_m / (1000.0 * density)
    expected = G * (line.mass_kg_per_m - 1000.0 * volume_m3_per_m)
    weight = weight_in_water_N_per_m(line, G)
    assert weight == pytest.approx(expected, rel=1e-9)
    assert weight is not None
    assert (weight < 0.0) is floats


def test_steel_in_water_keeps_seven_eighths_of_its_weight():
    # 1 - 1 / 7.85 = 0.873: textbook, weight of steel wire rope in water
    line = find("7x19 galvanised").at(0.006)
    weight = weight_in_water_N_per_m(line, G)
    assert weight is not None
    assert weight / (line.mass_kg_per_m * G) == pytest.approx(0.873, abs=5e-4)


def test_a_wet_line_is_run_soaked_and_with_its_wet_strength():
    dry, wet = drop(), drop(("wet: false", "wet: yes"))
    line = find("aramid copolymer 12-strand").at(0.006)
    # soaked braid: 20 % of its own mass in water, common practice, no source
    assert sim.build_rig(dry).line("drop line").material.mass_kg_per_m == pytest.approx(line.mass_kg_per_m)
    assert sim.build_rig(wet).line("drop line").material.mass_kg_per_m == pytest.approx(1.2 * line.mass_kg_per_m)
    assert soaked_kg_per_m(line) == pytest.approx(1.2 * line.mass_kg_per_m)
    before, after = (moved(each)[0].static_N["drop line:head sheave -> lamplighter"] for each in (dry, wet))
    assert after - before == pytest.approx(0.2 * line.mass_kg_per_m * G * 1.6, rel=0.02)  # 1.6 m hang there at rest
    found = of_drop(wet)
    assert found.wet
    assert found.under == ()
    assert found.soaked_kg_per_m == pytest.approx(1.2 * line.mass_kg_per_m)
    nylon = ("type: aramid copolymer 12-strand", "type: low-stretch kernmantle"), ("diameter: 6 mm", "diameter: 11 mm")
    ends = ("lamplighter: long splice with thimble", "lamplighter: figure eight")
    soft = asked(drop(("wet: false", "wet: yes"), *nylon, ends))
    taken = {each.what: each.factor for each in soft.elements["drop line"].reductions}
    assert taken["wet"] == 0.85  # polyamide loses 10 to 15 % wet (yarn table); once, and in the runs' own line too


def test_a_line_of_unknown_material_stays_dry_and_says_so():
    own = "type: {stiffness_EA: 900 kN, mass_per_length: 30 g/m, damping_ratio: 0.03}"
    wet = drop(("wet: false", "wet: yes"), ("type: aramid copolymer 12-strand", own))
    assert sim.build_rig(wet).line("drop line").material.mass_kg_per_m == pytest.approx(0.030)
    found = of_drop(wet)
    assert found.floats is found.weight_in_water_N_per_m is found.soaked_kg_per_m is None


def test_without_water_there_is_nothing_to_tell():
    assert figures(drop())["drop line"].in_water is None


@pytest.fixture(scope="module")
def high_and_dry() -> Result:
    return sim.run_scenario(over_water("-1 m"))


def test_water_below_everything_counts_and_nothing_is_left_over(high_and_dry: Result):
    assert not_simulated(over_water("-1 m")) == ()
    assert high_and_dry.not_simulated == ()
    assert high_and_dry.exit_status == 0
    plain = sim.run_scenario(drop())
    assert high_and_dry.cases["planned move"].performers == plain.cases["planned move"].performers
    found = high_and_dry.lines["drop line"].in_water
    assert found is not None
    assert (found.floats, found.wet, found.under) == (False, False, ())


def test_clearance_is_from_the_water_where_it_is_above_the_floor():
    dry, flooded = drop(), over_water("0.3 m")
    over_floor = moved(dry)[0].performers["lamplighter"].clearance_m
    over_surface = moved(flooded)[0].performers["lamplighter"].clearance_m
    assert over_floor is not None
    assert over_surface == pytest.approx(over_floor - 0.3, abs=1e-9)
    no_floor = over_water("0.3 m", ("floor: 0 m\n", ""))
    assert moved(no_floor)[0].performers["lamplighter"].clearance_m == pytest.approx(over_surface, abs=1e-9)


def test_who_gets_into_the_water_is_not_simulated_there():
    deep = over_water(
        "1.6 m", ("at: [0 m, 0 m, 0.4 m]", "at: [0 m, 0 m, 2 m]")
    )  # the lowest part of the body comes to about 1.2 m
    assert not_simulated(deep) == ()
    result = sim.run_scenario(deep)
    assert result.exit_status == 3
    assert len(result.not_simulated) == 1
    assert result.not_simulated[0].startswith("environment / water: lamplighter gets ")
    worst = min(trace.columns["body_height_m:lamplighter"].min() for trace in result.traces.values())
    assert f"{1.6 - worst:.2f} m under the surface" in result.not_simulated[0]


def test_what_begins_in_the_water_is_named_before_anything_is_run():
    sunk = over_water("2 m")  # the winch stands at 0.4 m
    (sentence,) = not_simulated(sunk)
    assert "drop line runs under water at winch" in sentence
    assert sim.build_rig(sunk).line("drop line").material.mass_kg_per_m == pytest.approx(0.0324)  # soaked
    found = of_drop(sunk)
    assert (found.wet, found.under) == (True, ("winch",))
    diver = not_simulated(over_water("10 m"))
    assert any("lamplighter starts in it" in each for each in diver)
    weight = changed("moths-flight", ("floor: 0 m", "floor: 0 m\nenvironment: {water: {level: 8.5 m}}"))
    assert any("sand carriage starts in it" in each for each in not_simulated(weight))


def test_a_counterweight_that_dips_is_found_in_the_runs():
    dips = changed("moths-flight", ("floor: 0 m", "floor: 0 m\nenvironment: {water: {level: -1 m}}"))
    made = asked(dips)
    assert in_the_water(made.rig, made.runs, {}) == ()
    higher = changed("moths-flight", ("floor: 0 m", "floor: 0 m\nenvironment: {water: {level: 4 m}}"))
    told = in_the_water((made := asked(higher)).rig, made.runs, {})
    lowest = made.runs["planned move"].trace.columns["height_m:sand carriage"].min()
    assert any(f"sand carriage gets {4 - lowest:.2f} m under" in each for each in told)
