"""A small rig in the scenario's own words, and a way to change keys of it."""

from __future__ import annotations

from typing import Any

import yaml

from sim.scenario.model import Scenario

TEXT = """
title: A drop over two sheaves
floor: 0 m
performers:
  lamplighter:
    mass: 84 kg
    at: [14 m, 0 m, 11 m]
    body_below: 1.3 m
    harness: {stiffness: 45 kN/m, damping_ratio: 0.15, breaking_strength: 22 kN}
lines:
  drop line:
    type: aramid copolymer 12-strand
    diameter: 6 mm
    breaking_strength: {value: 29 kN, from: certificate}
    route: [winch, lead sheave, head sheave, lamplighter]
    terminations: {winch: wraps on the drum, lamplighter: long splice with thimble}
sheaves:
  lead sheave: {at: [0 m, 0 m, 12.6 m], tread_diameter: 120 mm, breaking_strength: 60 kN}
  head sheave: {at: [14 m, 0 m, 12.6 m], tread_diameter: 120 mm, breaking_strength: 60 kN}
hardware:
  hook shackle: {holds: drop line, end: lamplighter, working_load_limit: 10 kN, marked_factor: 5}
  lead sling: {holds: lead sheave, breaking_strength: 40 kN}
  head sling: {holds: head sheave, legs: 2, angle_between_legs: 60 deg, leg_breaking_strength: 40 kN}
drives:
  winch:
    kind: winch
    at: [0 m, 0 m, 0.4 m]
    moving_mass: 60 kg
    brakes: [{force: 2.8 kN, delay: 80 ms, rise: 60 ms}]
    breaking_strength: 45 kN
stops: none
limits: {clearance: 0.3 m, g_load: 6, design_factor: {static: 10, working: 5, emergency: 3}}
"""

SPANS = ("winch -> lead sheave", "lead sheave -> head sheave", "head sheave -> lamplighter")


def written() -> dict[str, Any]:
    return yaml.load(TEXT, Loader=yaml.BaseLoader)


def scenario(*changes: tuple[str, Any]) -> Scenario:
    """The rig with keys changed: ("lines/drop line/diameter", "5 mm"); None takes the key away."""
    table = written()
    for where, value in changes:
        *path, key = where.split("/")
        target = table
        for part in path:
            target = target.setdefault(part, {})
        target[key] = value
        if value is None:
            del target[key]
    return Scenario.model_validate(table)


def forces(span_N: float, resultant_N: float, last_N: float | None = None) -> dict[str, float]:
    """One force for every element of the rig, span by span."""
    last = span_N if last_N is None else last_N
    return {
        "drop line": max(span_N, last),
        f"drop line:{SPANS[0]}": span_N,
        f"drop line:{SPANS[1]}": span_N,
        f"drop line:{SPANS[2]}": last,
        "lead sheave": resultant_N,
        "head sheave": resultant_N,
        "hook shackle": last,
        "lead sling": resultant_N,
        "head sling": resultant_N,
        "winch": span_N,
        "lamplighter harness": last,
    }
