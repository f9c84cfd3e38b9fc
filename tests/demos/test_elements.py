"""Elements of the first demo with forces that were really run: who bears what, who is weakest, and what moves it."""

from __future__ import annotations

from functools import cache

import pytest

from sim.results.model import CaseResult
from sim.scenario.model import Scenario
from sim.strength.helps import most_helpful_change
from sim.strength.judge import Judgement, judge
from tests.demos.demos import changed, moved

SHACKLE = "hook shackle: {holds: drop line, end: lamplighter, working_load_limit: 10 kN, marked_factor: 5}"
SWIVEL = "hook swivel: {kind: swivel, holds: drop line, end: lamplighter, breaking_strength: 36 kN}"
GRAB = "tail grab: {kind: rope grab, holds: drop line, end: winch, breaking_strength: 15 kN, slips_at: 2.5 kN"
PINNED = SHACKLE.replace("{", "{kind: shackle, pin_diameter: 12 mm, ")
FITTINGS = (SHACKLE, f"{PINNED}\n  {SWIVEL}\n  {GRAB}, damages_at: 4 kN}}")
WEAK_SHEAVE = ("at: [14 m, 0 m, 12.6 m]}", "at: [14 m, 0 m, 12.6 m], breaking_strength: 14 kN}")
BARE = ("long splice with thimble", "long splice")


@cache
def planned() -> CaseResult:
    """The planned move; none of the changes below changes what is run, only what is judged."""
    return moved(rig())[0]


def rig(*changes: tuple[str, str]) -> Scenario:
    return changed("lamplighters-drop", FITTINGS, *changes)


def judged(*changes: tuple[str, str]) -> Judgement:
    return judge(rig(*changes), {"planned move": planned()})


def test_fittings_bear_what_runs_at_their_place() -> None:
    elements, case = judged().elements, planned()
    line_end = case.peaks["drop line:head sheave -> lamplighter"].force_N
    at_winch = case.peaks["drop line:winch -> lead sheave"].force_N
    assert elements["hook swivel"].working_N == pytest.approx(line_end, rel=5e-3)
    assert elements["tail grab slip"].working_N == pytest.approx(at_winch, rel=5e-3)
    assert elements["tail grab on drop line"].working_N == elements["tail grab slip"].working_N
    assert elements["winch brake"].static_N == case.static_N["winch"]
    for name in ("hook swivel", "tail grab slip", "winch brake"):
        loads = elements[name].loads
        assert {load.case for load in loads.values()} == {"planned move"}
        assert loads["static"].time_s == 0.0
        assert 0.0 < loads["working"].time_s < 6.0


def test_a_weak_sheave_is_named_before_a_strong_line() -> None:
    # Its pin bears both legs: about 1.4 times the line, so half the line's strength is much less than half its margin.
    found = judged(WEAK_SHEAVE)
    sheave, line = found.elements["head sheave"], found.elements["drop line"]
    assert found.weakest == "head sheave"
    assert sheave.working_N > 1.3 * line.working_N
    assert sheave.margin is not None
    assert line.margin is not None
    assert sheave.margin < line.margin


def test_a_bare_eye_on_the_pin_moves_the_weakest_place_of_the_line() -> None:
    # D:d 12/6 = 2 leaves 0.65 of 0.90 in fibre (from memory): less than the 0.90 of the sheaves at D:d 20.
    held, bare = judged().elements["drop line"], judged(BARE).elements["drop line"]
    assert held.strength_N == pytest.approx(0.90 * 29e3)
    assert bare.strength_N == pytest.approx(0.90 * 0.65 * 29e3)
    assert bare.worst_place == "head sheave -> lamplighter"


def test_the_change_that_helps_is_told_for_the_weakest() -> None:
    weak = BARE, ("{value: 29 kN, from: certificate}", "{value: 12 kN, from: certificate}")
    found = judged(*weak)
    assert found.weakest == "drop line"
    said = most_helpful_change(rig(*weak), {"planned move": planned()}, found)
    assert said.startswith("drop line: ")
    assert "with thimble instead of long splice at lamplighter would help most" in said
