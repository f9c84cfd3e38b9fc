"""Which types are tried, in which size, which are out without a run; and that a choice changes no figure of a run."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from sim.results.choice import Candidate, State, in_order
from sim.results.comparison import Figures, Margin
from sim.results.model import Finding
from sim.results.sorted_by import SortedBy
from sim.scenario import Scenario, read_file, read_text
from sim.strength.catalogue import names
from sim.strength.making import EFFORTS
from sim.strength.sizes import Size
from sim.studies.choose import TRIED, Trying, choose
from sim.studies.choose_entrants import Entrant, entrants, groups
from sim.studies.choose_stretch import stretch_at_hook
from sim.studies.compare import read_variant
from sim.studies.compare_figures import figures_of
from sim.studies.scenario import run_scenario
from tests.studies.drop import drop, drop_text
from tests.studies.hoist import hoist_text

LINE = ("lift line",)
SIX = Size(0.006, "6 mm")


def tried(scenario: Scenario, *types: str, bound: Size = SIX) -> dict[str, Entrant]:
    return {each.type: each for each in entrants(scenario, LINE, types or names(), bound)}


def why(entrant: Entrant) -> str:
    return " ".join(each.says for each in entrant.unfit)


# --- what is tried --------------------------------------------------------------------------------------------------


def test_every_type_is_tried_once_and_the_line_as_it_is_written_first() -> None:
    found = entrants(drop(), LINE, names(), SIX)
    assert found[0].name == "as written: HMPE 12-strand"
    assert sorted(each.type for each in found) == sorted(names())
    thicker = entrants(drop(), LINE, names(), Size(0.008, "8 mm"))
    assert [(each.name, each.size and each.size.written) for each in thicker if each.type == "HMPE 12-strand"] == [
        ("as written: HMPE 12-strand", "6 mm"),
        ("HMPE 12-strand", "8 mm"),
    ]


def test_boiled_hmpe_is_out_without_a_run_and_wire_is_not() -> None:
    # Trade check case, common practice, no source: HMPE has lost more than half at 100 degC and is out above 140 degC.
    for degC, said in (("100 degC", "would be left"), ("145 degC", "no strength that counts above 140 degC")):
        found = tried(drop(hot=degC), "HMPE 12-strand for bending", "para-aramid 12-strand")
        assert said in why(found["HMPE 12-strand"])  # as written
        assert said in why(found["HMPE 12-strand for bending"])
        assert found["HMPE 12-strand for bending"].asked is None
        assert found["para-aramid 12-strand"].asked is not None
    assert tried(drop(hot="100 degC"), "7x19 galvanised")["7x19 galvanised"].asked is not None


def test_five_millimetres_of_wire_over_eighty_is_out_and_over_a_hundred_is_run() -> None:
    # Trade check case, common practice, no source.
    five = {"kind": "7x19 galvanised", "size": "5 mm", "end": "swaged sleeve with thimble", "certified": ""}
    out = tried(drop(tread="80 mm", **five), "7x19 stainless", bound=Size(0.005, "5 mm"))
    assert "D:d is 16 at 5 mm over head sheave (80 mm), and 20 is the least" in why(out["7x19 galvanised"])
    assert out["7x19 galvanised"].asked is None
    thinner = out["7x19 stainless"]
    assert thinner.size is not None
    assert (thinner.size.written, thinner.asked is None) == ("4 mm", False)
    assert tried(drop(tread="100 mm", **five), bound=Size(0.005, "5 mm"))["7x19 galvanised"].asked is not None


def test_ends_and_certificate_are_those_of_the_type() -> None:
    wire = tried(drop(), "7x19 galvanised")["7x19 galvanised"]
    assert wire.asked is not None
    made, notes = read_variant(drop(), wire.asked)
    line = made.lines["lift line"]
    assert dict(line.terminations) == {"winch": "wraps on the drum", "flyer": "swaged sleeve with thimble"}
    assert (line.breaking_strength, notes) == (None, ())
    assert "'long splice with thimble' is not made in it" in wire.remarks[0]


def test_lines_of_one_type_and_diameter_are_chosen_for_together() -> None:
    text = drop_text().replace(
        "sheaves:\n",
        "  tail: {type: HMPE 12-strand, diameter: 6.0 mm, route: [floor, flyer], slack: 9 m}\n"
        "  guy: {type: polyester double braid, diameter: 10 mm, route: [floor, flyer], slack: 9 m}\n"
        "  thin: {type: HMPE 12-strand, diameter: 4 mm, route: [floor, flyer], slack: 9 m}\n"
        "anchors:\n  floor: {at: [4 m, 0 m, 0 m], breaking_strength: 50 kN}\nsheaves:\n",
    )
    scenario = read_text(text, "two lines")
    assert groups(scenario) == [("lift line", "tail"), ("guy",), ("thin",)]
    assert groups(scenario, ["guy", "tail"]) == [("guy",), ("tail",)]
    guy = entrants(scenario, ("guy",), ["low-stretch kernmantle"], Size(0.01, "10 mm"))[1]
    assert guy.asked is not None
    made, _ = read_variant(scenario, guy.asked)
    assert made.lines["guy"].type == "low-stretch kernmantle"
    assert made.lines["lift line"] == scenario.lines["lift line"]
    pair = entrants(scenario, ("lift line", "tail"), ["LCP 12-strand"], SIX)[1]
    assert pair.asked is not None
    made, _ = read_variant(scenario, pair.asked)
    assert {name: line.type for name, line in made.lines.items()} == {
        "lift line": "LCP 12-strand", "tail": "LCP 12-strand", "guy": "polyester double braid", "thin": "HMPE 12-strand"
    }  # fmt: skip


# --- what a run gives -----------------------------------------------------------------------------------------------


def test_a_candidates_figures_are_those_of_a_run_with_it_written_in() -> None:
    scenario = drop(hot="32 degC")
    found = entrants(scenario, LINE, ["7x19 galvanised", "polyester double braid", "music wire"], SIX)
    told: list[tuple[str, int, int]] = []
    candidates = choose(scenario, LINE, found, Trying(tell=lambda *said: told.append(said)))
    assert [each.state for each in candidates] == [State.UNFIT, State.REMAINS, State.REMAINS, State.OUT]
    assert told == [(TRIED, done, 3) for done in (0, 1, 2, 3)]
    for each, end in ((candidates[2], "swaged sleeve with thimble"), (candidates[3], "long splice with thimble")):
        written = drop(kind=each.type, end=end, certified="", hot="32 degC")
        result = run_scenario(written)
        assert each.figures == figures_of(result)
        assert each.line == result.elements["lift line"]
        assert each.stretch == stretch_at_hook(written, result)
        assert each.outside == tuple(finding for finding in result.findings if finding.within is False)
    # EN 12385, 7x19 of 6 mm, grade 1770: 23.07 kN; the certificate is of the HMPE alone.
    wire = candidates[2].line
    assert wire is not None
    assert wire.breaking_strength_N == pytest.approx(23067.0, rel=1e-3)
    for by in SortedBy:
        assert {id(each) for each in in_order(candidates, by, EFFORTS)} == {id(each) for each in candidates}


def test_stretch_at_the_hook_is_that_of_a_bar_under_the_weight() -> None:
    # F l / EA by hand: 80 kg and a hook of 1 kg on 3 m of 7x19 of 5 mm, EA 41.8 kN/mm2 x d2 (100 GPa of its metal).
    kind = "{stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}"
    text = hoist_text(0.5).replace(kind, "7x19 galvanised\n    diameter: 5 mm").replace("every instant", "0.5 s")
    scenario = read_text(text, "hoist")
    result = run_scenario(scenario)
    found = stretch_at_hook(scenario, result)
    assert found is not None
    weight_N = 80.0 * 9.80665  # the line stretches by the hook's 1 kg before the performer comes onto it
    assert found.hanging_m is not None
    assert found.hanging_m == pytest.approx(weight_N * 3.0 / (41800.0 * 25.0), rel=0.01)
    peak_N = max(case.peaks["line"].force_N for case in result.cases.values())
    lengths_m = {peak_N * length / (41800.0 * 25.0) for length in (3.0, 2.5)}  # up to 0.5 m is hoisted
    assert min(lengths_m) <= found.most_m <= max(lengths_m)
    # A textile hangs by its slow curve and is caught by its fast one: of HMPE 56 and 59 + 54 F/F_break, published.
    text = text.replace("7x19 galvanised", "HMPE 12-strand")
    found = stretch_at_hook(read_text(text, "hoist"), run_scenario(read_text(text, "hoist")))
    assert found is not None
    assert found.hanging_m is not None
    assert found.hanging_m == pytest.approx(weight_N / 975.0 / 25.0 / 56.0 * 3.0, rel=0.01)


def test_a_ring_with_two_legs_lets_the_hook_down_by_line_and_legs() -> None:
    # By hand (unit load): the lift line's stretch, and twice each leg's share 1/(2 cos a) times its stretch.
    text = """
title: a bridle
performers:
  flyer:
    {mass: 80 kg, at: [0 m, 0 m, 3 m], body_below: 1 m,
     harness: {stiffness: 45 kN/m,
               points: {left hip: {offset: [0 m, 0.3 m, 0 m]}, right hip: {offset: [0 m, -0.3 m, 0 m]}}}}
lines:
  lift line: {type: 7x19 galvanised, diameter: 5 mm, route: [beam, ring]}
  left leg: {type: 7x19 galvanised, diameter: 4 mm, route: [ring, left hip]}
  right leg: {type: 7x19 galvanised, diameter: 4 mm, route: [ring, right hip]}
junctions:
  ring: {at: [0 m, 0 m, 3.4 m], mass: 0.5 kg}
anchors:
  beam: {at: [0 m, 0 m, 9 m]}
stops: none
limits: none
run: {duration: 0.5 s}
"""
    scenario = read_text(text, "bridle")
    found = stretch_at_hook(scenario, run_scenario(scenario))
    assert found is not None

    def by_hand_m(lift_kg: float, legs_kg: float) -> float:
        cos = 0.4 / 0.5
        leg_m = legs_kg * 9.80665 / (2.0 * cos) * 0.5 / (41800.0 * 16.0)
        return lift_kg * 9.80665 * 5.6 / (41800.0 * 25.0) + 2.0 * leg_m / (2.0 * cos)

    assert found.hanging_m == pytest.approx(by_hand_m(80.0, 80.0), rel=0.005)
    # It only hangs, and then its hook of 1 kg, the ring and half the lift line hang with it.
    assert found.most_m == pytest.approx(by_hand_m(80.0 + 1.0 + 0.5 + 0.0953 * 2.8, 81.0), rel=0.005)


def test_who_is_held_beside_a_slack_line_hangs_when_all_is_over() -> None:
    # A demo: 78 kg on 10 mm dynamic kernmantle. 101 climbing ropes stretch 4.2 to 11 % from 5 to 80 kg (makers' type
    # tests, data set 'ropes' of the R package plsdepot).
    scenario = read_file(Path(__file__).parents[2] / "scenarios/stonemasons-fall.yaml")
    result = run_scenario(scenario)
    found = stretch_at_hook(scenario, result)
    assert found is not None
    assert found.hanging_m is not None
    trace = result.traces["planned move"]
    anchor, end = scenario.anchors["beam anchor"].at, -1
    assert anchor is not None
    where = [trace.columns[f"{axis}:stonemason"][end] for axis in ("x_m", "y_m", "height_m")]
    out_m = math.dist(where, [each.m for each in anchor])
    assert 0.04 < found.hanging_m / out_m < 0.11
    assert found.most_m > found.hanging_m


# --- order ----------------------------------------------------------------------------------------------------------


def made_up(name: str, state: State, margin: float | None = None, **given: object) -> Candidate:
    least = Margin(margin, "flyer", "g load", 1.0, margin + 1.0) if margin is not None else None
    return Candidate(name, name, "6 mm", state, figures=Figures(least_margin=least), **given)  # type: ignore[arg-type]


def test_hard_failures_come_first_and_only_what_remains_is_sorted() -> None:
    outside = (Finding("g_load", "flyer", "c", 9.0, 6.0, "", False),)
    candidates = [
        made_up("heavy", State.REMAINS, 0.5, mass_kg_per_m=0.1, effort="with a press or a machine", diameter_m=0.004),
        made_up("weak", State.OUT, -0.2, outside=outside, mass_kg_per_m=0.001),
        made_up("hot", State.UNFIT),
        made_up("open", State.NOT_JUDGED, 2.0),
        made_up("light", State.REMAINS, 0.2, mass_kg_per_m=0.02, effort="with hand tools", evidence=("stretch",)),
        made_up("weaker", State.OUT, -1.5, outside=outside),
        made_up("sharp", State.UNFIT),
    ]

    def order(by: SortedBy) -> list[str]:
        return [each.name for each in in_order(candidates, by, EFFORTS)]

    out, heavy, light = ["hot", "sharp", "weaker", "weak", "open"], ["heavy", "light"], ["light", "heavy"]
    assert order(SortedBy.MARGIN) == out + heavy
    assert order(SortedBy.WEIGHT) == out + light
    assert order(SortedBy.ENDS) == out + light
    assert order(SortedBy.THIN) == out + heavy  # what is not known comes last
    assert order(SortedBy.EVIDENCE) == out + heavy
    assert order(SortedBy.STRETCH) == out + heavy  # neither is known: the larger margin first
