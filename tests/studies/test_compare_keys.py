"""One key of a scenario by its name, and the scenario with another value under it."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import changed, changes_of, find_key, read_file, read_text, split_values
from sim.scenario.refused import Refused

DEMO = Path(__file__).parents[2] / "scenarios" / "lamplighters-drop.yaml"


def test_a_changed_quantity_leaves_its_origin_and_spread_behind() -> None:
    demo = read_file(DEMO)
    for change in ("90 kg", {"value": "90 kg"}):
        mass = changed(demo, {"performers": {"lamplighter": {"mass": change}}}, "x").performers["lamplighter"].mass
        assert (mass.kg, mass.origin, mass.exact) == (90.0, "assumed", True)


def test_a_key_is_found_by_the_names_that_lead_to_it() -> None:
    demo = read_file(DEMO)
    for text in ("drives / winch / moving_mass", "drives.winch.moving_mass", "drives/winch/moving_mass"):
        key = find_key(demo, text)
        assert (str(key), key.written) == ("drives / winch / moving_mass", "60 kg")
        made = changed(demo, changes_of(demo, [(key, "45 kg")]), "45 kg")
        assert made.drives["winch"].moving_mass.kg == 45.0  # type: ignore[union-attr]
    first = changed(demo, changes_of(demo, [(find_key(demo, "stops / 1 / when"), "1.5 s")]), "x").stops
    assert (first[0].when.s, first[1]) == (1.5, demo.stops[1])  # type: ignore[union-attr]
    at = find_key(demo, "sheaves / head sheave / at")
    moved = changed(demo, changes_of(demo, [(at, "[14 m, 0 m, 13 m]")]), "x").sheaves["head sheave"].at
    assert moved is not None
    assert moved[2].m == 13.0
    unwritten = find_key(demo, "lines / drop line / condition")
    assert unwritten.written is None
    assert changed(demo, changes_of(demo, [(unwritten, "new")]), "x").lines["drop line"].condition == "new"


def test_an_entry_of_a_list_changes_alone() -> None:
    demo = read_file(DEMO)
    force = find_key(demo, "drives / winch / brakes / 1 / force")
    brake = changed(demo, changes_of(demo, [(force, "4 kN")]), "x").drives["winch"].brakes[0]  # type: ignore[union-attr]
    assert brake.force is not None
    assert (brake.force.N, brake.force.exact, brake.delay.s) == (4000.0, True, 0.08)


def test_two_values_of_one_list_entry_stand_together() -> None:
    demo = read_file(DEMO)
    keys = [find_key(demo, f"drives / winch / brakes / 1 / {each}") for each in ("force", "delay")]
    made = changed(demo, changes_of(demo, [(keys[0], "4 kN"), (keys[1], "0.1 s")]), "x")
    brake = made.drives["winch"].brakes[0]  # type: ignore[union-attr]
    assert brake.force is not None
    assert (brake.force.N, brake.delay.s, brake.rise.s) == (4000.0, 0.1, 0.06)


def test_names_with_dots_and_slashes_are_found_too() -> None:
    text = DEMO.read_text().replace("head sheave", "head 2.5 / b")
    key = find_key(read_text(text), "sheaves / head 2.5 / b / mass")
    assert key.steps == ("sheaves", "head 2.5 / b", "mass")


@pytest.mark.parametrize("text", ["", "moves / 2 / speed", "moves / one / speed", "moves / 0 / speed"])
def test_a_key_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        find_key(read_file(DEMO), text)


def test_values_are_parted_at_commas_outside_brackets() -> None:
    assert split_values("40 kg, 60 kg") == ["40 kg", "60 kg"]
    assert split_values("{value: 1 kN, within: 5 %}, 2 kN") == ["{value: 1 kN, within: 5 %}", "2 kN"]
    with pytest.raises(Refused, match="comma between"):
        split_values("40 kg,,60 kg")
