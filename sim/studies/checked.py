"""What each move of a scenario really does, and where it leaves the performers: read off, not simulated."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from profiles import greatest
from sim.build.motions import drive_moves, motion_at
from sim.results.checked import CheckedFlight, CheckedMove
from sim.rig.line import Line
from sim.rig.rig import Rig
from sim.scenario.model import Scenario

_LIGHTEST_KG = 1e-3
"""A knot without mass of its own still hangs, rather than being anywhere its lines allow."""


def check_summary(scenario: Scenario, rig: Rig) -> tuple[CheckedMove, ...]:
    """The moves of every drive in order of their ends."""
    ended = [
        (motion.end_s, drive.name, motion)
        for drive in rig.drives
        for number, _ in drive_moves(scenario, drive.name)
        for motion in (motion_at(scenario, drive.name, number, rig.flights),)
        if motion is not None
    ]
    hanging = _Hanging(scenario, rig)
    checked = []
    for end_s, drive, motion in sorted(ended, key=lambda each: each[:2]):
        paid_out_m = {each.name: float(each.motion.position_m(end_s)) for each in rig.drives}
        checked.append(
            CheckedMove(
                drive=drive,
                start_s=motion.start_s,
                end_s=end_s,
                distance_m=motion.total_m,
                top_speed_m_s=motion.top_speed_m_s,
                top_acceleration_m_s2=motion.top_acceleration_m_s2,
                top_deceleration_m_s2=motion.top_deceleration_m_s2,
                performer_end_height_m=hanging.heights_m(paid_out_m, end_s),
            )
        )
    return tuple(checked)


def checked_flights(rig: Rig) -> tuple[CheckedFlight, ...]:
    """Every flown path as it is really flown, in order of the file."""
    return tuple(
        CheckedFlight(
            performer=f.performer,
            start_s=f.progress.start_s,
            end_s=f.progress.end_s,
            length_m=f.path.length_m,
            top_speed_m_s=f.progress.top_speed_m_s,
            top_acceleration_m_s2=f.progress.top_acceleration_m_s2,
            top_deceleration_m_s2=f.progress.top_deceleration_m_s2,
            acceleration_in_space_m_s2=greatest(f.path, f.progress)[1],
            end_m=f.path.places[-1],
        )
        for f in rig.flights
    )


class _Hanging:
    """The lowest state that lines of fixed length allow: what hangs there is at rest (Lagrange's principle of rest).

    A performer is one weight at its suspension point; mounts stand still; what is held stays held until its release.
    """

    def __init__(self, scenario: Scenario, rig: Rig) -> None:
        self.rig = rig
        mounted = {spring.point for spring in rig.springs}
        bodies = {p.body for p in rig.performers if p.body != p.suspension}
        self.free = [p for p in rig.points if p.start != "fixed" and p.name not in mounted | bodies]
        masses = {p.suspension: p.body_mass_kg for p in rig.performers}
        self.mass_kg = [masses.get(p.name, 0.0) + max(p.mass_kg, _LIGHTEST_KG) for p in self.free]
        self.lines = [x for x in rig.lines if not x.strap and {p.point for p in x.route} & {p.name for p in self.free}]
        self.floor_m = {p.name: _lowest_m(scenario, p.name, p.position_m[2]) for p in self.free}
        self.start = {p.name: np.array(p.position_m) for p in rig.points}

    def heights_m(self, paid_out_m: Mapping[str, float], time_s: float) -> dict[str, float]:
        """Height of each performer's suspension point; a performer is missing where none could be found."""
        free = [i for i, p in enumerate(self.free) if p.start != "held" or (p.release_s or np.inf) <= time_s]
        where = self._lowest(free, {x.name: self._length_m(x, paid_out_m) for x in self.lines})
        if where is None:
            return {}
        return {p.name: float(where[p.suspension][2]) for p in self.rig.performers}

    def _length_m(self, line: Line, paid_out_m: Mapping[str, float]) -> float:
        """Length outside the drives: as cut, or as the line runs at the start, and what was paid out since."""
        given = line.cut.length_m
        length = given if given is not None else self._path_m(line, self.start) + (line.cut.slack_m or 0.0)
        return length + sum(paid_out_m.get(place.name, 0.0) for place in line.route if place.kind == "drive")

    def _path_m(self, line: Line, at: Mapping[str, NDArray]) -> float:
        places = [at[place.point] + np.array(place.offset_m) for place in line.route]
        return sum(float(np.linalg.norm(b - a)) for a, b in pairwise(places))

    def _lowest(self, free: list[int], length_m: Mapping[str, float]) -> dict[str, NDArray] | None:
        axes = [np.eye(3) if (guide := self.free[i].guide) is None else np.array([guide]) for i in free]
        ends = np.cumsum([len(axis) for axis in axes])

        def placed(moved: NDArray) -> dict[str, NDArray]:
            steps = np.split(moved, ends[:-1])
            found = {self.free[i].name: step @ axis for i, step, axis in zip(free, steps, axes, strict=True)}
            return {name: at + found.get(name, 0.0) for name, at in self.start.items()}

        def potential(moved: NDArray) -> float:
            at = placed(moved)
            return sum(self.mass_kg[i] * float(at[self.free[i].name][2]) for i in free) / sum(self.mass_kg)

        def room(moved: NDArray) -> NDArray:
            at = placed(moved)
            lines = [length_m[line.name] - self._path_m(line, at) for line in self.lines]
            floors = [at[p.name][2] - low for p in self.free if np.isfinite(low := self.floor_m[p.name])]
            return np.array(lines + floors)

        if not free:
            return dict(self.start)
        allowed = {"type": "ineq", "fun": room}
        nearby = np.full(int(ends[-1]), 1e-6)  # off any symmetry
        how = {"maxiter": 500, "ftol": 1e-10}
        found = minimize(potential, nearby, method="SLSQP", constraints=[allowed], options=how)
        return placed(found.x) if found.success and room(found.x).min() > -1e-4 else None


def _lowest_m(scenario: Scenario, name: str, start_m: float) -> float:
    """The height of a performer's suspension point when standing on the floor; for anything else there is no floor."""
    performer = scenario.performers.get(name)
    if performer is None:
        return -np.inf
    if performer.start == "standing":
        return start_m
    if scenario.floor is None or performer.body_below is None:
        return -np.inf
    return scenario.floor.m + performer.body_below.m
