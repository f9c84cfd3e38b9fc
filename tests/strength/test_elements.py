"""Design factors, the governing place and the weakest element, each worked out by hand beside the check."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.results.model import Factors, Outcome
from sim.strength.elements import Place, judge_element, weakest
from tests.strength.made_cases import ASKED, case, less, part

G = 9.80665
NONE = Factors()


def test_800_kgf_on_three_and_a_half_tonnes() -> None:
    # 3500 kgf / 800 kgf = 4.375, "a factor 4.4": passes 3, fails 5. Common practice, no source.
    runs = {"drop": case("drop", "emergency", {"line": 800 * G})}
    passing = judge_element(part("line", 3500 * G, Factors(emergency=3)), runs)
    failing = judge_element(part("line", 3500 * G, Factors(emergency=5)), runs)
    assert passing.design_factor.emergency == pytest.approx(4.375)
    assert f"{passing.design_factor.emergency:.1f}" == "4.4"
    assert passing.within is True
    assert failing.within is False


def test_classes_are_kept_apart() -> None:
    runs = {
        "planned move": case("planned move", "working", {"line": 1900}, {"line": 830}),
        "category 2": case("category 2", "working", {"line": 2000}, {"line": 830}),
        "power loss": case("power loss", "emergency", {"line": 4000}, {"line": 830}),
    }
    result = judge_element(part("line", 26000), runs)
    assert (result.static_N, result.working_N, result.emergency_N) == (830, 2000, 4000)
    assert result.design_factor == Factors(26000 / 830, 13.0, 6.5)
    assert result.margin == pytest.approx(6.5 / 3 - 1)  # 13/5 = 2.6, 31.3/10 = 3.1: emergency decides
    assert result.worst_case == "power loss"


def test_each_load_has_its_case_its_instant_and_its_margin() -> None:
    # available over required, less one: 26/0.83/10 = 3.13, 26/2/5 = 2.6, 26/4/3 = 2.17
    runs = {
        "planned move": case("planned move", "working", {"line": 2000}, {"line": 830}),
        "power loss": case("power loss", "emergency", {"line": 4000}, {"line": 830}),
    }
    loads = judge_element(part("line", 26000), runs).loads
    assert {kind: load.case for kind, load in loads.items()} == {
        "static": "planned move", "working": "planned move", "emergency": "power loss",
    }  # fmt: skip
    assert [loads[kind].time_s for kind in ("static", "working", "emergency")] == [0.0, 1.5, 1.5]
    assert [loads[kind].margin for kind in ("static", "working", "emergency")] == pytest.approx(
        [26000 / 830 / 10 - 1, 1.6, 26 / 4 / 3 - 1]
    )
    unasked = judge_element(part("line", 26000, Factors(working=5)), runs)
    assert unasked.loads["emergency"].margin is None
    assert unasked.margin == unasked.loads["working"].margin


def test_each_load_has_the_strength_of_its_own_place() -> None:
    # At rest b bears 900/0.5 against 1000/0.9 at a; in the stop a bears 5000/0.9 against 900/0.5 at b.
    places = (
        Place("a", ("line:w -> a",), reductions=(less(0.9, "a"),)),
        Place("b", ("line:a -> b",), reductions=(less(0.5, "b", "knot"),)),
    )
    rest = {"line:w -> a": 1000.0, "line:a -> b": 900.0}
    runs = {"e": case("e", "emergency", {"line:w -> a": 5000, "line:a -> b": 900}, rest)}
    loads = judge_element(part("line", 10000, ASKED, places), runs).loads
    assert (loads["static"].place, loads["static"].strength_N) == ("a -> b", pytest.approx(5000))
    assert (loads["emergency"].place, loads["emergency"].strength_N) == ("w -> a", pytest.approx(9000))


def test_a_margin_below_nothing_is_outside() -> None:
    runs = {"e": case("e", "emergency", {"s": 1000})}
    for strength, margin, within in ((2900, -0.1 / 3, False), (3000, 0.0, True), (6000, 1.0, True)):
        result = judge_element(part("s", strength), runs)
        assert result.margin == pytest.approx(margin)
        assert result.within is within


@pytest.mark.parametrize(
    ("forces", "decides"),
    [((900, 100, 100), "static"), ((100, 1000, 100), "working"), ((100, 100, 1000), "emergency")],
)
def test_any_class_can_decide(forces: tuple[float, float, float], decides: str) -> None:
    static, working, emergency = forces
    runs = {
        "a": case("a", "working", {"s": working}, {"s": static}),
        "b": case("b", "emergency", {"s": emergency}, {"s": static}),
    }
    for strength, expected in ((1e6, True), (2500, False)):
        result = judge_element(part("s", strength), runs)
        assert result.within is expected
        nearest = min(
            ("static", "working", "emergency"),
            key=lambda kind: getattr(result.design_factor, kind) / getattr(ASKED, kind),
        )
        assert nearest == decides


def test_reductions_multiply_only_where_they_coincide() -> None:
    places = (
        Place("winch", ("line:winch -> head",), reductions=(less(1.0, "winch"), less(0.9, "winch", "drum bend"))),
        Place("head", ("line:winch -> head", "line:head -> body"), reductions=(less(0.91, "head", "bend"),)),
        Place("body", ("line:head -> body",), reductions=(less(0.8, "body", "splice"),)),
    )
    runs = {"e": case("e", "emergency", {"line:winch -> head": 1000, "line:head -> body": 950})}
    result = judge_element(part("line", 10000, Factors(emergency=5), places), runs)
    # winch 0.9/1000 = 9.0e-4, head 0.91/1000 = 9.1e-4, body 0.8/950 = 8.42e-4: the body end decides, alone.
    assert result.design_factor.emergency == pytest.approx(8000 / 950)
    assert result.strength_N == pytest.approx(8000)
    assert [reduction.what for reduction in result.reductions] == ["splice"]
    assert result.worst_place == "head -> body"
    assert "bend × 0.91 at head" in result.remark


def test_a_smaller_force_at_a_weaker_place_governs() -> None:
    places = (
        Place("a", ("line:a -> b",), reductions=(less(0.95, "a"),)),
        Place("b", ("line:b -> c",), reductions=(less(0.30, "b", "knot"),)),
    )
    runs = {"e": case("e", "emergency", {"line:a -> b": 3000, "line:b -> c": 1000})}
    result = judge_element(part("line", 10000, Factors(emergency=3), places), runs)
    assert result.emergency_N == 1000  # 3000/0.95 = 3158 < 1000/0.30 = 3333
    assert result.design_factor.emergency == pytest.approx(3.0)
    assert result.within is True


@given(st.lists(st.tuples(st.floats(0.3, 1.0), st.floats(0.3, 1.0), st.floats(1.0, 1e5)), min_size=1, max_size=6))
def test_every_reduction_counts_exactly_once(drawn: list[tuple[float, float, float]]) -> None:
    places = tuple(
        Place(f"p{i}", (f"line:p{i}",), reductions=(less(one, f"p{i}", "bend"), less(two, f"p{i}", "splice")))
        for i, (one, two, _) in enumerate(drawn)
    )
    runs = {"e": case("e", "emergency", {f"line:p{i}": force for i, (_, _, force) in enumerate(drawn)})}
    result = judge_element(part("line", 1e5, Factors(emergency=3), places), runs)
    expected = min(1e5 * one * two / force for one, two, force in drawn)
    assert result.design_factor.emergency == pytest.approx(expected, rel=1e-12)
    assert result.strength_N is not None
    assert result.emergency_N is not None
    assert result.strength_N == pytest.approx(1e5 * math.prod(r.factor for r in result.reductions), rel=1e-12)
    assert result.strength_N / result.emergency_N == pytest.approx(expected, rel=1e-12)


def test_without_span_forces_the_whole_lines_peak_stands_at_every_place() -> None:
    places = (Place("a", ("line:a -> b",), reductions=(less(0.9, "a"),)), Place("b", ("line:a -> b",)))
    runs = {"e": case("e", "emergency", {"line": 1000})}
    assert judge_element(part("line", 10000, ASKED, places), runs).design_factor.emergency == pytest.approx(9.0)


@pytest.mark.parametrize(("degrees", "per_leg"), [(0, 0.5), (60, 0.577350), (90, 0.707107), (120, 1.0)])
def test_two_leg_sling(degrees: float, per_leg: float) -> None:
    # Statics: each of two legs at an included angle bears W / (2 cos(half)); 0.577 W at 60 degrees.
    from sim.strength.slings import leg_share

    assert leg_share(2, math.radians(degrees) / 2) == pytest.approx(per_leg, rel=1e-5)


@pytest.mark.parametrize(("legs", "from_vertical"), [(2, math.radians(90)), (2, math.radians(100)), (0, 0.1)])
def test_a_sling_that_cannot_bear_is_refused(legs: int, from_vertical: float) -> None:
    from sim.strength.slings import leg_share

    with pytest.raises(ValueError, match="leg"):
        leg_share(legs, from_vertical)


def test_weak_sheave_before_strong_line() -> None:
    runs = {"e": case("e", "emergency", {"drop line": 5000, "head sheave": 10000})}
    elements = {
        "drop line": judge_element(part("drop line", 29000), runs),  # 5.8 / 3
        "head sheave": judge_element(part("head sheave", 40000), runs),  # 4.0 / 3, though stronger in itself
    }
    assert weakest(elements) == "head sheave"


def test_weakest_by_margin_not_by_factor() -> None:
    runs = {"e": case("e", "emergency", {"a": 1000, "b": 1000})}
    elements = {
        "a": judge_element(part("a", 4000, Factors(emergency=3)), runs),  # factor 4, margin 1.33
        "b": judge_element(part("b", 9000, Factors(emergency=10)), runs),  # factor 9, margin 0.9
    }
    assert weakest(elements) == "b"
    unasked = {name: judge_element(part(name, 4000 if name == "a" else 9000, NONE), runs) for name in ("a", "b")}
    assert weakest(unasked) == "a"


def test_what_is_not_judged_and_why() -> None:
    runs = {"e": case("e", "emergency", {"s": 1000})}
    without_strength = judge_element(part("s", None), runs)
    assert without_strength.within is None
    assert "no strength is stated" in without_strength.remark
    assert without_strength.emergency_N == 1000
    nothing_asked = judge_element(part("s", 9000, NONE), runs)
    assert nothing_asked.within is None
    assert nothing_asked.design_factor.emergency == 9.0
    unseen = judge_element(part("other", 9000), runs)
    assert unseen.within is None
    assert "no force was computed" in unseen.remark


def test_a_gap_is_not_judged_unless_it_fails_anyway() -> None:
    runs = {"e": case("e", "emergency", {"line": 1000})}
    gap = "no termination stated at winch"
    assert judge_element(part("line", 9000, gap=gap), runs).within is None
    assert gap in judge_element(part("line", 9000, gap=gap), runs).remark
    assert judge_element(part("line", 2900, gap=gap), runs).within is False


def test_an_element_without_force_is_within() -> None:
    runs = {"e": case("e", "emergency", {"s": 0.0}, {"s": 0.0})}
    result = judge_element(part("s", None), runs)
    assert result.within is True
    assert result.design_factor == Factors()


def test_only_the_classes_asked_are_judged() -> None:
    runs = {"w": case("w", "working", {"s": 1000}), "e": case("e", "emergency", {"s": 5000})}
    assert judge_element(part("s", 9000, Factors(working=5)), runs).within is True


def test_a_failed_run_gives_no_force() -> None:
    runs = {
        "e": case("e", "emergency", {"s": 1000}),
        "f": case("f", "emergency", {"s": 1e9}, outcome=Outcome.FAILED),
    }
    assert judge_element(part("s", 9000), runs).emergency_N == 1000
