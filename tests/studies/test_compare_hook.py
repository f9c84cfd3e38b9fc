"""What a stop meets at the hook: closed forms, and stiffness against its own definition."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sim.build import build_rig
from sim.results.comparison import HookStop
from sim.results.drawn import Drawing
from sim.results.model import CaseResult, Outcome, PerformerResult, Result, Trace
from sim.rig.rig import Rig
from sim.scenario import changed, read_file
from sim.studies.compare_hook import even_stop_N, hook_stop, snatch_N

ROOT = Path(__file__).parents[2]
DROP = ROOT / "scenarios" / "lamplighters-drop.yaml"
STIFF = {
    "lines": {"drop line": {"type": {"stiffness_EA": "500 kN", "mass_per_length": "1 g/m", "damping_ratio": "3 %"}}}
}


def test_an_even_stop_against_published_closed_forms() -> None:
    """100 kg on 50 kN/m lowered at 2 m/s, its upper end stopped within t; half the period is 0.1405 s."""
    weight = 100 * 9.80665
    expected = {0.0: 5452.80, 0.05: 5223.49, 0.1: 4577.63, 0.2809926: 2404.19, 1.0: 1380.67}
    for slow_down_s, force_N in expected.items():
        assert weight + even_stop_N(100.0, 50e3, 2.0, slow_down_s) == pytest.approx(force_N, abs=0.01)


def test_an_even_stop_against_an_integration() -> None:
    m, k, v, t_stop = 84.0, 15.8e3, 4.6, 0.21
    omega, dt = math.sqrt(k / m), 1e-5
    x, u, largest = 0.0, 0.0, 0.0  # stretch beyond rest and its rate: the mass goes on while its upper end slows down
    for i in range(60_000):
        u += dt * ((v / t_stop if i * dt < t_stop else 0.0) - omega**2 * x)
        x += dt * u
        largest = max(largest, k * x)
    assert even_stop_N(m, k, v, t_stop) == pytest.approx(largest, rel=1e-3)


def test_a_catch_keeps_the_energy() -> None:
    weight, m, k, v = 764.9, 78.0, 4.2e3, 4.95
    added = snatch_N(weight, m, k, v)
    stretch = (weight + added) / k
    assert 0.5 * k * stretch**2 == pytest.approx(0.5 * m * v**2 + weight * stretch)
    assert snatch_N(weight, m, k, v, 3.0) > added


def hanging(rig: Rig, name: str, at_m: tuple[float, float, float], static_N: dict[str, float]) -> Result:
    """A made-up result: the performer goes down at 2 m/s, the winch slows down evenly within 0.2 s, g is 3 then."""
    t = np.arange(0.0, 2.0, 1e-3)
    speed = 2.0 * np.clip((1.2 - t) / 0.2, 0.0, 1.0)
    g = np.where(np.abs(t - 1.1) < 0.02, 3.0, 1.0)
    columns = {
        f"x_m:{name}": np.full_like(t, at_m[0]), f"y_m:{name}": np.full_like(t, at_m[1]),
        f"height_m:{name}": np.full_like(t, at_m[2]), f"body_height_m:{name}": 5.0 - np.cumsum(speed) * 1e-3,
        f"g:{name}": g, "line_speed_m_s:winch": speed,
    }  # fmt: skip
    seen = PerformerResult(3.0, 1.1, None, 1.0, 1.2, None, 2.0)
    case = CaseResult(
        "power loss", "emergency", Outcome.FINISHED, stop_time_s=0.9, performers={name: seen}, static_N=static_N
    )
    drawing = Drawing((), (), None)
    return Result("t", "", "", "", (), {case.name: case}, {}, None, {case.name: Trace(t, columns)}, {}, drawing, {})


def drop_stop(**line: str) -> HookStop:
    scenario = changed(read_file(DROP), {"lines": {"drop line": {**STIFF["lines"]["drop line"], **line}}}, "x")
    rig = build_rig(scenario)
    static = {f"drop line:{rig.line('drop line').span_name(k)}": 823.8 for k in range(3)}
    found = hook_stop(rig, hanging(rig, "lamplighter", (14.0, 0.0, 6.0), static), {"lamplighter": 45e3})
    assert found is not None
    return found


def test_the_stiffness_of_a_straight_drop_is_EA_over_length() -> None:
    found = drop_stop()
    length_m = 12.2 + 14.0 + 6.6
    assert found.run_length_m == pytest.approx(length_m)
    assert math.isclose(found.EA_N, 500e3)
    assert found.hook_N_per_m == pytest.approx(500e3 / length_m, rel=0.01)
    whole = 1 / (1 / found.hook_N_per_m + 1 / 45e3)
    assert found.instant_N == pytest.approx(found.speed_m_s * math.sqrt(whole * 84.0))
    assert found.law_N == pytest.approx(even_stop_N(84.0, whole, found.speed_m_s, found.slow_down_s))


def test_speed_slow_down_and_added_force_are_read_off_the_case() -> None:
    found = drop_stop()
    assert found.speed_m_s == pytest.approx(2.0, rel=0.01)
    assert found.slow_down_s == pytest.approx(0.2, abs=0.11)  # somewhere on the even part before it slows down
    assert found.added_N == pytest.approx(2.0 * 84.0 * 9.80665)
    assert not found.slack


def test_a_soft_mount_softens_the_hook() -> None:
    base = read_file(DROP)
    mounted = {
        **STIFF,
        "mounts": {
            "jib": {"at": ["14 m", "0 m", "12.6 m"], "stiffness": "40 kN/m", "mass": "50 kg", "damping_ratio": "5 %"}
        },
        "sheaves": {"head sheave": {"mount": "jib"}},
    }
    stiffnesses = []
    for changes in (STIFF, mounted):
        rig = build_rig(changed(base, changes, "x"))
        static = {f"drop line:{rig.line('drop line').span_name(k)}": 823.8 for k in range(3)}
        found = hook_stop(rig, hanging(rig, "lamplighter", (14.0, 0.0, 6.0), static), {"lamplighter": None})
        assert found is not None
        stiffnesses.append(found.hook_N_per_m)
    # Down: the jib gives by the line's force alone; along the level span it gives too, and pays out to the hook.
    assert 1 / stiffnesses[1] == pytest.approx(1 / stiffnesses[0] + 2 / 40e3, rel=0.02)


def test_a_moving_block_is_four_times_as_stiff_as_its_line() -> None:
    scenario = read_file(ROOT / "scenarios" / "chimney-sweeps-rise.yaml")
    rig = build_rig(scenario)
    static = {f"hoist line:{rig.line('hoist line').span_name(k)}": 402.0 for k in range(4)}
    found = hook_stop(rig, hanging(rig, "chimney sweep", (8.0, 0.0, 3.0), static), {"chimney sweep": 45e3})
    assert found is not None
    assert found.hook_N_per_m == pytest.approx(4 * found.EA_N / found.run_length_m, rel=0.02)


def test_slack_and_the_floor_are_told_apart() -> None:
    rig = build_rig(changed(read_file(DROP), STIFF, "x"))
    static = {f"drop line:{rig.line('drop line').span_name(k)}": 823.8 for k in range(3)}
    result = hanging(rig, "lamplighter", (14.0, 0.0, 6.0), static)
    trace = result.traces["power loss"]
    g = np.where((trace.time_s > 0.95) & (trace.time_s < 1.0), 0.0, trace.columns["g:lamplighter"])
    fallen = replace(result, traces={"power loss": Trace(trace.time_s, {**trace.columns, "g:lamplighter": g})})
    found = hook_stop(rig, fallen, {"lamplighter": None})
    assert found is not None
    assert found.slack
    floor = {**trace.columns, "floor_force_N:lamplighter": np.where(trace.time_s > 1.09, 5000.0, 0.0)}
    on_floor = replace(result, traces={"power loss": Trace(trace.time_s, floor)})
    assert hook_stop(rig, on_floor, {"lamplighter": None}) is None
