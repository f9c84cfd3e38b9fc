"""Emergency stops of mine hoists and lifts, as neighbouring fields limit them: plausibility, not a rule for performers.

New Brunswick Regulation 96-105, section 192: a drum hoist that carries persons, tripped at full speed, slows down by
more than 1.5 and less than 3.7 m/s2. California Code of Regulations, Title 8, section 3108 (elevators): a stop at the
acceleration of gravity takes V^2/19,320 inches, V in feet a minute, 12.94 inches from 500 feet a minute.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.outside.accuracy.rows import Agrees, closed_form, table
from tests.outside.rigs import G, at, line, move, of, performer, run_stop, scenario, winch

INCH_M, FOOT_M = 0.0254, 0.3048
ELEVATORS = table("California Code of Regulations, Title 8, section 3108")
MINE_HOISTS = table("New Brunswick Regulation 96-105, section 192")


@pytest.mark.parametrize("feet_per_minute", [100.0, 500.0])
def test_a_gravity_stop_takes_the_published_way(feet_per_minute: float, agrees: Agrees):
    speed = feet_per_minute * FOOT_M / 60.0
    text = scenario(
        performers={"car": performer(1000.0, at(0, 0, 10))},
        lines={"line": line(50e6, ["winch", "car"])},
        drives={"winch": winch(at(0, 0, 30))},
        moves=[move(8.0, speed, 1.0, 1.0, start_s=0.2)],
        stops=[{"name": "trip", "category": "2", "when": of(0.2 + speed + 0.5, "s"), "deceleration": of(G, "m/s^2")}],
        duration_s=speed + 2.0,
    )
    found = run_stop(text, "trip").case.drives["winch"]
    published_m = feet_per_minute**2 / 19_320.0 * INCH_M
    assert found.stopping_distance_m is not None
    case = f"gravity stop from {feet_per_minute:.0f} feet a minute: way"
    agrees(case, ELEVATORS, found.stopping_distance_m, published_m, 1e-3, "m")


@pytest.mark.parametrize(("force_kN", "low", "high"), [(32.0, 1.5, 2.2), (48.0, 3.2, 3.8)])
def test_a_mine_hoist_tripped_at_full_speed_slows_down_as_regulated(
    force_kN: float, low: float, high: float, agrees: Agrees
):
    """2 t of cage on 250 m of rope and a drum of 6 t at the rope: brake force less weight, over all that moves."""
    cage, drum, speed, depth = 2000.0, 6000.0, 10.0, 250.0
    text = scenario(
        performers={"cage": performer(cage, at(0, 0, -depth))},
        lines={"rope": line(60e6, ["drum", "cage"], damping_s=2e-2, mass_kg_m=1e-6)},
        drives={"drum": winch(at(0, 0, 0), drum, [{"force": of(force_kN, "kN"), "delay": "100 ms", "rise": "200 ms"}])},
        moves=[move(160.0, speed, 1.0, 1.0, start_s=0.2, drive="drum")],
        stops=[{"name": "trip", "category": "0", "when": "14.7 s"}],
        duration_s=24.0,
    )
    found = run_stop(text, "trip")
    expected = (force_kN * 1e3 - cage * G) / (cage + drum)
    speeds, times = found.trace.columns["line_speed_m_s:drum"], found.trace.time_s
    fully = (times > 15.2) & (speeds > 1.0)  # the brake is closed, the drum still turns
    slope = -np.polyfit(times[fully], speeds[fully], 1)[0]
    braked = f"mine hoist braked with {force_kN:.0f} kN"
    by_newton = closed_form("brake force less weight, over all that moves")
    agrees(f"{braked}: slows down with", by_newton, slope, expected, 0.02, "m/s2")
    assert low < slope < high
    agrees.within(f"{braked}: as regulated", MINE_HOISTS, slope, 1.5, 3.7, "m/s2")
    # a mass on a spring answers each step of its end's acceleration with at most twice the step: without power drum and
    # cage run away by c, then slow down by s, two steps of c and c + s
    runs_away = cage * G / (cage + drum)
    bounds = closed_form(
        "mass on a spring, steps of its end's acceleration: once to twice the steps, vibration textbooks"
    )
    most = 1.0 + 2.0 * (slope + runs_away) / G
    agrees.within(f"{braked}: peak over weight", bounds, found.case.performers["cage"].peak_g, 1.0 + slope / G, most)
