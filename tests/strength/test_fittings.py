"""Swivels, shackles and rope grabs as elements of their own, each number worked out beside it."""

from __future__ import annotations

from typing import Any

import pytest

from sim.results.model import ElementResult
from sim.strength.prepare import StrengthError, prepare
from tests.strength.lamplighter import forces, scenario
from tests.strength.test_judge import judged


def fitting(**keys: Any) -> tuple[str, Any]:
    return "hardware/piece", {"holds": "drop line", "end": "lamplighter"} | keys


def elements(*changes: tuple[str, Any], emergency: dict[str, float] | None = None) -> dict[str, ElementResult]:
    return dict(judged(*changes, emergency=emergency).elements)


def test_a_swivel_is_a_row_with_its_name_and_its_force() -> None:
    swivel = elements(fitting(kind="swivel", breaking_strength="12 kN"))["piece"]
    assert swivel.kind == "swivel"
    assert swivel.emergency_N == 4210
    assert swivel.design_factor.emergency == pytest.approx(12 / 4.21)  # 2.85 of 3
    assert swivel.within is False
    assert swivel.margin == pytest.approx(12 / 4.21 / 3 - 1)


def test_a_weak_swivel_is_named_before_a_strong_line() -> None:
    assert judged(fitting(kind="swivel", breaking_strength="12 kN")).weakest == "piece"


def test_a_fitting_of_no_kind_is_hardware_as_before() -> None:
    found = elements(fitting(breaking_strength="40 kN"))
    assert (found["piece"].kind, found["head sling"].kind) == ("hardware", "hardware")


def test_a_rope_grab_slips_and_damages_at_forces_of_their_own() -> None:
    # 4.21 kN on its line: above 3 kN it slips, below 4.5 kN (5 kN less 10 %) the line is whole.
    found = elements(
        fitting(
            kind="rope grab",
            breaking_strength="15 kN",
            slips_at={"value": "3 kN", "from": "its instructions"},
            damages_at={"value": "5 kN", "from": "its instructions", "within": "10 %"},
        )
    )
    assert {name: found[name].kind for name in ("piece", "piece slip", "piece on drop line")} == {
        "piece": "rope grab", "piece slip": "rope grab", "piece on drop line": "rope grab",
    }  # fmt: skip
    assert found["piece"].design_factor.emergency == pytest.approx(15 / 4.21)
    slip, damage = found["piece slip"], found["piece on drop line"]
    assert (slip.within, slip.margin) == (False, pytest.approx(3 / 4.21 - 1))
    assert (damage.within, damage.margin) == (True, pytest.approx(4.5 / 4.21 - 1))
    assert slip.required.emergency == damage.required.emergency == 1.0
    assert "slips, which is not in the simulation" in slip.remark
    assert "low end of the spread" in damage.strength_origin
    assert not slip.needs_evidence


def test_a_rope_grab_that_says_neither_is_not_judged() -> None:
    found = elements(fitting(kind="rope grab", breaking_strength="15 kN"))
    assert found["piece on drop line"].within is None
    assert "neither slips_at nor damages_at" in found["piece on drop line"].remark
    bare = elements(fitting(kind="rope grab", damages_at="5 kN"))
    assert bare["piece"].within is None  # no strength of its own is stated
    assert bare["piece on drop line"].needs_evidence  # nothing says where the 5 kN come from


def test_a_line_held_in_a_rope_grab_wants_the_grab() -> None:
    end = ("lines/drop line/terminations/lamplighter", "held in a rope grab")
    assert "no hardware of kind rope grab holds it at lamplighter" in elements(end)["drop line"].remark
    grab = fitting(kind="rope grab", breaking_strength="40 kN", slips_at="9 kN", damages_at="9 kN")
    held = elements(end, grab)["drop line"]
    assert held.within is True
    assert {each.factor for each in held.places[-1].reductions} == {1.0}
    wire = ("lines/drop line/type", "7x19 galvanised")
    with pytest.raises(StrengthError, match="held in a rope grab"):  # not made in wire
        prepare(scenario(end, grab, wire))


def test_a_rope_grab_bears_the_span_it_stands_in() -> None:
    emergency = forces(4210, 5900, 3000)
    at_the_drum = fitting(kind="rope grab", slips_at="5 kN")[1] | {"end": "winch"}
    assert elements(("hardware/piece", at_the_drum), emergency=emergency)["piece slip"].emergency_N == 4210
    assert elements(fitting(kind="rope grab", slips_at="5 kN"), emergency=emergency)["piece slip"].emergency_N == 3000


def test_two_elements_of_one_name_are_refused() -> None:
    with pytest.raises(StrengthError, match="2 elements would be called lamplighter harness"):
        prepare(scenario(("hardware/lamplighter harness", {"holds": "head sheave", "breaking_strength": "40 kN"})))
    with pytest.raises(StrengthError, match="2 elements would be called winch brake"):
        prepare(scenario(("hardware/winch brake", {"holds": "winch", "breaking_strength": "40 kN"})))
