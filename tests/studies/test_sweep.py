"""A stop at every instant: its grid, its table, and what is said where an instant has no result."""

from __future__ import annotations

import numpy as np
import pytest

import sim
from sim.studies.sweep import worst_instants

HOIST = """
title: a hoist
floor: 0 m
performers:
  weight: {mass: 80 kg, hook_mass: 1 kg, at: [0 m, 0 m, 2 m], body_below: 1 m}
lines:
  line:
    type: {stiffness_EA: 400 kN, mass_per_length: 20 g/m, damping_ratio: 5 %}
    route: [winch, weight]
drives:
  winch:
    {kind: winch, at: [0 m, 0 m, 5 m], moving_mass: 50 kg, brakes: [{force: 3 kN, delay: 50 ms, rise: 50 ms}]}
moves:
  - {drive: winch, start: 0.2 s, take_in: TAKE m, speed: 2 m/s, acceleration: 4 m/s^2, deceleration: 4 m/s^2}
stops:
  - {name: power loss, category: 0, when: every instant}
limits: {clearance: 0.1 m}
"""


def test_every_20_ms_from_the_first_move_until_all_is_still():
    rig = sim.build_rig(sim.read_text(HOIST.replace("TAKE", "1.5"), "hoist"))
    found = sim.sweep(rig, rig.stops[0])
    times = found.table.stop_time_s
    assert times[0] == pytest.approx(0.2)
    assert np.diff(times) == pytest.approx(0.02)
    assert times[-1] > rig.drives[0].motion.end_s
    assert not any(found.table.causes)
    for what, column in (("worst g", "peak_g:weight"), ("worst force", "force_N:line")):
        row = int(np.argmin(np.abs(times - found.worst[what])))
        assert found.table.columns[column][row] == found.table.columns[column].max()


def test_a_row_is_the_single_run():
    rig = sim.build_rig(sim.read_text(HOIST.replace("TAKE", "1.5"), "hoist"))
    found = sim.sweep(rig, rig.stops[0])
    row = len(found.table.stop_time_s) // 4
    case = sim.stop_case(rig, rig.stops[0], float(found.table.stop_time_s[row]))
    one = sim.simulate(rig, case).case
    assert found.table.columns["force_N:line"][row] == pytest.approx(one.peaks["line"].force_N, rel=1e-5)
    assert found.table.columns["peak_g:weight"][row] == pytest.approx(one.performers["weight"].peak_g, rel=1e-5)


def test_instants_without_a_result_are_told_and_end_in_status_3():
    """Two blocks meet in the planned move, unless the stop comes early enough: those rows keep their cause."""
    result = sim.run_scenario(sim.read_text(HOIST.replace("TAKE", "4"), "hoist"))
    causes = result.sweeps["power loss"].causes
    assert any(causes)
    assert not all(causes)
    assert result.exit_status == 3
    assert any("stop instants have no result" in sentence for sentence in result.not_simulated)


def test_worst_instants_of_a_table_of_failures_are_none():
    rig = sim.build_rig(sim.read_text(HOIST.replace("TAKE", "1.5"), "hoist"))
    table = sim.sweep(rig, rig.stops[0]).table
    nothing = type(table)(table.name, table.stop_time_s, table.columns, tuple("failed" for _ in table.causes))
    assert worst_instants(nothing, {}) == {}
