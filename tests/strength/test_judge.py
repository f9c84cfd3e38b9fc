"""A whole scenario judged: each expected number is worked out beside it."""

from typing import Any

import pytest

from sim.results.model import CaseResult, Outcome, Peak
from sim.strength.judge import Judgement, judge
from sim.strength.own import line_data, own_type
from sim.strength.prepare import StrengthError, prepare
from tests.strength.lamplighter import SPANS, forces, scenario
from tests.strength.made_cases import case, seen

LINE = "lines/drop line"
OWN = {"stretch": {"10 %": "0.8 %", "30 %": "1.6 %"}, "mass_per_length": "27 g/m", "damping_ratio": "3 %"}


def runs(working: dict[str, float] | None = None, emergency: dict[str, float] | None = None) -> dict[str, CaseResult]:
    rest = forces(830, 1170)
    cases = {
        "planned move": case("planned move", "working", working or forces(1900, 2700), rest, {"lamplighter": seen()})
    }
    if emergency:
        cases["power loss"] = case("power loss", "emergency", emergency, rest, {"lamplighter": seen(4.0, 0.5)})
    return cases


def judged(*changes: tuple[str, Any], emergency: dict[str, float] | None = None, **more: Any) -> Judgement:
    return judge(scenario(*changes), runs(emergency=emergency or forces(4210, 5900)), **more)


def test_all_within() -> None:
    result = judged()
    assert (result.verdict, result.exit_status) == ("within limits", 0)
    assert set(result.elements) == {
        "drop line", "lead sheave", "head sheave", "hook shackle", "lead sling", "head sling", "winch",
        "winch brake", "lamplighter harness",
    }  # fmt: skip
    # Margins at the emergency load over 3: harness 22/4.21 = 5.23, line 26.1/4.21 = 6.20, lead sling 40/5.9 = 6.78.
    assert result.weakest == "lamplighter harness"
    assert result.elements["lamplighter harness"].design_factor.emergency == pytest.approx(22 / 4.21)


def test_the_line_at_its_weakest_place() -> None:
    # Splice 0.70 under 3.5 kN is 0.20 per kN, D:d 20 at 0.90 under 4.3 kN 0.209 per kN: the splice decides.
    short = (f"{LINE}/terminations/lamplighter", "short splice")
    line = judged(short, emergency=forces(4300, 6000, 3500)).elements["drop line"]
    assert line.worst_place == SPANS[2]
    assert [(each.what, each.at) for each in line.reductions] == [("short splice", "lamplighter")]
    assert line.strength_N == pytest.approx(0.7 * 29000)
    assert line.emergency_N == 3500
    assert line.design_factor.emergency == pytest.approx(0.7 * 29000 / 3500)
    # With 3.2 kN in the last span the sheaves decide: 0.219 against 0.209 per kN.
    other = judged(short, emergency=forces(4300, 6000, 3200)).elements["drop line"]
    assert [each.factor for each in other.reductions] == [0.90]
    assert other.emergency_N == 4300


def test_a_small_sheave_governs() -> None:
    # D:d 60/6 = 10 on wire leaves 86 % (wire-rope tables), the sleeve 95 % (TM 5-3810-305-10): the sheave decides.
    result = judged(
        (f"{LINE}/type", "7x19 galvanised"),
        (f"{LINE}/terminations/lamplighter", "swaged sleeve with thimble"),
        ("sheaves/head sheave/tread_diameter", "60 mm"),
    )
    line = result.elements["drop line"]
    assert [(each.at, each.factor) for each in line.reductions] == [("head sheave", 0.86)]
    assert line.design_factor.emergency == pytest.approx(0.86 * 29000 / 4210)


def test_drum_bend_and_wraps_coincide_at_the_winch() -> None:
    # Drum D:d 24/6 = 4 on wire leaves 75 % at the winch; the wraps themselves take nothing there.
    result = judged(
        (f"{LINE}/type", "7x19 galvanised"),
        (f"{LINE}/terminations/lamplighter", "spelter socket"),
        ("drives/winch/drum_diameter", "24 mm"),
    )
    line = result.elements["drop line"]
    assert [each.factor for each in line.reductions] == [1.0, 0.75]
    assert line.strength_N == pytest.approx(0.75 * 29000)


def test_a_weak_sheave_is_named_before_a_strong_line() -> None:
    result = judged(("sheaves/head sheave/breaking_strength", "20 kN"))
    assert result.weakest == "head sheave"
    assert result.elements["head sheave"].design_factor.emergency == pytest.approx(20 / 5.9)
    assert result.elements["drop line"].design_factor.emergency == pytest.approx(0.9 * 29 / 4.21)


def test_a_change_of_end_moves_the_weakest_element() -> None:
    # Harness 22/4.21 = 5.23; the line spliced 0.9 x 29/4.21 = 6.20, with a bowline 0.30 x 29/4.21 = 2.07.
    spliced, knotted = judged(), judged((f"{LINE}/terminations/lamplighter", "bowline"))
    assert (spliced.weakest, knotted.weakest) == ("lamplighter harness", "drop line")
    assert knotted.elements["drop line"].design_factor.emergency == pytest.approx(0.30 * 29 / 4.21)
    assert knotted.elements["lamplighter harness"] == spliced.elements["lamplighter harness"]


def test_outside() -> None:
    result = judged(("sheaves/head sheave/breaking_strength", "17 kN"))  # 17/5.9 = 2.88 < 3
    assert (result.verdict, result.exit_status) == ("outside limits", 1)
    (failing,) = [finding for finding in result.findings if finding.within is False]
    assert (failing.of, failing.limit) == ("head sheave", "design_factor emergency")


def test_working_load_limit_times_marked_factor() -> None:
    # 10 kN marked with 5 is 50 kN; the shackle bears the tension at the line's end.
    shackle = judged().elements["hook shackle"]
    assert shackle.breaking_strength_N == pytest.approx(50e3)
    assert shackle.emergency_N == pytest.approx(4210)


def test_sling_leg() -> None:
    # Statics: two legs at 60 degrees bear 0.577 of the sheave's resultant each.
    sling = judged().elements["head sling"]
    assert sling.emergency_N == pytest.approx(0.577350 * 5900, rel=1e-5)
    assert sling.design_factor.emergency == pytest.approx(40e3 / (0.577350 * 5900), rel=1e-5)
    low = [("hardware/head sling/angle_between_legs", None), ("hardware/head sling/leg_from_horizontal", "30 deg")]
    assert judged(*low).elements["head sling"].emergency_N == pytest.approx(5900)  # 1/(2 sin 30)


def test_fittings_follow_what_they_hold_when_a_case_has_no_key_of_theirs() -> None:
    emergency = forces(4210, 5900, 4000)
    for name in ("hook shackle", "lead sling"):
        del emergency[name]
    elements = judged(emergency=emergency).elements
    assert elements["hook shackle"].emergency_N == 4000
    assert elements["lead sling"].emergency_N == 5900


def test_allowed_force_takes_no_factor() -> None:
    change = ("hardware/lead sling", {"holds": "lead sheave", "allowed_force": "6 kN"})
    sling = judged(change).elements["lead sling"]
    assert sling.within is True
    assert sling.design_factor.emergency == pytest.approx(6 / 5.9)
    tight = judged(("hardware/lead sling", {"holds": "lead sheave", "allowed_force": "5.8 kN"}))
    assert tight.elements["lead sling"].within is False
    assert tight.exit_status == 1


def test_an_elements_own_design_factor_goes_first() -> None:
    change = ("sheaves/head sheave/design_factor", {"emergency": "12"})
    result = judged(change)
    assert result.elements["head sheave"].within is False
    assert result.elements["head sheave"].required.working is None
    assert result.elements["lead sheave"].within is True


@pytest.mark.parametrize("end", ["winch", "lamplighter"])
def test_an_end_without_termination_is_not_judged(end: str) -> None:
    result = judged((f"{LINE}/terminations/{end}", None))
    line = result.elements["drop line"]
    assert line.within is None
    assert f"no termination stated at {end}" in line.remark
    assert (result.verdict, result.exit_status) == ("not judged", 1)


def test_a_loaded_element_without_strength_is_not_judged() -> None:
    result = judged(("sheaves/lead sheave/breaking_strength", None))
    assert result.elements["lead sheave"].within is None
    assert result.exit_status == 1


def test_limits_none_judges_nothing() -> None:
    result = judged(("limits", "none"))
    assert (result.verdict, result.exit_status) == ("not judged", 1)
    assert result.elements["drop line"].required.emergency is None
    assert result.elements["drop line"].design_factor.emergency == pytest.approx(0.9 * 29 / 4.21)


def test_a_bend_sharper_than_the_table_is_not_judged() -> None:
    result = judged(("sheaves/head sheave/tread_diameter", "4 mm"))
    assert result.elements["drop line"].within is None
    assert "sharper" in result.elements["drop line"].remark


def test_not_finished_comes_first() -> None:
    weak = ("sheaves/head sheave/breaking_strength", "1 kN")
    assert judged(weak, not_simulated=("snag at head sheave",)).exit_status == 3
    cases = runs(emergency=forces(4210, 5900))
    cases["late brake"] = case("late brake", "emergency", {}, outcome=Outcome.FAILED)
    assert judge(scenario(), cases).verdict == "not finished"


def test_all_faults_at_once_before_any_run() -> None:
    with pytest.raises(StrengthError) as caught:
        prepare(
            scenario(
                (f"{LINE}/terminations", {"winch": "wrapped", "lamplighter": "long splice with thimbel"}),
                ("hardware/head sling/angle_between_legs", "180 deg"),
            )
        )
    assert len(caught.value.sentences) == 3
    assert "long splice with thimble" in caught.value.sentences[0]


@pytest.mark.parametrize(
    ("change", "expected"),
    [((f"{LINE}/type", "7x19 galvanized"), "7x19 galvanised"), ((f"{LINE}/diameter", "40 mm"), "3 to 16 mm")],
)
def test_unknown_types_and_sizes(change: tuple[str, str], expected: str) -> None:
    with pytest.raises(StrengthError, match=expected):
        prepare(scenario(change))


def test_without_certificate_the_catalogue_is_said() -> None:
    # About 3 t-force at true 6 mm: common practice, no source.
    result = judged((f"{LINE}/breaking_strength", None))
    assert result.elements["drop line"].breaking_strength_N == pytest.approx(3000 * 9.80665, rel=1e-3)
    assert "common practice" in result.elements["drop line"].strength_origin
    assert any("no certificate" in sentence for sentence in result.assumptions)


def test_what_the_surroundings_may_take_is_said() -> None:
    said = " ".join(judged(("environment", {"temperature": "45 degC", "wet": "yes"})).assumptions)
    assert "temperature 45 degC all along it leaves 99%" in said
    assert "wet" in said
    room = judged(("environment", {"temperature": "32 degC"}))  # tested there: nothing is taken, and the chain says so
    assert [each.what for each in room.elements["drop line"].reductions][-1] == "temperature 32 degC"
    assert "32 degC" not in " ".join(room.assumptions)
    assert "wet" not in " ".join(judged().assumptions)


def test_what_holds_a_performer_is_said() -> None:
    held = scenario(("performers/lamplighter/start", "held"), ("performers/lamplighter/release", "0.5 s"))
    cases = runs()
    cases["planned move"].static_N["what holds lamplighter"] = 843.0  # type: ignore[index]
    assert any("843 N" in sentence for sentence in judge(held, cases).assumptions)


def test_what_holds_a_performer_is_judged_where_its_strength_is_stated() -> None:
    held = ("performers/lamplighter/start", "held"), ("performers/lamplighter/release", "0.5 s")
    cases = runs()
    cases["planned move"].static_N["what holds lamplighter"] = 843.0  # type: ignore[index]
    cases["planned move"].peaks["what holds lamplighter"] = Peak(900.0, 0.2)  # type: ignore[index]
    asked = scenario(*held, ("performers/lamplighter/held_by", {"breaking_strength": "6 kN"}))
    found = judge(asked, cases)
    release = found.elements["what holds lamplighter"]
    assert release.margin == pytest.approx(6 / 0.843 / 10 - 1)  # at rest; moving 6/0.9 = 6.7 of 5
    assert not any("what holds" in sentence.casefold() for sentence in found.assumptions)


def test_own_type_in_percent_of_its_own_strength() -> None:
    # Percentages are of the type's own 25 kN, not of the certificate's 29 kN.
    line = scenario((f"{LINE}/type", OWN | {"breaking_strength": "25 kN"})).lines["drop line"]
    data = own_type(line)
    assert data.stretch == ((0.0, 0.0), (pytest.approx(2500), 0.008), (pytest.approx(7500), 0.016))
    assert data.breaking_strength_N == 25e3
    assert data.mass_kg_per_m == pytest.approx(0.027)
    assert data.damping_ratio == pytest.approx(0.03)


def test_own_type_as_stiffness_and_damping_time() -> None:
    own = {"stiffness_EA": "400 kN", "mass_per_length": "27 g/m", "damping_time": "0.2 ms", "fibre": "7x19 galvanised"}
    data = own_type(scenario((f"{LINE}/type", own)).lines["drop line"])
    force, strain = data.stretch[-1]
    assert force / strain == pytest.approx(400e3)
    assert data.damping_time_s == pytest.approx(0.2e-3)
    assert data.breaking_strength_N is None
    assert not data.textile


def test_own_type_in_forces() -> None:
    own = {"stretch": {"3 kN": "0.8 %"}, "mass_per_length": "27 g/m", "damping_ratio": "3 %"}
    data = own_type(scenario((f"{LINE}/type", own)).lines["drop line"])
    assert data.stretch == ((0.0, 0.0), (3000.0, pytest.approx(0.008)))


def test_own_type_of_unstated_fibre_takes_the_lowest() -> None:
    # A bowline leaves 67 % in polyester, 30 % in high-modulus fibre: unstated, the lower holds.
    own = OWN | {"breaking_strength": "25 kN"}
    result = judged((f"{LINE}/type", own), (f"{LINE}/terminations/lamplighter", "bowline"))
    assert result.elements["drop line"].reductions[0].factor == 0.30


def test_line_data_takes_either() -> None:
    data = line_data(scenario().lines["drop line"])
    assert data.fibre == "aramid copolymer"
    assert (data.condition, data.stiffness) == ("bedded", "dynamic")
