"""A drop over one sheave with two stops at their times: small enough to be run for several line types in a test."""

from __future__ import annotations

from sim.scenario import Scenario, read_text

DROP = """
title: a drop over one sheave
environment: {temperature: HOT, wet: WET}
floor: 0 m
performers:
  flyer:
    mass: 80 kg
    at: [4 m, 0 m, 8 m]
    body_below: 1.3 m
    harness: {stiffness: 45 kN/m, damping_ratio: 0.15, breaking_strength: 22 kN}
lines:
  lift line:
    type: TYPE
    diameter: SIZE
    route: [winch, head sheave, flyer]
    terminations: {winch: wraps on the drum, flyer: END}
    breaking_strength: {value: CERTIFIED, from: certificate}
sheaves:
  head sheave: {at: [4 m, 0 m, 10 m], tread_diameter: TREAD, mass: 0.9 kg, breaking_strength: 60 kN}
drives:
  winch:
    kind: winch
    at: [0 m, 0 m, 0.4 m]
    moving_mass: 60 kg
    brakes: [{force: 2.5 kN, delay: 80 ms, rise: 60 ms}]
    breaking_strength: 45 kN
moves:
  - {drive: winch, start: 0.2 s, pay_out: 3 m, speed: 4 m/s, acceleration: 5 m/s^2, deceleration: 5 m/s^2}
stops:
  - {name: power loss, category: 0, when: 0.9 s}
limits:
  clearance: 0.3 m
  g_load: 6
  design_factor: {static: 10, working: 5, emergency: 3}
"""


def drop_text(
    kind: str = "HMPE 12-strand",
    size: str = "6 mm",
    end: str = "long splice with thimble",
    certified: str = "33 kN",
    tread: str = "120 mm",
    hot: str = "20 degC",
    wet: str = "false",
) -> str:
    """The scenario with these words in it; no certificate where `certified` is empty."""
    text = DROP.replace("TYPE", kind).replace("SIZE", size).replace("END", end).replace("TREAD", tread)
    text = text.replace("HOT", hot).replace("WET", wet).replace("CERTIFIED", certified)
    return text if certified else text.replace("    breaking_strength: {value: , from: certificate}\n", "")


def drop(**words: str) -> Scenario:
    """It read."""
    return read_text(drop_text(**words), "drop")
