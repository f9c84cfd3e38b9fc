"""Random teams and hands: people never give more than their curve, never push, and the books close."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

import sim
from sim.dynamics import modes as md
from sim.dynamics.run import ready, run
from sim.rig.rig import Rig
from tests.dynamics.rigs import built, history

WEIGHT_N = 70 * 9.80665
ORDERS = st.sampled_from(["hold", "lock off", "let go"])


def rig(drive: str, way: str, speed: float, order: str, when: float, stiffness: float) -> Rig:
    return built(f"""
title: people at random
floor: 0 m
performers:
  weight: {{mass: 69 kg, hook_mass: 1 kg, at: [0 m, 0 m, 7 m], harness: rigid}}
lines:
  line: {{type: {{stiffness_EA: {stiffness} kN, mass_per_length: 40 g/m, damping_ratio: 4 %}},
         route: [people, head, weight]}}
sheaves:
  head: {{at: [0 m, 0 m, 14 m], tread_diameter: 120 mm, mass: 1 kg, bearing: ball}}
drives:
  people: {{at: [5 m, 0 m, 1 m], {drive}}}
moves:
  - {{drive: people, start: 0.2 s, {way}: 3.5 m, speed: {speed} m/s, acceleration: 3 m/s^2, deceleration: 3 m/s^2}}
stops: [{{name: called, hands: {order}, when: {when} s}}]
limits: none
""")


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    people=st.integers(3, 9),
    force=st.floats(330, 500),
    top=st.floats(1.5, 6.0),
    grip=st.floats(1.02, 4.0),
    way=st.sampled_from(["take_in", "pay_out"]),
    speed=st.floats(0.3, 3.0),
    order=ORDERS,
    when=st.floats(0.1, 3.0),
    stiffness=st.floats(20.0, 500.0),
)
def test_a_team(
    people: int,
    force: float,
    top: float,
    grip: float,
    way: str,
    speed: float,
    order: str,
    when: float,
    stiffness: float,
):
    drive = (
        f"kind: pull team, people: {people}, force_each: {force} N, top_speed: {top} m/s, team_loss: 15 %, "
        f"reaction: 0.4 s, grip_each: {grip * 1.05 * WEIGHT_N / people} N"
    )
    of = rig(drive, way, speed, order, when, stiffness)
    rest_N = people * force * 0.85
    raw = run(ready(of), sim.stop_case(of, of.stops[0], when), 1e-6, 2000.0, 5.0)
    assert raw.status in (0, 1)
    assert raw.residual < 1e-5
    off = sim.stop_case(of, of.stops[0], when).power_off.get("people")
    slips = raw.log[raw.log[:, 1] == md.EV_HANDS_SLIP]
    theirs = raw.time_s < min(off.time_s if off else math.inf, slips[0, 0] if len(slips) else math.inf) - 1e-9
    gives = -history(raw, "hands_force_N:people")[theirs]
    taking_in = -history(raw, "line_speed_m_s:people")[theirs]
    u = np.clip(taking_in / top, 0.0, 1.0)
    assert (gives >= -1e-9).all()
    assert (gives <= rest_N * (1 - u) / (1 + u / 20) + 1e-6).all()
    assert taking_in.max(initial=0.0) <= top * (1 + 1e-9)
    assert (history(raw, "force_N:people") >= 0.0).all()


@settings(max_examples=30, deadline=None, derandomize=True)
@given(
    grip=st.floats(1.05, 4.0),
    ratio=st.floats(1.0, 20.0),
    speed=st.floats(0.3, 3.0),
    order=ORDERS,
    when=st.floats(0.1, 3.0),
    stiffness=st.floats(20.0, 500.0),
)
def test_a_lowering_hand(grip: float, ratio: float, speed: float, order: str, when: float, stiffness: float):
    most_N = grip * 1.05 * WEIGHT_N
    drive = f"kind: lowering hand, device: {{holds_ratio: {ratio}}}, grip_each: {most_N / ratio} N, reaction: 0.4 s"
    of = rig(drive, "pay_out", speed, order, when, stiffness)
    raw = run(ready(of), sim.stop_case(of, of.stops[0], when), 1e-6, 2000.0, 5.0)
    assert raw.status in (0, 1)
    assert raw.residual < 1e-5
    assert np.abs(history(raw, "hands_force_N:people")).max() <= most_N * (1 + 1e-6)
    paid = history(raw, "paid_out_m:people")
    assert np.diff(paid).min() > -1e-9
    if order == "let go":
        assert raw.state[raw.ready.start.model.drives[0]["state"]] > 3.4
