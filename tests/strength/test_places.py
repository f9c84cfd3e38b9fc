"""Each end, each sheave and each span of a line for itself: force, strength and margin worked out beside the check."""

from __future__ import annotations

import pytest

from sim.strength.chain import chains
from tests.strength.lamplighter import forces
from tests.strength.test_judge import LINE, judged


def test_every_place_of_a_line_is_judged_for_itself() -> None:
    # Short splice 0.70 under 4.21 kN: 4.82 of 3; D:d 20 over the sheaves 0.90: 6.20; the drum takes nothing: 6.89.
    line = judged((f"{LINE}/terminations/lamplighter", "short splice")).elements["drop line"]
    assert [(each.name, each.kind) for each in line.places] == [
        ("winch", "termination"), ("lead sheave", "bend"), ("head sheave", "bend"), ("lamplighter", "termination"),
    ]  # fmt: skip
    factors = {each.name: each.design_factor.emergency for each in line.places}
    expected = {"winch": 29 / 4.21, "lead sheave": 26.1 / 4.21, "head sheave": 26.1 / 4.21, "lamplighter": 20.3 / 4.21}
    assert factors == pytest.approx(expected)
    assert line.margin == min(each.margin for each in line.places if each.margin is not None)


def test_a_span_with_a_temperature_of_its_own_is_a_place() -> None:
    hot = (f"{LINE}/temperature_at", {"lead sheave -> head sheave": "100 degC"})
    line = judged(hot).elements["drop line"]
    span = line.places[-1]
    assert (span.name, span.kind) == ("lead sheave -> head sheave", "span")
    assert span.design_factor.emergency == pytest.approx(0.92 * 29 / 4.21)  # 0.92 left at 100 degC, from memory


def test_a_splice_in_a_hot_span_is_a_hot_splice() -> None:
    # Long splice 0.90 and 0.92 at 100 degC (from memory) meet at the end; a temperature of its own goes first.
    hot = {"head sheave -> lamplighter": "100 degC"}
    end = judged((f"{LINE}/temperature_at", hot)).elements["drop line"].places[3]
    assert [each.factor for each in end.reductions] == [0.90, pytest.approx(0.92)]
    assert end.reductions[1].what == "temperature 100 degC"
    cool = judged((f"{LINE}/temperature_at", hot | {"lamplighter": "20 degC"})).elements["drop line"].places[3]
    assert [each.factor for each in cool.reductions] == [0.90, 1.0]


def test_what_fails_at_one_place_has_no_places() -> None:
    assert all(not each.places for name, each in judged().elements.items() if name != "drop line")


def test_the_chain_of_an_end_that_does_not_govern_is_told_with_its_margin() -> None:
    # The sheaves at D:d 20 leave 0.90 under 4.21 kN in the stop; at the end, with 3 kN in the stop, 1.9 kN in the move
    # decide: 26.1/1.9/5 - 1 = 1.75.
    line = judged(emergency=forces(4210, 5900, 3000)).elements["drop line"]
    assert [*chains(line)] == [
        "29.00 kN × 0.90 bend over D:d 20 (needs evidence) = 26.10 kN at lead sheave",
        "29.00 kN × 0.90 long splice with thimble = 26.10 kN at lamplighter, margin 1.75",
    ]
