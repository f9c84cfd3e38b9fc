"""What holds for every rig, tried on random ones."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import sim
from sim.dynamics.run import Raw, ready, run
from sim.rig.case import Case
from sim.rig.rig import Rig
from sim.studies.figures import static_forces

TRIED = settings(max_examples=20, derandomize=True, deadline=None)
END_S = 3.0


@dataclass(frozen=True)
class Wanted:
    """One random rig: a winch, two sheaves, a performer, a move and a stop."""

    mass_kg: float
    stiffness_kN: float
    harness_kN_m: float
    run_m: float
    drop_m: float
    speed: float
    loss_percent: float
    category: int
    stop_s: float
    brake_kN: float
    delay_ms: float = 80.0
    scale: float = 1.0
    turn: tuple[float, float] = (1.0, 0.0)

    def at(self, along: float, z: float) -> str:
        """A place in the rig's vertical plane, which stands in the direction `turn`."""
        return f"[{along * self.turn[0]:.9f} m, {along * self.turn[1]:.9f} m, {z:.9f} m]"

    def text(self) -> str:
        c = self.scale
        slow = "" if self.category == 0 else ", deceleration: 6 m/s^2"
        return f"""
title: a random rig
performers:
  weight:
    mass: {self.mass_kg * c:.9f} kg
    hook_mass: {1.0 * c:.9f} kg
    at: {self.at(self.run_m, 10.0)}
    harness: {{stiffness: {self.harness_kN_m * c:.9f} kN/m, damping_ratio: 0.15}}
lines:
  line:
    type: {{stiffness_EA: {self.stiffness_kN * c:.9f} kN, mass_per_length: {30 * c:.9f} g/m, damping_time: 1 ms}}
    route: [winch, lead, head, weight]
sheaves:
  lead: {{at: {self.at(0.0, 12.0)}, {self._sheave()}}}
  head: {{at: {self.at(self.run_m, 12.0)}, {self._sheave()}}}
drives:
  winch:
    kind: winch
    at: {self.at(0.0, 0.5)}
    moving_mass: {60 * c:.9f} kg
    brakes: [{{force: {self.brake_kN * c:.9f} kN, delay: {self.delay_ms:.6f} ms, rise: 60 ms}}]
moves:
  - {{drive: winch, start: 0.2 s, pay_out: {self.drop_m:.9f} m, speed: {self.speed:.9f} m/s, acceleration: 5 m/s^2,
     deceleration: 6 m/s^2}}
stops:
  - {{name: stop, category: {self.category}, when: {self.stop_s:.9f} s{slow}}}
limits: none
"""

    def _sheave(self) -> str:
        return (
            f"tread_diameter: 120 mm, mass: {0.9 * self.scale:.9f} kg, bearing: ball, "
            f"bending_loss: {self.loss_percent:.6f} %"
        )

    def changed(self, **keys) -> Wanted:
        return Wanted(**{**self.__dict__, **keys})

    def rig(self) -> Rig:
        return sim.build_rig(sim.read_text(self.text(), "random"))


def stop_of(rig: Rig) -> Case:
    """The rig's one stop."""
    assert rig.stops[0].time_s is not None
    return sim.stop_case(rig, rig.stops[0], rig.stops[0].time_s)


def ran(wanted: Wanted, tolerance: float = 1e-6) -> Raw:
    rig = wanted.rig()
    return run(ready(rig), stop_of(rig), tolerance, 500.0, END_S)


def forces(raw: Raw) -> np.ndarray:
    return np.array(
        [p for c, p in zip(raw.ready.columns, raw.peak, strict=True) if c.column.startswith(("force", "ten"))]
    )


RIGS = st.builds(
    Wanted,
    mass_kg=st.floats(40, 120),
    stiffness_kN=st.floats(60, 2000),
    harness_kN_m=st.floats(20, 80),
    run_m=st.floats(2, 15),
    drop_m=st.floats(0.5, 6),
    speed=st.floats(0.5, 6),
    loss_percent=st.floats(0, 4),
    category=st.sampled_from([0, 1, 2]),
    stop_s=st.floats(0.25, 2.0),
    brake_kN=st.floats(2.5, 6),
)


@TRIED
@given(RIGS)
def test_line_is_neither_made_nor_lost_and_energy_closes(wanted: Wanted):
    raw = ran(wanted)
    lay, m = raw.ready.start.layout, raw.ready.start.model
    wound = float(m.gates[lay.place_gate["winch"]]["wound_strain"])
    states = [int(m.elements[e]["state"]) for e in lay.elements_of("line")]
    paid_out = raw.samples[-1, next(i for i, c in enumerate(raw.ready.columns) if c.column == "paid_out_m:winch")]
    if raw.case.power_off:
        k = int(m.drives[0]["state"])
        live = raw.end_s >= raw.case.power_off["winch"].time_s
        paid_out = raw.state[k] if live else paid_out
    else:
        paid_out = raw.case.motions["winch"].position_m(raw.end_s)
    grown = raw.state[states].sum() - raw.ready.start.state[states].sum()
    assert grown == pytest.approx(paid_out / (1.0 + wound), abs=1e-9)
    assert raw.residual < 1e-5
    assert np.isfinite(raw.samples).all()
    tensions = [i for i, c in enumerate(raw.ready.columns) if c.column.startswith("tension_N")]
    assert raw.samples[:, tensions].min() >= 0.0


@TRIED
@given(RIGS, st.sampled_from([(-1.0, 0.0), (0.0, 1.0), (0.6, 0.8)]))
def test_a_rig_turned_or_mirrored_gives_the_same_forces(wanted: Wanted, turn: tuple[float, float]):
    """Peaks of the whole run agree to 1e-4; after slack, late history is sensitive to rounding."""
    here, there = ran(wanted), ran(wanted.changed(turn=turn))
    assert forces(there) == pytest.approx(forces(here), rel=1e-4)


@TRIED
@given(RIGS, st.floats(0.3, 4.0))
def test_all_masses_and_stiffnesses_times_c_give_forces_times_c(wanted: Wanted, c: float):
    """Newton's second law has no force of its own: same motion, all forces in proportion."""
    one, other = ran(wanted), ran(wanted.changed(scale=c))
    assert forces(other) == pytest.approx(c * forces(one), rel=1e-4)


@TRIED
@given(RIGS, st.floats(1.0, 1.5))
def test_more_mass_never_lowers_a_static_force_and_a_stop_without_loss_reaches_it(wanted: Wanted, more: float):
    light, heavy = ran(wanted), ran(wanted.changed(mass_kg=wanted.mass_kg * more))
    at_rest, loaded = static_forces(light), static_forces(heavy)
    assert all(loaded[name] >= at_rest[name] - 1e-6 for name in at_rest)
    after = light.samples[light.time_s >= wanted.stop_s]
    for o, column in enumerate(light.ready.columns):
        name = column.column.removeprefix("force_N:")
        if column.column.startswith("force_N:") and wanted.loss_percent < 1e-3:
            assert after[:, o].max() >= 0.99 * at_rest[name]


@TRIED
@given(RIGS, st.floats(1.05, 2.0), st.floats(0.1, 1.0))
def test_on_a_stiff_line_a_better_brake_never_stops_in_a_longer_way(wanted: Wanted, stronger: float, quicker: float):
    stiff = wanted.changed(category=0, stiffness_kN=20000.0, harness_kN_m=500.0, brake_kN=max(wanted.brake_kN, 3.0))
    better = stiff.changed(brake_kN=stiff.brake_kN * stronger, delay_ms=stiff.delay_ms * quicker)
    k = lambda raw: int(raw.ready.start.model.drives[0]["state"])  # noqa: E731
    first, second = ran(stiff), ran(better)
    start = stiff.rig().drive("winch").motion.position_m(stiff.stop_s)
    assert abs(second.state[k(second)] - start) <= abs(first.state[k(first)] - start) + 1e-3


@TRIED
@given(RIGS)
def test_a_brake_later_than_the_run_changes_nothing(wanted: Wanted):
    late = wanted.changed(category=0, delay_ms=60_000.0)
    weaker = late.changed(brake_kN=late.brake_kN * 0.5)
    assert np.array_equal(ran(late).samples, ran(weaker).samples)
