"""Findings and the verdict."""

import pytest

from sim.results.model import Audit, Factors, Finding, Outcome
from sim.strength.elements import judge_element
from sim.strength.limits import Limits, element_findings, performer_findings, unfinished, verdict
from tests.strength.made_cases import PASSED, case, part, seen

FAILED_AUDIT = Audit(1e-2, None, 1e-6, 1000, 100, 5, False, "energy residual 1e-2")


def finding(within: bool | None) -> Finding:
    return Finding("g_load", "lamplighter", "power loss", 4.0, 6.0, "", within)


def test_extremes_over_all_cases() -> None:
    runs = {
        "planned move": case("planned move", "working", {}, performers={"a": seen(2.3, 1.31)}),
        "power loss, worst g": case("power loss, worst g", "emergency", {}, performers={"a": seen(6.4, 0.9)}),
        "power loss, worst clearance": case(
            "power loss, worst clearance", "emergency", {}, performers={"a": seen(3, 0.2)}
        ),
    }
    low, high = performer_findings(Limits(clearance_m=0.3, g_load=6), ["a"], runs)
    assert (low.limit, low.found, low.within, low.case) == ("clearance", 0.2, False, "power loss, worst clearance")
    assert (high.limit, high.found, high.within, high.case) == ("g_load", 6.4, False, "power loss, worst g")


def test_a_limit_is_met_at_its_value() -> None:
    runs = {"w": case("w", "working", {}, performers={"a": seen(6.0, 0.3)})}
    assert [f.within for f in performer_findings(Limits(clearance_m=0.3, g_load=6), ["a"], runs)] == [True, True]


def test_filtered_g_goes_by_the_filter() -> None:
    # SAE J211-1 CFC 60: the limit is judged on the filtered peak when asked, and only then.
    runs = {"e": case("e", "emergency", {}, performers={"a": seen(6.4, 1.0, peak_g_cfc60=5.8)})}
    assert [f.within for f in performer_findings(Limits(g_load=6), ["a"], runs)] == [False]
    assert [f.within for f in performer_findings(Limits(g_load=6, g_filtered=True), ["a"], runs)] == [True]
    runs["w"] = case("w", "working", {}, performers={"a": seen(2.0, 1.0)})
    assert [f.within for f in performer_findings(Limits(g_load=6, g_filtered=True), ["a"], runs)] == [None]


def test_no_clearance_is_not_judged() -> None:
    runs = {"w": case("w", "working", {}, performers={"a": seen(2.0, None)})}
    (found,) = performer_findings(Limits(clearance_m=0.3), ["a"], runs)
    assert found.within is None
    assert found.remark == "no case gives a clearance"


def test_a_landing_needs_its_limit() -> None:
    runs = {"w": case("w", "working", {}, performers={"a": seen(2.0, 1.0, landing_speed_m_s=1.2)})}
    assert [f.within for f in performer_findings(Limits(), ["a"], runs)] == [None]
    assert [f.within for f in performer_findings(Limits(landing_speed_m_s=1.5), ["a"], runs)] == [True]
    assert [f.within for f in performer_findings(Limits(landing_speed_m_s=1.0), ["a"], runs)] == [False]


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ((True, True), ("within limits", 0)),
        ((True, None), ("not judged", 1)),
        ((False, None), ("outside limits", 1)),
        ((), ("not judged", 1)),
    ],
)
def test_verdict(answers: tuple[bool | None, ...], expected: tuple[str, int]) -> None:
    assert verdict([finding(answer) for answer in answers], {}, ()) == expected


def test_an_unjudged_element_spoils_the_verdict() -> None:
    runs = {"e": case("e", "emergency", {"s": 1000})}
    elements = {"s": judge_element(part("s", None), runs)}
    assert verdict([finding(True)], elements, ()) == ("not judged", 1)


def test_not_finished_comes_first() -> None:
    assert verdict([finding(False)], {}, ["power loss failed: step too small"]) == ("not finished", 3)


def test_what_is_unfinished() -> None:
    runs = {
        "good": case("good", "working", {}),
        "failed": case("failed", "working", {}, outcome=Outcome.FAILED),
        "doubtful": case("doubtful", "working", {}, audit=FAILED_AUDIT),
        "unaudited": case("unaudited", "working", {}, audit=None),
    }
    sentences = unfinished(runs, ["snag"])
    assert len(sentences) == 4
    assert any("energy residual" in sentence for sentence in sentences)
    assert unfinished({"good": runs["good"]}, ()) == ()
    assert PASSED.passed


def test_each_element_gives_one_finding_of_its_nearest_class() -> None:
    runs = {"w": case("w", "working", {"s": 1000}), "e": case("e", "emergency", {"s": 5000})}
    elements = {"s": judge_element(part("s", 20000, Factors(working=5, emergency=5)), runs)}
    (found,) = element_findings(elements)
    assert (found.limit, found.case, found.found, found.required, found.within) == (
        "design_factor emergency",
        "e",
        4.0,
        5,
        False,
    )
