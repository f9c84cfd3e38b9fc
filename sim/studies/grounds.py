"""Which moves lead too low as they are planned: read off geometry, before anything is simulated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from sim.results.checked import CheckedGround, CheckedMove
from sim.rig.rig import Rig
from sim.scenario.model import Scenario
from sim.scenario.water import surface_m

_ROUNDING_M = 1e-3
_PLACES = 400
"""Of a path: the lowest of so many lies within a millimetre of the lowest of all for any path that is flown."""


def too_low(scenario: Scenario, rig: Rig, moves: Sequence[CheckedMove]) -> tuple[CheckedGround, ...]:
    """Where performers come nearer to the floor or the water than asked, or onto it where nothing is asked.

    Who begins standing is left out, and the floor of a scenario that states a landing_speed: there it is meant.
    """
    seen: dict[tuple[str, float], CheckedGround] = {}
    for where in (*_after_moves(scenario, moves), *_along_paths(rig)):
        found = _judged(scenario, *where)
        if found is not None:
            seen.setdefault((found.performer, found.end_s), found)
    return tuple(seen.values())


def _after_moves(scenario: Scenario, moves: Sequence[CheckedMove]) -> Iterator[tuple[str, str, float, float]]:
    """(performer, drive, end of the move, height) after each move that somebody is not standing through."""
    for move in moves:
        for name, height_m in move.performer_end_height_m.items():
            if scenario.performers[name].start != "standing":
                yield name, move.drive, move.end_s, height_m


def _along_paths(rig: Rig) -> Iterator[tuple[str, str, float, float]]:
    for flight in rig.flights:
        places = flight.path.position_m(np.linspace(0.0, flight.path.length_m, _PLACES))
        yield flight.performer, "", flight.progress.end_s, float(places[:, 2].min())


def _judged(scenario: Scenario, name: str, drive: str, end_s: float, height_m: float) -> CheckedGround | None:
    below, limits = scenario.performers[name].body_below, scenario.limits
    floor_m = scenario.floor.m if scenario.floor is not None else -np.inf
    water_m = surface_m(scenario)
    level_m, ground = (water_m, "water") if water_m is not None and water_m > floor_m else (floor_m, "floor")
    if below is None or not np.isfinite(level_m) or (ground == "floor" and limits.landing_speed is not None):
        return None
    asked_m = limits.clearance.m if limits.clearance is not None else None
    clearance_m = height_m - below.m - level_m
    if clearance_m >= (asked_m - _ROUNDING_M if asked_m is not None else _ROUNDING_M):
        return None
    return CheckedGround(name, drive, end_s, ground, clearance_m, asked_m)
