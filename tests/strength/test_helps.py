"""The change that helps most, each expected factor worked out beside it; it is judged by the same rules as the rig."""

from __future__ import annotations

from typing import Any

import pytest

from sim.strength.helps import most_helpful_change
from sim.strength.judge import judge
from tests.strength.lamplighter import forces, scenario
from tests.strength.test_judge import LINE, runs

FITTING = {"holds": "drop line", "end": "lamplighter"}
GRAB = FITTING | {"kind": "rope grab"}


def helps(*changes: tuple[str, Any]) -> str:
    """The sentence for the small rig with these changes, at 4.21 kN in the line and 5.9 kN on a sheave."""
    asked, cases = scenario(*changes), runs(emergency=forces(4210, 5900))
    return most_helpful_change(asked, cases, judge(asked, cases))


def test_a_knot_wants_a_splice() -> None:
    # 0.30 x 29/4.21 = 2.1; spliced 0.9 x 29/4.21 = 6.2, and then the harness, 22/4.21 = 5.2, is weakest
    said = helps((f"{LINE}/terminations/lamplighter", "bowline"))
    assert said.startswith("drop line: ")
    assert "long splice with thimble instead of bowline at lamplighter" in said
    assert "6.2 instead of 2.1 for the emergency load" in said
    assert said.endswith("then lamplighter harness is the weakest.")


def test_no_end_is_told_that_only_a_drum_or_a_hand_can_be() -> None:
    # Without a sheave nothing but the end takes strength: wraps on the drum would take less than any splice.
    straight = (f"{LINE}/route", ["winch", "lamplighter"]), (f"{LINE}/terminations/lamplighter", "bowline")
    said = helps(*straight)
    assert "long splice with thimble instead of bowline at lamplighter would help most" in said


def test_a_part_that_nothing_else_helps_wants_strength() -> None:
    # the sheave's pin: 20/5.9 = 3.4, half as strong again 5.1
    assert "head sheave: 1.5 times the strength would help most" in helps(
        ("sheaves/head sheave/breaking_strength", "20 kN")
    )
    assert "5.1 instead of 3.4" in helps(("sheaves/head sheave/breaking_strength", "20 kN"))
    harness = helps()
    assert harness.startswith("lamplighter harness: 1.5 times the strength")  # 22/4.21 = 5.2, then 7.8
    assert "7.8 instead of 5.2" in harness


def test_a_sling_of_wide_legs_wants_a_smaller_angle() -> None:
    # two legs at 150 deg between them: each bears 5.9/(2 cos 75) = 11.4 kN of 40: 3.5; at 75 deg 3.7 kN: 10.8
    said = helps(("hardware/head sling/angle_between_legs", "150 deg"))
    assert said.startswith("head sling: half the angle between its legs would help most")
    assert "10.8 instead of 3.5" in said


def test_nothing_asked_is_nothing_to_help() -> None:
    assert helps(("limits", {"g_load": "6"})) == ""


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("drives/winch/brakes", [{"force": "0.9 kN", "delay": "0 s", "rise": "0 s"}]), "stop harder: run it anew"),
        (("drives/winch/grip", "0.9 kN"), "winch grip: 1.5 times the grip"),
        (("hardware/grab", GRAB | {"slips_at": "4.3 kN"}), "grab slip: a grab that slips at 1.5 times the force"),
        (
            ("hardware/grab", GRAB | {"damages_at": "4.3 kN"}),
            "a grab that damages its line only at 1.5 times the force",
        ),
        (
            ("hardware/swivel", FITTING | {"kind": "swivel", "breaking_strength": "13 kN"}),
            "swivel: 1.5 times the strength",
        ),
    ],
)
def test_every_sort_of_element_has_a_change_that_helps(change: tuple[str, Any], said: str) -> None:
    assert said in helps(change)


def test_a_flat_groove_wants_a_fitted_one() -> None:
    # wire over D:d 10 in a flat groove: the groove costs more than a sheave twice as wide gives back (0.86 to 0.91)
    wire = (f"{LINE}/type", "7x19 galvanised"), (f"{LINE}/terminations/lamplighter", "spelter socket")
    flat = ("sheaves/head sheave/groove", "flat"), ("sheaves/head sheave/tread_diameter", "60 mm")
    weak = ("sheaves/lead sheave/tread_diameter", "180 mm"), (f"{LINE}/breaking_strength", "19 kN")
    assert "drop line: a fitted groove instead of a flat one at head sheave" in helps(*wire, *flat, *weak)


def test_a_detail_that_hardly_helps_is_passed_over() -> None:
    # wire over D:d 20 and 25 leaves 0.91 and 0.92: one wider sheave gives 1 %, a stronger line half as much again
    wire = (f"{LINE}/type", "7x19 galvanised"), (f"{LINE}/terminations/lamplighter", "spelter socket")
    sheaves = ("sheaves/lead sheave/tread_diameter", "150 mm"), (f"{LINE}/breaking_strength", "19 kN")
    assert "drop line: 1.5 times the strength would help most" in helps(*wire, *sheaves)


def test_legs_said_from_the_horizontal_are_raised() -> None:
    # 10 deg from the horizontal: each of two legs bears 5.9/(2 sin 10) = 17.0 kN; at 50 deg 3.85 kN: 10.4
    low = [("hardware/head sling/angle_between_legs", None), ("hardware/head sling/leg_from_horizontal", "10 deg")]
    said = helps(*low)
    assert said.startswith("head sling: half the angle between its legs would help most")
    assert "10.4 instead of 2.4" in said
