"""A rig whose line has 100 elements, lowered and slowed down for 5 s: the largest that the benchmarks run."""

WAVES = """
title: waves
performers:
  weight: {mass: 80 kg, at: [0 m, 0 m, 2 m], harness: {stiffness: 45 kN/m, damping_ratio: 0.15}}
lines:
  fall:
    type: {stiffness_EA: 400 kN, mass_per_length: 27 g/m, damping_time: 0.02 ms}
    route: [winch, weight]
    elements_per_span: 100
drives:
  winch: {kind: winch, at: [0 m, 0 m, 20 m], moving_mass: 60 kg}
moves:
  - {drive: winch, start: 0.5 s, pay_out: 2 m, speed: 3 m/s, acceleration: 4 m/s^2, slow_down_in: 0.8 m}
stops: none
limits: none
run: {duration: 5 s}
"""
