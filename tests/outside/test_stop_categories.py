"""Stops by the categories of IEC 60204-1, 9.2.2, as a safety glossary and a commentary restate them.

Category 0: power is taken away at once and the drive stops uncontrolled; one glossary allows 200 ms. Category 1: a
controlled stop, then power is taken away. Category 2: a controlled stop, power stays on. An emergency stop is 0 or 1,
never 2.
"""

from __future__ import annotations

import pytest

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form, table
from tests.outside.rigs import at, of

COMMENTARY = table("IEC 60204-1, 9.2.2, as a glossary and a commentary restate it")
AT_S, SPEED, SLOWS = 2.0, 2.0, 4.0


def stopped(category: int) -> rigs.Run:
    """80 kg being lowered at full speed when the stop comes."""
    stop = {"name": "trip", "category": str(category), "when": of(AT_S, "s")}
    brake = {"force": "3 kN", "delay": "100 ms", "rise": "50 ms"}
    text = rigs.scenario(
        performers={"p": rigs.performer(80.0, at(0, 0, 20))},
        lines={"line": rigs.line(500e3, ["winch", "p"], damping_s=5e-3)},
        drives={"winch": rigs.winch(at(0, 0, 30), 100.0, [brake])},
        moves=[rigs.move(12.0, SPEED, 2.0, 2.0, start_s=0.2)],
        stops=[stop | ({"deceleration": of(SLOWS, "m/s^2")} if category else {})],
        duration_s=6.0,
    )
    return rigs.run_stop(text, "trip")


def off_s(found: rigs.Run) -> float | None:
    """When power goes, after the stop is called; None where it stays on."""
    times = [e.time_s - AT_S for e in found.case.events if "power off" in e.what]
    return times[0] if times else None


def test_category_0_takes_power_away_at_once(agrees: Agrees):
    found = stopped(0)
    late_s = off_s(found)
    assert late_s is not None
    agrees.within("category 0: power off after the call", COMMENTARY, late_s, 0.0, 0.2, "s")
    # Nothing slows the drum down until the brake touches: the load makes it faster.
    speeds, times = found.trace.columns["line_speed_m_s:winch"], found.trace.time_s
    assert speeds[(times > AT_S) & (times < AT_S + 0.1)].max() > SPEED
    assert found.case.kind == "emergency"


@pytest.mark.parametrize("category", [1, 2])
def test_categories_1_and_2_stop_under_control(agrees: Agrees, category: int):
    found = stopped(category)
    way_m, late_s = found.case.drives["winch"].stopping_distance_m, off_s(found)
    assert way_m is not None
    agrees(f"category {category}: way", closed_form("v^2/(2 a), kinematics"), way_m, SPEED**2 / (2 * SLOWS), 1e-6, "m")
    assert found.case.kind == ("emergency" if category == 1 else "working")
    if category == 2:
        assert late_s is None
    else:
        assert late_s is not None
        assert late_s >= SPEED / SLOWS  # only once it stands
