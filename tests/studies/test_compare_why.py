"""The words of a comparison: only what its own figures say."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.results.comparison import Figures, HookStop, Margin, Variant, Worst, worst_first, worst_status
from sim.results.shown import Units
from sim.studies.compare_hook import law_N
from sim.studies.compare_why import shares, words

PLAIN = HookStop(
    performer="lamplighter", case="power loss", line="drop line", mass_kg=84.0, weight_N=84 * 9.80665, EA_N=500e3,
    run_length_m=30.0, hook_N_per_m=500e3 / 30.0, harness_N_per_m=45e3, speed_m_s=5.0, slow_down_s=0.15, slack=False,
    catch_m_s=0.0, deceleration_m_s2=33.0, period_s=0.5, instant_N=5000.0, law_N=0.0, added_N=0.0,
)  # fmt: skip


def hook(**changes: object) -> HookStop:
    made = replace(PLAIN, **changes)  # type: ignore[arg-type]
    if "hook_N_per_m" not in changes:
        made = replace(made, hook_N_per_m=made.EA_N / made.run_length_m)
    force = law_N(made)
    return replace(made, law_N=force, added_N=force)


def variant(name: str, stop: HookStop | None, clearance_m: float = 1.0, **more: object) -> Variant:
    peak_g = 1.0 + (stop.added_N / stop.weight_N if stop else 1.0)
    figures = Figures(
        peak_g=Worst(peak_g, "lamplighter", "power loss"),
        peak_tension_N=Worst(830.0 * peak_g, "drop line", "power loss"),
        clearance_m=Worst(clearance_m, "lamplighter", "power loss"),
        paid_out_m=8.0 - clearance_m,
    )
    return Variant(name, {}, 0, "within limits", figures=figures, hook=stop, **more)  # type: ignore[arg-type]


def told(*variants: Variant, units: Units = Units.SI) -> str:
    return "\n".join(words(variants, units))


def test_the_one_cause_that_differs_is_the_one_that_is_named() -> None:
    soft = variant("soft", hook())
    for changes, cause in (
        ({"EA_N": 2000e3}, "mainly stiffness of the line"),
        ({"run_length_m": 10.0}, "mainly run length"),
        ({"slow_down_s": 0.02}, "mainly brake"),
        ({"speed_m_s": 8.0}, "mainly speed"),
        ({"harness_N_per_m": None}, "mainly harness"),
        ({"hook_N_per_m": 4 * 500e3 / 30.0}, "mainly how the lines bear the hook"),
        ({"slack": True, "catch_m_s": 5.0, "deceleration_m_s2": 33.0}, "mainly slack and its catch"),
    ):
        text = told(soft, variant("other", hook(**changes)))
        assert "Why other gives" in text, cause
        assert cause in text, text


@given(
    EA=st.floats(50e3, 5e6), length=st.floats(5, 80), speed=st.floats(0.5, 10), stop=st.floats(0, 2),
    mass=st.floats(40, 150), slack=st.booleans(),
)  # fmt: skip
def test_causes_together_make_the_whole_difference(
    EA: float, length: float, speed: float, stop: float, mass: float, slack: bool
) -> None:
    a = hook()
    b = hook(
        EA_N=EA, run_length_m=length, speed_m_s=speed, slow_down_s=stop, mass_kg=mass, weight_N=mass * 9.80665,
        slack=slack, catch_m_s=0.7 * speed * slack,
    )  # fmt: skip
    whole = math.log(b.law_N / b.weight_N / (a.law_N / a.weight_N))
    assert sum(shares(a, b).values()) == pytest.approx(whole, abs=1e-3)
    assert sum(shares(b, a).values()) == pytest.approx(-whole, abs=1e-3)


def test_no_cause_is_claimed_that_the_law_does_not_bear_out() -> None:
    soft, odd = hook(), replace(hook(EA_N=2000e3), added_N=4.0 * hook().added_N)
    text = told(variant("soft", soft), variant("odd", odd))
    assert "mainly" not in text
    assert "what that law leaves out" in text
    weaker = replace(hook(EA_N=2000e3), added_N=0.5 * soft.added_N)
    assert "mainly" not in told(variant("soft", soft), variant("weaker", weaker))


def test_a_case_that_the_law_misses_is_said_to_be_missed() -> None:
    a, b = (
        replace(hook(EA_N=EA), added_N=factor * hook(EA_N=EA).law_N) for EA, factor in ((500e3, 2.0), (2000e3, 2.0))
    )
    text = told(variant("a", a), variant("b", b))
    assert text.count("that law misses this case") == 2
    assert "mainly" not in text
    assert "so long that" not in text
    near = replace(hook(), added_N=1.03 * hook().added_N)
    assert "Why" not in told(variant("a", hook()), variant("b", near))


def test_hard_and_gentle_stops_are_told_apart() -> None:
    hard, gentle = hook(slow_down_s=0.05, period_s=0.5), hook(slow_down_s=1.0, period_s=0.5)
    text = told(variant("hard", hard), variant("gentle", gentle))
    assert "0.10 of the bounce's period: so short" in text
    assert "2.00 of the bounce's period: so long" in text
    assert law_N(hook(slow_down_s=1.0)) == pytest.approx(law_N(hook(slow_down_s=1.0, EA_N=1e6)))  # and it is true


def test_nothing_is_said_of_what_does_not_change() -> None:
    text = told(variant("a", hook()), variant("b", hook()))
    assert "Nothing changes by more than 1%" in text
    assert "Why b" not in text
    assert "Why a" not in text


def test_clearance_is_parted_into_line_paid_out_and_the_rest() -> None:
    text = told(variant("near", hook(), clearance_m=0.3), variant("far", hook(EA_N=1e6), clearance_m=0.8))
    assert "near leaves 0.50 m less than far; 0.50 m of that is line paid out" in text
    block = hook(hook_N_per_m=4 * 500e3 / 30)
    assert "Clearance:" not in told(variant("near", block, clearance_m=0.3), variant("far", block, clearance_m=0.8))


def test_lost_variants_are_counted_and_two_are_needed() -> None:
    lost = Variant("lost", {}, 2, "not run", cause="no such size")
    text = told(lost, variant("a", hook()))
    assert "1 of 2 variants have no result" in text
    assert "nothing to compare" in text


def test_us_units_turn_every_figure() -> None:
    text = told(variant("a", hook()), variant("b", hook(EA_N=2000e3)), units=Units.US)
    assert "lbf/ft" in text
    assert "kN" not in text


def test_worst_first_and_the_worst_status() -> None:
    def row(name: str, status: int, verdict: str, margin: float) -> Variant:
        figures = Figures(least_margin=Margin(margin, "drop line", "working", 5 * (1 + margin), 5.0))
        return Variant(name, {}, status, verdict, figures=figures)

    rows = (
        row("good", 0, "within limits", 1.4), row("open", 1, "not judged", 0.9), row("out", 1, "outside limits", 0.99),
        row("tight", 0, "within limits", 1.1), row("unfinished", 3, "not finished", 2.0),
        row("wrong", 2, "not run", 3.0),
    )  # fmt: skip
    assert [v.name for v in worst_first(rows)] == ["wrong", "unfinished", "out", "open", "tight", "good"]
    assert [worst_status(rows[:n]) for n in range(7)] == [0, 0, 1, 1, 1, 3, 2]
