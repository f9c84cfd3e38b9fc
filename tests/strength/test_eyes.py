"""A line's eye on the pin that holds it: the bend over the pin counts once, and a thimble keeps it off."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.strength.bends import NoBendValue, bend
from sim.strength.catalogue import find
from sim.strength.eyes import end_on_a_pin, with_thimble
from sim.strength.terminations import termination, terminations
from tests.strength.lamplighter import forces
from tests.strength.test_judge import LINE, judged, runs
from tests.strength.test_judge import scenario as asked

WIRE = find("7x19 galvanised").at(0.005)
BRAID = find("aramid copolymer 12-strand").at(0.006)


def pin(diameter: str) -> tuple[str, Any]:
    return "hardware/hook shackle", {
        "kind": "shackle", "holds": "drop line", "end": "lamplighter", "pin_diameter": diameter,
        "working_load_limit": "10 kN", "marked_factor": "5",
    }  # fmt: skip


@pytest.mark.parametrize(("pin_mm", "left"), [(5, 0.50), (10, 0.65), (20, 0.75), (40, 0.83)])
def test_a_bare_wire_eye_bends_over_its_pin(pin_mm: float, left: float) -> None:
    # Wire over D:d 1, 2, 4, 8 (tackle and wire-rope tables); mechanical splice 95 % (TM 5-3810-305-10, table 4).
    sleeve, over = end_on_a_pin("swaged sleeve", "flyer", pin_mm / 1000, WIRE)
    assert (sleeve.what, sleeve.factor, sleeve.needs_evidence) == ("swaged sleeve", 0.95, False)
    assert over.factor == pytest.approx(left)
    assert over.needs_evidence  # the table is of a line over a tread
    assert "no credit for its two legs" in over.source


def test_a_hand_tucked_loop_is_worth_what_it_is_with_a_thimble() -> None:
    # TM 5-3810-305-10, table 4, "loop or thimble splice": 86 % carbon steel, 76 % stainless; the lower is taken.
    words = "hand-tucked splice", with_thimble("hand-tucked splice")
    loop, thimble = (termination(word, "x", "steel", False) for word in words)
    assert loop.factor == thimble.factor == 0.76
    assert not loop.needs_evidence


@pytest.mark.parametrize("word", ["swaged sleeve with thimble", "spelter socket", "clips with thimble"])
def test_a_thimble_or_a_socket_does_not_lie_on_the_pin(word: str) -> None:
    assert end_on_a_pin(word, "flyer", 0.012, WIRE) == [termination(word, "flyer", "steel", False)]


def test_a_knot_was_measured_with_its_loop() -> None:
    # Cordage Institute figures are of the knot with its loop in place: nothing more is taken for the pin.
    rope = find("polyester double braid").at(0.010)
    (knot,) = end_on_a_pin("bowline", "flyer", 0.012, rope)
    assert knot.factor == 0.67


def test_every_bare_eye_has_its_twin() -> None:
    for word in terminations():
        if word.endswith(" with thimble"):
            assert with_thimble(word.removesuffix(" with thimble")) == word
            assert with_thimble(word) == ""
    assert with_thimble("splice of 2.5 fids") == "splice of 2.5 fids with thimble"


def test_a_pin_thinner_than_the_line_is_not_judged() -> None:
    # An eye's pin is never thinner than the rope (sling page of a rigging supplier, secondary).
    with pytest.raises(NoBendValue, match="thinner than the eye wants"):
        end_on_a_pin("long splice", "flyer", 0.0055, BRAID)
    line = judged((f"{LINE}/terminations/lamplighter", "long splice"), pin("5 mm")).elements["drop line"]
    assert line.within is None
    assert "thinner than the eye wants, D:d 0.83" in line.remark


def test_the_pin_moves_the_lines_weakest_place() -> None:
    # Long splice 0.90; 12 mm over 6 mm is D:d 2, 0.65 in fibre (from memory): 0.585 x 29 = 16.97 kN over 4.21 kN.
    bare = judged((f"{LINE}/terminations/lamplighter", "long splice"), pin("12 mm")).elements["drop line"]
    assert [(each.what, each.factor) for each in bare.reductions] == [
        ("long splice", 0.90), ("bare eye on the pin, D:d 2", 0.65),
    ]  # fmt: skip
    assert bare.design_factor.emergency == pytest.approx(0.90 * 0.65 * 29 / 4.21)
    held = judged(pin("12 mm")).elements["drop line"]  # with a thimble
    assert held.design_factor.emergency == pytest.approx(0.90 * 29 / 4.21)


def test_a_thimble_is_the_change_that_helps_a_bare_eye() -> None:
    from sim.strength.helps import most_helpful_change
    from sim.strength.judge import judge

    rig = asked((f"{LINE}/terminations/lamplighter", "long splice"), pin("8 mm"))
    cases = runs(emergency=forces(4210, 5900))
    said = most_helpful_change(rig, cases, judge(rig, cases))
    assert "long splice with thimble instead of long splice at lamplighter" in said


@given(st.sampled_from(["long splice", "short splice", "splice of 2 fids"]), st.floats(1.0, 30.0))
def test_the_bend_counts_once(word: str, D_to_d: float) -> None:
    taken = end_on_a_pin(word, "flyer", D_to_d * 0.006, BRAID)
    end = termination(with_thimble(word), "flyer", BRAID.fibre, True)
    over = bend(D_to_d * 0.006, 0.006, "flyer", BRAID.fibre, True)
    assert [each.factor for each in taken] == [end.factor, over.factor]


def test_a_single_wire_bends_as_a_bar_does_over_its_pin() -> None:
    wire = find("music wire").at(0.080 * 0.0254)
    with pytest.raises(NoBendValue, match="beyond its strength"):
        end_on_a_pin("crimped sleeve", "flyer", 0.012, wire)
