"""Brakes and grips as elements: they have to hold what hangs at rest, and what slips in a stop is no failure."""

from __future__ import annotations

from typing import Any

import pytest

from sim.strength.judge import Judgement
from tests.strength.test_judge import judged

WINCH = "drives/winch"


def brakes(*brakes: dict[str, Any]) -> tuple[str, Any]:
    return f"{WINCH}/brakes", [{"delay": "80 ms", "rise": "60 ms"} | each for each in brakes]


def row(result: Judgement, name: str) -> tuple[float | None, bool | None]:
    return result.elements[name].margin, result.elements[name].within


def test_a_brake_has_to_hold_what_hangs() -> None:
    # 830 N at rest: 2.8 kN less 10 % leaves 2.52/0.83 - 1.
    found = judged(brakes({"force": {"value": "2.8 kN", "from": "brake test", "within": "10 %"}}))
    brake = found.elements["winch brake"]
    assert (brake.kind, brake.static_N) == ("brake", 830)
    assert row(found, "winch brake") == (pytest.approx(2.52 / 0.83 - 1), True)
    assert not brake.needs_evidence
    weak = judged(brakes({"force": "0.8 kN"}))
    assert row(weak, "winch brake") == (pytest.approx(0.8 / 0.83 - 1), False)
    assert (weak.weakest, weak.exit_status) == ("winch brake", 1)


def test_nothing_is_asked_of_a_brake_where_nothing_is_asked_of_anything() -> None:
    result = judged(("limits", "none"))
    assert result.elements["winch brake"].within is None
    assert result.weakest == "lamplighter harness"  # 22/4.21; the brake's 2.8/4.21 is that of something there to slip


def test_what_a_brake_slips_at_in_a_stop_is_shown_and_not_judged() -> None:
    brake = judged(brakes({"force": "2.8 kN"})).elements["winch brake"]
    assert brake.emergency_N == 4210  # more than it holds
    assert brake.design_factor.emergency == pytest.approx(2.8 / 4.21)
    assert brake.within is True
    assert "slips, as simulated" in brake.remark


def test_several_brakes_hold_together_and_each_alone_where_asked() -> None:
    both = {"force": "1 kN"}, {"force": "1.2 kN", "design_factor": {"static": "1.5"}}
    found = judged(brakes(*both))
    assert row(found, "winch brakes together") == (pytest.approx(2.2 / 0.83 - 1), True)
    assert row(found, "winch brake 2 alone") == (pytest.approx(1.2 / 0.83 / 1.5 - 1), False)
    assert "winch brake 1 alone" not in found.elements


def test_a_torque_holds_over_the_arm_of_the_outermost_layer() -> None:
    # Statics: 300 N m over 150 mm is 2 kN; on the second layer of a 6 mm line over 156 mm, 1.923 kN.
    drum = (f"{WINCH}/drum_diameter", "300 mm"), brakes({"torque": "300 N m"})
    assert judged(*drum).elements["winch brake"].strength_N == pytest.approx(2000)
    layered = judged(*drum, (f"{WINCH}/layers", "2")).elements["winch brake"]
    assert layered.strength_N == pytest.approx(300 / 0.156)


def test_a_grip_has_to_hold_what_hangs() -> None:
    found = judged((f"{WINCH}/grip", "3 kN"))
    assert row(found, "winch grip") == (pytest.approx(3 / 0.83 - 1), True)
    assert row(judged((f"{WINCH}/grip", "0.5 kN")), "winch grip")[1] is False


def test_a_winch_without_brakes_has_no_such_row() -> None:
    assert "winch brake" not in judged((f"{WINCH}/brakes", None)).elements


def test_a_smooth_drum_flattens_wire() -> None:
    # Flat groove on wire: a value from memory that needs evidence; fitted takes nothing.
    wire = ("lines/drop line/type", "7x19 galvanised"), ("lines/drop line/terminations/lamplighter", "spelter socket")
    drum = (f"{WINCH}/drum_diameter", "24 mm")
    grooved, smooth = (
        judged(*wire, drum, (f"{WINCH}/groove", how)).elements["drop line"] for how in ("fitted", "flat")
    )
    assert [each.what for each in grooved.reductions] == ["wraps on the drum", "bend over D:d 4"]
    assert [each.what for each in smooth.reductions] == ["wraps on the drum", "bend over D:d 4", "flat groove"]
    assert smooth.needs_evidence
