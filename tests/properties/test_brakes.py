"""Late, weak and missing brakes, each against a reference that follows from what a brake is.

Dry friction on the drum: nothing before it touches, a force that grows over its rise, and heat: force times way.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

import sim
from sim.dynamics import modes as md
from sim.dynamics.run import Raw, run
from sim.dynamics.tables import P_BRAKE
from sim.rig.brake import Brake
from sim.rig.rig import Rig
from tests.properties.random_rigs import scenarios
from tests.properties.runs import SAMPLE_RATE_HZ, built, case_of, history, ready

TRIED = settings(max_examples=40, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
POWER_OFF = 0
AFTER_S = 1.5
G = 9.80665


def with_brakes(rig: Rig, *brakes: Brake) -> Rig:
    """The rig with these brakes on every winch."""
    return replace(rig, drives=tuple(replace(d, brakes=brakes) for d in rig.drives))


def braked(rig: Rig, rate_Hz: float = SAMPLE_RATE_HZ) -> Raw:
    """The rig's stop by power off, and a while after."""
    case = case_of(rig, POWER_OFF)
    return run(ready(rig), case, 1e-6, rate_Hz, float(case.stop_time_s or 0.0) + AFTER_S)


@TRIED
@given(scenarios())
def test_a_brake_later_than_the_run_is_no_brake(text: str):
    rig = built(text)
    late, none = braked(with_brakes(rig, Brake(3000.0, 60.0, 0.1))), braked(with_brakes(rig))
    assert np.array_equal(late.samples, none.samples)
    assert late.work_J[P_BRAKE] == none.work_J[P_BRAKE] == 0.0


@TRIED
@given(scenarios(), st.floats(0.2, 0.9), st.floats(0.02, 0.5))
def test_until_it_touches_no_brake_is_felt(text: str, weaker: float, delay_s: float):
    """Until then a weaker brake gives the same history to the last bit; after it another, where the drum turns."""
    rig = built(text)
    touches_s = float(case_of(rig, POWER_OFF).stop_time_s or 0.0) + delay_s
    strong = braked(with_brakes(rig, Brake(6000.0, delay_s, 0.05)))
    weak = braked(with_brakes(rig, Brake(6000.0 * weaker, delay_s, 0.05)))
    before = strong.time_s < touches_s
    assert np.array_equal(strong.samples[before], weak.samples[before])
    ways = [[history(raw, f"paid_out_m:{d.name}") for d in rig.drives] for raw in (strong, weak)]
    turned_m = max(abs(way[-1] - way[before][-1]) for way in ways[0])
    if turned_m > 1e-3:
        assert not np.array_equal(strong.samples, weak.samples)


@TRIED
@given(scenarios(), st.floats(200.0, 6000.0), st.floats(0.0, 0.3), st.floats(0.01, 0.2))
def test_a_brake_takes_its_force_times_the_way(text: str, force_N: float, delay_s: float, rise_s: float):
    """The work in the books is the integral of force times drum speed, by the trapezoidal rule over the traces."""
    rig = with_brakes(built(text), Brake(force_N, delay_s, rise_s))
    raw = braked(rig, 10_000.0)
    since = raw.time_s - float(raw.case.stop_time_s or 0.0) - delay_s
    force = force_N * np.clip(since / rise_s, 0.0, 1.0)
    work = sum(np.trapezoid(force * np.abs(history(raw, f"line_speed_m_s:{d.name}")), raw.time_s) for d in rig.drives)
    way = sum(np.abs(np.diff(history(raw, f"paid_out_m:{d.name}"))).sum() for d in rig.drives)
    assert abs(abs(raw.work_J[P_BRAKE]) - work) <= 2e-3 * work + 2e-4 * force_N * way + 1e-3


@dataclass(frozen=True)
class Falling:
    """A weight on stiff line over a frictionless sheave: nearly one rigid mass with the drum."""

    mass_kg: float
    drum_kg: float
    speed_m_s: float
    brakes: tuple[Brake, ...]

    def rig(self) -> Rig:
        text = f"""
title: a weight on stiff line
performers:
  weight: {{mass: {self.mass_kg - 0.1} kg, hook_mass: 0.1 kg, at: [4 m, 0 m, 90 m], harness: rigid}}
lines:
  line: {{type: {{stiffness_EA: 50 MN, mass_per_length: 0.01 g/m, damping_time: 0.5 ms}}, route: [winch, head, weight]}}
sheaves:
  head: {{at: [4 m, 0 m, 100 m], tread_diameter: 100 mm, mass: 4 kg, bearing: {{friction: 0, pin_diameter: 1 mm}},
         bending_loss: 0 %}}
drives:
  winch: {{kind: winch, at: [0 m, 0 m, 97 m], moving_mass: {self.drum_kg} kg,
          brakes: [{{force: 1 N, delay: 1 ms, rise: 1 ms}}]}}
moves:
  - {{drive: winch, start: 0 s, pay_out: 60 m, speed: {self.speed_m_s} m/s,
     acceleration: 6 m/s^2, deceleration: 6 m/s^2}}
stops:
  - {{name: power off, category: 0, when: 1 s}}
limits: none
"""
        return with_brakes(sim.build_rig(sim.read_text(text, "falling")), *self.brakes)

    def rigid_way_m(self, until_s: float) -> tuple[float, float]:
        """Way and speed of the rigid masses this long after power off, or to where they stand, by small steps exact
        for force that is linear in time: (M + m + i) dv/dt = M g - B(t)."""
        turning = self.mass_kg + self.drum_kg + 2.0  # the disc of the head sheave counts half
        t = np.linspace(0.0, until_s, 20_001)
        brake = np.zeros(len(t))
        for b in self.brakes:
            brake += np.interp(t, [b.delay_s, b.closed_s], [0.0, b.force_N])
        gain = (self.mass_kg * G - brake) / turning
        speed = self.speed_m_s + np.concatenate(([0.0], np.cumsum(0.5 * (gain[1:] + gain[:-1]) * np.diff(t))))
        stands = np.flatnonzero(speed <= 0.0)
        n = int(stands[0]) if len(stands) else len(t)
        return float(np.trapezoid(speed[:n], t[:n])), float(speed[-1]) if not len(stands) else 0.0


FALLING = st.builds(
    Falling,
    mass_kg=st.floats(40.0, 120.0),
    drum_kg=st.floats(20.0, 120.0),
    speed_m_s=st.floats(0.5, 5.0),
    brakes=st.lists(
        st.builds(Brake, st.floats(300.0, 3000.0), st.floats(0.02, 0.4), st.floats(0.01, 0.15)), min_size=1, max_size=2
    ).map(tuple),
)


@TRIED
@given(FALLING, st.floats(0.3, 1.0), st.floats(1.0, 2.0))
def test_late_and_weak_brakes_stop_in_the_way_of_rigid_masses(falling: Falling, weaker: float, later: float):
    """The line's 3 kN/mm and more give a way within 10 mm of the rigid masses'; so worse brakes never stop sooner.

    A brake weaker than the weight never stops it: way and speed are then those after the time of the run.
    """
    worse = tuple(Brake(weaker * b.force_N, later * b.delay_s, b.rise_s) for b in falling.brakes)
    ways = []
    for one in (falling, replace(falling, brakes=worse)):
        held_N = sum(b.force_N for b in one.brakes)
        assume(abs(held_N - one.mass_kg * G) > 100.0)  # nearly balanced, it creeps for longer than the run
        raw = braked(one.rig())
        way = history(raw, "paid_out_m:winch")
        found = float(way[-1] - np.interp(1.0, raw.time_s, way))
        expected, speed = one.rigid_way_m(AFTER_S)
        assert found == pytest.approx(expected, abs=0.01, rel=2e-3)
        assert history(raw, "line_speed_m_s:winch")[-1] == pytest.approx(speed, abs=0.05, rel=5e-3)
        stood = any(word == md.EV_STAND for word in raw.log[:, 1])
        assert stood == (speed == 0.0)
        ways.append(found)
    assert ways[1] >= ways[0] - 1e-3
