"""Terminations and bends: between and beyond the tables, and what is not made. The tables: tests/outside."""

import pytest

from sim.strength.bends import NoBendValue, bend
from sim.strength.fibres import group_of
from sim.strength.terminations import UnknownTermination, known_terminations, termination, terminations


def test_bend_between_and_beyond_the_table() -> None:
    # Tackle and wire-rope tables: between 20 (91 %) and 30 (93 %), and held above 40, where it ends.
    assert bend(25 * 0.005, 0.005, "s", "steel", False).factor == pytest.approx(0.92)
    assert bend(80 * 0.005, 0.005, "s", "steel", False).factor == pytest.approx(0.95)
    with pytest.raises(NoBendValue):
        bend(0.004, 0.005, "s", "steel", False)
    # fibre over a pin ends at D:d 8 (value from memory) and is never raised
    assert bend(20 * 0.006, 0.006, "s", "HMPE", True).factor == pytest.approx(0.90)


def test_a_fibre_nobody_named_takes_the_lowest() -> None:
    # Knots 30 to 50 % in aramid, LCP and HMPE (a rope seller's page).
    assert termination("bowline", "harness", "a fibre nobody named", True).factor == 0.30


def test_wraps_on_the_drum_take_nothing_and_say_so() -> None:
    reduction = termination("wraps on the drum", "winch", "HMPE", True)
    assert reduction.factor == 1.0
    assert "dead wraps" in reduction.source


@pytest.mark.parametrize(("word", "fibre", "textile"), [("bowlin", "LCP", True), ("bowline", "steel", False)])
def test_unknown_termination_lists_the_known(word: str, fibre: str, textile: bool) -> None:
    with pytest.raises(UnknownTermination) as caught:
        termination(word, "winch", fibre, textile)
    assert "wraps on the drum" in str(caught.value)
    assert all(known in str(caught.value) for known in known_terminations(group_of(fibre, textile)))


def test_thimble_never_weakens() -> None:
    # A thimble widens the bend of the eye: textbook reasoning, no number.
    for word, entry in terminations().items():
        with_thimble = terminations().get(f"{word} with thimble")
        if with_thimble is None:
            continue
        for group in ("wire", "conventional", "high-modulus"):
            bare, better = entry.number(group), with_thimble.number(group)
            if bare and better:
                assert bare.value <= better.value
