"""Which variants there are, what each leaves behind, and that one that fails stops no other."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sim.results.comparison import Figures
from sim.results.model import Finding
from sim.scenario import Scenario, ScenarioErrors, find_key, read_file, read_text
from sim.studies import compare
from sim.studies.compare import Asked
from sim.studies.compare_figures import figures_of
from tests.results.made_up import made_up_result

DEMO = Path(__file__).parents[2] / "scenarios" / "lamplighters-drop.yaml"
LINE = "drop line"


def demo(more: str = "") -> Scenario:
    return read_text(DEMO.read_text(encoding="utf-8") + more, "drop")


def names(axis: compare.Axis) -> list[str]:
    return [each.name for each in axis.variants]


def test_the_files_cases_come_after_the_file_itself() -> None:
    scenario = demo("compare:\n  as written: {floor: 1 m}\n  light: {drives: {winch: {moving_mass: 40 kg}}}\n")
    axis = compare.cases_of_file(scenario)
    assert names(axis) == ["as written in the file", "as written", "light"]
    assert axis.variants[2].said == {"drives / winch / moving_mass": "40 kg"}
    assert compare.read_variant(scenario, axis.variants[0]) == (scenario, ())
    light, _ = compare.read_variant(scenario, axis.variants[2])
    assert light.drives["winch"].moving_mass.kg == 40.0  # type: ignore[union-attr]
    assert light.compare == {}


def test_types_may_bring_their_diameter() -> None:
    axis = compare.over_types(["HMPE 12-strand", "7x19 galvanised 5 mm", "7x19 galvanised 1/4 in"], [LINE])
    made = [compare.read_variant(demo(), each)[0].lines[LINE] for each in axis.variants]
    assert [line.type for line in made] == ["HMPE 12-strand", "7x19 galvanised", "7x19 galvanised"]
    assert [line.diameter and round(line.diameter.m * 1000, 2) for line in made] == [6.0, 5.0, 6.35]
    assert all(line.breaking_strength is None for line in made)


def test_a_grid_is_every_value_with_every_other() -> None:
    scenario = demo()
    force = find_key(scenario, "drives / winch / brakes / 1 / force")
    delay = find_key(scenario, "drives / winch / brakes / 1 / delay")
    axis = compare.grid([compare.over_values(force, ["2 kN", "3 kN"]), compare.over_values(delay, ["50 ms", "90 ms"])])
    assert names(axis) == ["2 kN, 50 ms", "2 kN, 90 ms", "3 kN, 50 ms", "3 kN, 90 ms"]
    brakes = [compare.read_variant(scenario, each)[0].drives["winch"].brakes[0] for each in axis.variants]  # type: ignore[union-attr]
    assert [(b.force and b.force.N, b.delay.s, b.rise.s) for b in brakes] == [
        (2000.0, 0.05, 0.06), (2000.0, 0.09, 0.06), (3000.0, 0.05, 0.06), (3000.0, 0.09, 0.06)
    ]  # fmt: skip
    long = compare.over_values(force, ["{value: 2 kN, from: brake test, within: 10 %}", "3 kN"])
    assert names(long) == ["2 kN", "3 kN"]
    assert not compare.read_variant(scenario, long.variants[0])[0].drives["winch"].brakes[0].force.exact  # type: ignore[union-attr]
    twice = compare.grid([compare.over_values(force, ["2 kN", "2 kN"])])
    assert names(twice) == ["2 kN", "2 kN (2)"]


def test_a_wrong_value_is_named_with_its_key_before_anything_runs() -> None:
    scenario = demo()
    key = find_key(scenario, "drives / winch / moving_mass")
    axis = compare.over_values(key, ["40 kg", "60 stone", "-1 kg", "[1"])
    found = compare.causes(scenario, axis.variants)
    assert set(found) == {"60 stone", "-1 kg", "[1"}
    assert all(f"drives / winch / moving_mass: {value}" in cause for value, cause in found.items())
    diameter = compare.over_diameters(["6 mm", "60 mm"], [LINE])
    assert "60 mm" in compare.causes(scenario, diameter.variants)["60 mm"]


def test_ends_that_are_not_made_in_the_new_type_are_left_out_and_said() -> None:
    wire = compare.over_types(["7x19 galvanised 5 mm"], [LINE]).variants[0]
    made, notes = compare.read_variant(demo(), wire)
    assert dict(made.lines[LINE].terminations) == {"winch": "wraps on the drum"}
    assert "'long splice with thimble' at lamplighter is not made in 7x19 galvanised" in notes[0]
    again = read_text(made.source_text)
    assert again.lines == made.lines  # what its folder keeps is what was run
    fitting = {
        "lines": {LINE: {"type": "7x19 galvanised", "terminations": {"lamplighter": "swaged sleeve with thimble"}}}
    }
    kept, notes = compare.read_variant(demo(), Asked("wire", changes=fitting))
    assert (kept.lines[LINE].terminations["lamplighter"], notes) == ("swaged sleeve with thimble", ())
    wrong = {"lines": {LINE: {"type": "7x19 galvanised", "terminations": {"lamplighter": "bowline"}}}}
    asked = Asked("wire", changes=wrong)
    assert "bowline" in compare.causes(demo(), [asked])["wire"]


@pytest.fixture
def studied(monkeypatch: pytest.MonkeyPatch) -> list[Scenario]:
    """The study replaced by one that gives a made-up result, or fails for a heavy winch."""
    seen: list[Scenario] = []

    def study(scenario: Scenario, progress: compare.Tell | None = None, *_more: object, **_: object) -> object:
        seen.append(scenario)
        if progress is not None:
            progress("planned move", 0, 1)
        if scenario.drives["winch"].moving_mass.kg == 80.0:  # type: ignore[union-attr]
            raise ZeroDivisionError("nothing to divide")
        return made_up_result()

    monkeypatch.setattr(compare, "run_scenario", study)
    monkeypatch.setattr(compare, "hook_stop", lambda *_: None)
    monkeypatch.setattr(compare, "felt_on_floor", lambda *_: [])
    return seen


def test_a_variant_that_fails_keeps_its_cause_and_stops_no_other(studied: list[Scenario]) -> None:
    scenario = demo()
    axis = compare.over_values(find_key(scenario, "drives.winch.moving_mass"), ["40 kg", "60 stone", "80 kg", "70 kg"])
    said: list[str] = []
    ran = list(compare.run_variants(scenario, axis.variants, lambda what, done, total: said.append(what)))
    assert [each.variant.status for each in ran] == [1, 2, 3, 1]
    assert [bool(each.result) for each in ran] == [True, False, False, True]
    assert "60 stone" in ran[1].variant.cause
    assert "ZeroDivisionError: nothing to divide" in ran[2].variant.cause
    assert [each.variant.figures == Figures() for each in ran] == [False, True, True, False]
    assert len(studied) == 3
    assert said[0] == "1 of 4, 40 kg: planned move"


def test_a_certificate_left_behind_is_said_with_what_is_used_instead(studied: list[Scenario]) -> None:
    def notes(asked: Asked) -> str:
        return " ".join(next(iter(compare.run_variants(demo(), [asked]))).variant.notes)

    assert "29 kN (certificate) is of another type or diameter and is left behind; judged on" in notes(
        compare.over_types(["HMPE 12-strand"], [LINE]).variants[0]
    )
    assert "left behind" in notes(compare.over_diameters(["8 mm"], [LINE]).variants[0])
    assert "left behind" not in notes(compare.over_diameters(["6 mm"], [LINE]).variants[0])
    assert "left behind" not in notes(compare.over_types(["aramid copolymer 12-strand"], [LINE]).variants[0])


def test_a_spread_that_is_not_carried_over_is_said(studied: list[Scenario]) -> None:
    scenario = demo()
    for key, value in (("performers / lamplighter / mass", "90 kg"), ("drives / winch / brakes / 1 / force", "4 kN")):
        asked = compare.over_values(find_key(scenario, key), [value]).variants
        notes = next(iter(compare.run_variants(scenario, asked))).variant.notes
        assert any(note.startswith(f"{key}: the spread written with") for note in notes), key


def test_figures_are_the_results_own_extremes(studied: list[Scenario]) -> None:
    figures = next(iter(compare.run_variants(demo(), [Asked("as written")]))).variant.figures
    result = made_up_result()
    assert figures.peak_g is not None
    assert (figures.peak_g.value, figures.peak_g.case) == (6.4, "power loss, worst force")
    assert figures.peak_tension_N is not None
    assert figures.peak_tension_N.value == result.cases["planned move"].peaks[LINE].force_N
    assert figures.least_margin is not None
    assert (figures.least_margin.of, figures.least_margin.limit) == ("head sling", "emergency")
    assert figures.least_margin.margin == pytest.approx(2.4 / 3.0 - 1.0)


def test_the_least_margin_is_over_everything_that_has_a_limit() -> None:
    result = made_up_result()

    def nearest(**limits: tuple[float, float]) -> tuple[str, float]:
        findings = tuple(Finding(n, "sexton", "c", f, r, "", None) for n, (f, r) in limits.items())
        least = figures_of(replace(result, findings=findings, elements={})).least_margin
        assert least is not None
        return least.limit, least.margin

    assert nearest(g_load=(5.0, 6.0), clearance=(0.9, 0.3)) == ("g load", pytest.approx(6 / 5 - 1))
    assert nearest(g_load=(5.0, 6.0), clearance=(-0.1, 0.3)) == ("clearance", pytest.approx(-1 / 3 - 1))
    assert nearest(landing_speed=(2.0, 1.0), clearance=(0.9, 0.3)) == ("landing speed", pytest.approx(1 / 2 - 1))


def test_a_change_that_cannot_be_raises_for_who_reads_it_alone() -> None:
    with pytest.raises(ScenarioErrors, match="moving_mas"):
        compare.read_variant(demo(), Asked("x", changes={"drives": {"winch": {"moving_mas": "1 kg"}}}))


def test_the_demo_file_is_left_as_it_is() -> None:
    before = DEMO.read_bytes()
    compare.causes(read_file(DEMO), compare.over_types(["HMPE 12-strand"], [LINE]).variants)
    assert DEMO.read_bytes() == before
