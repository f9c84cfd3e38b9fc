"""Every demo, run as a user would, shows what it is there to show."""

from __future__ import annotations

import math

import numpy as np
import pytest

import sim
from sim.scenario.model import LoweringHand, PullTeam
from tests.demos.demos import DEMOS, G, changed, planned, read, result

OUTSIDE = {"lamplighters-drop-hard-brake"}


@pytest.mark.parametrize("name", DEMOS)
def test_ends_as_it_is_meant_to(name: str):
    found = result(name)
    assert found.exit_status == (1 if name in OUTSIDE else 0)
    assert found.verdict == ("outside limits" if name in OUTSIDE else "within limits")
    assert not found.not_simulated
    for case in found.cases.values():
        assert case.outcome == "finished"
        assert case.audit is not None
        assert case.audit.passed, (case.name, case.audit.remark)
        assert case.audit.energy_residual < 1e-5
        assert case.audit.peak_change is not None
        assert case.audit.peak_change < 1e-3
        assert case.audit.tolerance == 1e-6
    for table in found.sweeps.values():
        assert not any(table.causes)


@pytest.mark.parametrize("name", DEMOS)
def test_every_element_and_every_stop_is_there(name: str):
    scenario, found = read(name), result(name)
    for section, element, _ in scenario.elements():
        if section in ("lines", "sheaves", "hardware", "drives", "anchors", "counterweights"):
            if isinstance(scenario.drives.get(element), PullTeam):
                continue  # people let slip at their grip: nothing of theirs breaks
            element = f"{element} device" if isinstance(scenario.drives.get(element), LoweringHand) else element
            assert element in found.elements
            assert found.elements[element].working_N > 0.0
    for stop in scenario.stops:
        assert any(case == stop.name or case.startswith(f"{stop.name}, worst") for case in found.cases)


@pytest.mark.parametrize("name", DEMOS)
def test_traces_have_their_columns_and_no_holes(name: str):
    scenario, found = read(name), result(name)
    for trace in found.traces.values():
        for who, performer in scenario.performers.items():
            for column in ("x_m", "y_m", "height_m", "speed_m_s", "g"):
                assert f"{column}:{who}" in trace.columns
            assert trace.columns[f"height_m:{who}"][0] == pytest.approx(performer.at[2].m, abs=1e-3)
        for line, spec in scenario.lines.items():
            for a, b in zip(spec.route, spec.route[1:], strict=False):
                assert f"tension_N:{line}:{a} -> {b}" in trace.columns
        for element in (*scenario.sheaves, *scenario.anchors, *scenario.hardware, *scenario.drives):
            assert f"force_N:{element}" in trace.columns
        for drive in scenario.drives:
            assert {f"paid_out_m:{drive}", f"line_speed_m_s:{drive}"} <= set(trace.columns)
        assert all(np.isfinite(values).all() and len(values) == len(trace.time_s) for values in trace.columns.values())


def test_fall_is_slack_and_then_a_snatch():
    case, trace = planned("stonemasons-fall")
    tension = trace.columns["tension_N:catch line:beam anchor -> stonemason"]
    falling = (trace.time_s > 0.55) & (trace.time_s < 0.95)
    assert tension[falling].max() < 10.0
    assert 2.0 < case.peaks["catch line"].force_N / (78 * G) < 8.0


def test_swing_is_heaviest_at_the_bottom():
    """Rigid pendulum: T / mg = 3 - 2 cos of the angle it was let go at (any dynamics textbook); drag takes a little."""
    case, _ = planned("bell-ringers-swing")
    assert case.peaks["swing line"].force_N / (71 * G) == pytest.approx(3 - 2 * math.cos(math.radians(40)), rel=0.05)


def test_two_to_one_halves_the_line():
    case, _ = planned("chimney-sweeps-rise")
    assert case.static_N["hoist line"] == pytest.approx((82 + 1 + 0.7) * G / 2, rel=0.02)
    assert case.performers["chimney sweep"].lowest_height_m == pytest.approx(3.0, abs=0.02)


def test_counterweight_leaves_the_difference():
    case, _ = planned("moths-flight")
    assert case.static_N["winch"] == pytest.approx((62 + 1 - 48) * G, rel=0.03)


def test_traverse_crosses():
    _, trace = planned("ferrymans-crossing")
    x = trace.columns["x_m:ferryman"]
    assert x[0] == pytest.approx(-2.0, abs=1e-3)
    assert x[-1] > 1.5


def test_wire_and_fibre_differ_on_the_long_run():
    wire, fibre = planned("cathedral-run-wire")[0], planned("cathedral-run-fibre")[0]
    assert wire.peaks["nave line"].force_N > 1.03 * fibre.peaks["nave line"].force_N
    assert wire.static_N["winch"] < fibre.static_N["winch"]  # 19 m of hanging wire takes its weight off the winch


def test_a_harder_brake_hurts():
    soft, hard = result("lamplighters-drop"), result("lamplighters-drop-hard-brake")
    worst = "power loss, worst force"
    assert hard.cases[worst].performers["lamplighter"].peak_g > 6 > soft.cases[worst].performers["lamplighter"].peak_g


@pytest.mark.parametrize(
    ("change", "exit_status", "verdict"),
    [
        (("g_load: 8", "g_load: 8.0"), 0, "within limits"),
        (("g_load: 8", "g_load: 2"), 1, "outside limits"),
        (("clearance: 1 m", "clearance: 8 m"), 1, "outside limits"),
        (("static: 10, working: 2", "static: 10, working: 40"), 1, "outside limits"),
        ((", breaking_strength: 40 kN}", "}"), 1, "not judged"),
    ],
)
def test_the_verdict_of_the_fall_follows_its_limits(change: tuple[str, str], exit_status: int, verdict: str):
    """The same fall asked for other limits, and with an anchor whose strength nobody gave."""
    found = sim.run_scenario(changed("stonemasons-fall", change))
    assert (found.exit_status, found.verdict) == (exit_status, verdict)
    assert any(x.within is (None if verdict == "not judged" else False) for x in found.findings) == bool(exit_status)


def test_a_late_team_leaves_the_flight_lopsided_and_the_hand_stops_within_its_grip():
    late = result("chandlers-flight")
    sideways = [np.abs(late.traces[case].columns["x_m:chandler"]).max() for case in late.cases if "late" in case]
    together = np.abs(late.traces["planned move"].columns["x_m:chandler"]).max()
    assert together < 0.01
    assert min(sideways) > 0.3
    descent = result("beekeepers-descent")
    holds_N = 220.0 * math.exp(0.2 * 3 * math.pi)
    braked = [case for name, case in descent.cases.items() if name.startswith("hold, worst force")]
    # The line's own pull at the hand while it slides, and what the line in hand adds.
    assert braked[0].peaks["hand"].force_N == pytest.approx(holds_N, rel=0.08)
