"""Flown paths of a scenario: where the lines come from, and whether they can hold the performer all along."""

from __future__ import annotations

import numpy as np
from scipy.optimize import nnls

from profiles import ImpossibleMove, Path
from sim.build.parts import Parts
from sim.build.performers import place_of
from sim.rig.flight import Flight
from sim.rig.point import Vector
from sim.scenario.model import FlyMove, Scenario

# Of the weight: what lines may leave unbalanced before a place on the path is said not to be held.
UNBALANCED = 0.02
PLACES_TRIED = 60


def flights(scenario: Scenario, parts: Parts) -> tuple[Flight, ...]:
    """Every flown path, in order of the file. What cannot be flown is added to the sentences of what is wrong."""
    found: list[Flight] = []
    for number, move in enumerate(scenario.moves, 1):
        if isinstance(move, FlyMove):
            name = f"move {number}, flying {move.fly}"
            try:
                found.append(_flight(scenario, move, found))
                parts.sentences += [f"{name}: {text}" for text in _not_held(found[-1])]
                parts.assume(_as_flown(name, move, found[-1]))
            except ImpossibleMove as wrong:
                parts.sentences.append(f"{name}: {wrong}")
    return tuple(found)


def _as_flown(name: str, move: FlyMove, flight: Flight) -> str:
    """How the path is flown, in a sentence."""
    path, speed = flight.path, flight.progress.top_speed_m_s
    if path.curvature_1_m < 1e-6:
        way = "straight"
    else:
        way = f"a smooth curve through its places, with a radius of {1.0 / path.curvature_1_m:.2f} m where tightest"
    slow = "" if speed > 0.999 * move.speed.m_s else f" instead of {move.speed.m_s:.2f} m/s"
    why = "; what it needs across it stays below the acceleration asked for" if path.curvature_1_m > 1e-6 else ""
    return (
        f"{name}: {path.length_m:.2f} m, {way}, at {speed:.2f} m/s at most{slow}{why}. Line lengths are those of "
        "straight lines that do not stretch."
    )


def _flight(scenario: Scenario, move: FlyMove, before: list[Flight]) -> Flight:
    performer = scenario.performers[move.fly]
    earlier = [f for f in before if f.performer == move.fly]
    start: Vector = earlier[-1].path.places[-1] if earlier else _vector(performer.at)
    moved = [m for m in scenario.moves if not isinstance(m, FlyMove) and set(m.drive_names) & set(move.drives)]
    if any(m.start.s <= move.start.s for m in moved):
        raise ImpossibleMove("its drives move before it; a path starts where the performer was at the start")
    path = Path((start, *(_vector(p) for p in move.through)))
    jerk = move.jerk.m_s3 if move.jerk is not None else None
    progress = path.progress(move.speed.m_s, move.acceleration.m_s2, jerk, move.start.s)
    leads = {drive: _leads_from(scenario, drive, move.fly) for drive in move.drives}
    for drive, place in leads.items():
        if place is None:
            raise ImpossibleMove(f"the line of {drive} comes to {move.fly} from something that moves")
    return Flight(move.fly, path, progress, {d: p for d, p in leads.items() if p is not None})


def _vector(position) -> Vector:
    return (position[0].m, position[1].m, position[2].m)


def _leads_from(scenario: Scenario, drive: str, performer: str) -> Vector | None:
    """The last place before the performer on a drive's line, less the offset of the harness point it ends on."""
    points = scenario.performers[performer].harness.points
    for line in scenario.lines.values():
        route = line.route if line.route[0] == drive else tuple(reversed(line.route))
        if route[0] != drive or (route[-1] != performer and route[-1] not in points):
            continue
        place = place_of(scenario, route[-2])
        if place is None:
            return None
        offset = _vector(points[route[-1]].offset) if route[-1] in points else (0.0, 0.0, 0.0)
        return (place[0] - offset[0], place[1] - offset[1], place[2] - offset[2])
    return None


def _not_held(flight: Flight) -> list[str]:
    """The first place of the path where no pull of its lines balances the weight, if there is one."""
    for along in np.linspace(0.0, flight.path.length_m, PLACES_TRIED):
        here = flight.path.position_m(float(along))
        ways = np.array([np.array(place) - here for place in flight.leads_from.values()])
        pulls = (ways / np.linalg.norm(ways, axis=1, keepdims=True)).T
        _, left = nnls(pulls, np.array([0.0, 0.0, 1.0]))
        if left > UNBALANCED:
            at = ", ".join(f"{c:.2f}" for c in here)
            return [f"at [{at}] m, {along:.2f} m along its path, its lines cannot hold it there"]
    return []
