"""A stop while another is under way, and the start after a stop, against hand calculations."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

import sim
from sim.results.model import Result
from tests.studies.hoist import hoist_text

STOPS = "  - {name: power loss, category: 0, when: every instant}"


def text(stops: str, take_m: float = 3.0) -> str:
    """The hoist with these stops, on a line that hardly stretches."""
    stiff = hoist_text(take_m).replace("stiffness_EA: 400 kN", "stiffness_EA: 4000 kN")
    return stiff.replace("body_below: 1 m", "body_below: 1 m, harness: rigid").replace(STOPS, stops)


def result(stops: str, take_m: float = 3.0) -> Result:
    """All cases."""
    return sim.run_scenario(sim.read_text(text(stops, take_m), "stops in turn"))


SLOWED = "  - {name: slowed, category: 1, when: 0.9 s, deceleration: 2 m/s^2}\n"


def test_power_lost_while_slowing_down_goes_on_from_the_speed_it_has():
    found = result(SLOWED + "  - {name: power loss, category: 0, when: 1.2 s, during: slowed}").cases
    loss = found["power loss"]
    # at 1.2 s the drive has slowed from 2 to 1.4 m/s; its mass and the weight of 81 kg rise on until the brake of 3 kN
    before = next(e for e in loss.events if e.what == "power off")
    assert before.time_s == 1.2
    speeds = sim.simulate(*_rig_and_case("power loss", 1.2)).trace
    assert speeds.columns["line_speed_m_s:winch"][(speeds.time_s > 1.19) & (speeds.time_s < 1.2)][-1] == pytest.approx(
        -1.4, abs=0.01
    )
    wound = speeds.columns["paid_out_m:winch"]
    highest_m = float(np.interp(1.2, speeds.time_s, wound) - wound.min())  # later the weight falls back into the line
    assert highest_m == pytest.approx(_rises_m(), rel=0.01)
    assert any(e.what == "stop" for e in loss.events), "the first stop is in the list too"


def _rises_m() -> float:
    """How far a drum of 50 kg rises on that hoists 81 kg on a line of 4000 kN and loses power at 1.4 m/s.

    Until then both slow down by 2 m/s2. Two masses, a spring that only pulls, a brake that rises from 50 to 100 ms.
    """
    drum, weight, g, stiffness = 50.0, 81.0, 9.80665, 4000e3 / (3.0 - 1.41)

    def slope(t: float, y: np.ndarray) -> list[float]:
        pull = max(stiffness * (y[0] - y[2]), 0.0)
        brake = 3000.0 * min(max((t - 0.05) / 0.05, 0.0), 1.0)
        return [y[1], -(pull + brake) / drum, y[3], pull / weight - g]

    stands: Any = lambda t, y: y[1]  # noqa: E731  (the library wants its wish written on the function)
    stands.terminal = True
    start = [weight * (g - 2.0) / stiffness, 1.4, 0.0, 1.4]
    found = solve_ivp(slope, (0.0, 1.0), start, rtol=1e-9, atol=1e-12, max_step=1e-4, events=stands)
    return float(found.y[0, -1] - found.y[0, 0])


def _rig_and_case(name: str, time_s: float):
    rig = sim.build_rig(
        sim.read_text(text(SLOWED + "  - {name: power loss, category: 0, when: 1.2 s, during: slowed}"), "stops")
    )
    return rig, sim.stop_case(rig, next(s for s in rig.stops if s.name == name), time_s)


def test_a_stop_at_every_instant_of_another_begins_with_it():
    found = result(SLOWED + "  - {name: power loss, category: 0, when: every instant, during: slowed}")
    table = found.sweeps["power loss"]
    assert table.stop_time_s[0] == 0.9
    assert not any(table.causes)
    alone = result(SLOWED + "  - {name: power loss, category: 0, when: 1.1 s, during: slowed}").cases["power loss"]
    row = int(abs(table.stop_time_s - 1.1).argmin())
    assert table.columns["peak_g:weight"][row] == pytest.approx(alone.performers["weight"].peak_g, rel=1e-4)


def test_once_the_first_stop_has_switched_off_the_second_changes_nothing():
    late = result(SLOWED + "  - {name: power loss, category: 0, when: 5 s, during: slowed}").cases
    assert late["power loss"].drives["winch"].paid_out_m == pytest.approx(
        late["slowed"].drives["winch"].paid_out_m, abs=1e-9
    )


@pytest.mark.parametrize("category", [1, 2])
def test_started_again_it_ends_where_it_would_have(category: int):
    stops = f"  - {{name: halt, category: {category}, when: 0.9 s, deceleration: 4 m/s^2, restart_after: 0.5 s}}"
    found = result(stops).cases
    halt = found["halt"]
    assert halt.drives["winch"].paid_out_m == pytest.approx(found["planned move"].drives["winch"].paid_out_m, abs=1e-9)
    # slowed from 2 m/s at 4 m/s2: stands at 1.4 s; half a second later it goes on
    assert any(e.what == "stopped" and e.time_s == pytest.approx(1.4) for e in halt.events)
    assert any(e.what == "move starts" and e.time_s == pytest.approx(1.9) for e in halt.events)


@pytest.mark.parametrize(
    ("stops", "says"),
    [
        ("  - {name: a, category: 0, when: 1 s, during: b}", "the name of another stop"),
        (SLOWED + "  - {name: a, category: 0, when: 0.5 s, during: slowed}", "an instant after it"),
        ("  - {name: a, category: 0, when: 1 s, during: a}", "the name of another stop"),
        (
            "  - {name: e, category: 0, when: every instant}\n  - {name: a, category: 0, when: 1 s, during: e}",
            "with one instant",
        ),
        ("  - {name: a, category: 0, when: 1 s, restart_after: 1 s}", "only with category 1 or 2"),
    ],
)
def test_what_cannot_be_is_refused(stops: str, says: str):
    with pytest.raises(sim.ScenarioErrors, match=says):
        sim.read_text(text(stops), "stops in turn")
