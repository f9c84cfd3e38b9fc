"""Terminations and bends against published tables; each check names its source."""

import pytest

from sim.strength.bends import NoBendValue, bend
from sim.strength.fibres import group_of
from sim.strength.terminations import UnknownTermination, known_terminations, termination, terminations

WIRE = ("steel", False)


@pytest.mark.parametrize(
    ("D_to_d", "percent"),
    [(40, 95), (30, 93), (20, 91), (15, 89), (10, 86), (8, 83), (6, 79), (4, 75), (2, 65), (1, 50)],
)
def test_wire_over_a_sheave(D_to_d: float, percent: float) -> None:
    # Strength against D:d, tackle and wire-rope technical tables (identical on three pages).
    reduction = bend(D_to_d * 0.005, 0.005, "head sheave", "steel", False)
    assert reduction.factor == pytest.approx(percent / 100)
    assert reduction.at == "head sheave"
    assert not reduction.needs_evidence


def test_bend_between_and_beyond_the_table() -> None:
    # Same table: between 20 (91 %) and 30 (93 %), and held above 40, where it ends.
    assert bend(25 * 0.005, 0.005, "s", "steel", False).factor == pytest.approx(0.92)
    assert bend(80 * 0.005, 0.005, "s", "steel", False).factor == pytest.approx(0.95)
    with pytest.raises(NoBendValue):
        bend(0.004, 0.005, "s", "steel", False)


@pytest.mark.parametrize(("D_to_d", "factor"), [(1, 0.50), (2, 0.65), (3, 0.75), (5, 0.85), (8, 0.90), (20, 0.90)])
def test_fibre_over_a_pin_needs_evidence(D_to_d: float, factor: float) -> None:
    # Fibre rope over a pin: value from memory; above D:d 8 the last value is held, never raised.
    reduction = bend(D_to_d * 0.006, 0.006, "s", "HMPE", True)
    assert reduction.factor == pytest.approx(factor)
    assert reduction.needs_evidence


@pytest.mark.parametrize(
    ("word", "factor"),
    [
        ("spelter socket", 1.0),
        ("swaged socket", 0.95),
        ("swaged sleeve with thimble", 0.95),
        ("hand-tucked splice with thimble", 0.76),
        ("wedge socket", 0.75),
        ("clips with thimble", 0.80),
    ],
)
def test_wire_ends(word: str, factor: float) -> None:
    # US Army TM 5-3810-305-10, table 4, steel core; where it gives a band the lowest is taken.
    assert termination(word, "anchor", *WIRE).factor == factor


@pytest.mark.parametrize(
    ("word", "factor"), [("bowline", 0.67), ("fisherman's knot", 0.50), ("two half hitches", 0.60)]
)
def test_knots_in_ordinary_fibre(word: str, factor: float) -> None:
    # Cordage Institute figures quoted by a sailing test magazine: 67-75, 50-58, 60-70 %; the lowest is taken.
    assert termination(word, "harness", "polyester", True).factor == factor


def test_figure_eight_from_the_rope_standard() -> None:
    # EN 1891 type A: 15 kN with figure-eight terminations, 22 kN without (summary sheet).
    assert termination("figure eight", "harness", "polyamide", True).factor == pytest.approx(15 / 22, abs=0.005)


def test_knots_cost_high_modulus_fibre_more() -> None:
    # Knots 30 to 50 % in aramid, LCP and HMPE (a rope seller's page).
    for fibre in ("aramid copolymer", "para-aramid", "LCP", "HMPE", "a fibre nobody named"):
        assert termination("bowline", "harness", fibre, True).factor == 0.30


def test_good_splice() -> None:
    # About 90 %: Cordage Institute figures, tanker mooring guidelines (8-strand polyester, spliced against unspliced).
    assert termination("long splice with thimble", "lamplighter", "polyester", True).factor == 0.90


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
