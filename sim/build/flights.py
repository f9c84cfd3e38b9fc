"""Flown paths of a scenario: where they start, where their lines come from, and whether these can lead there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from profiles import ImpossibleMove, Limits, Path, greatest, is_straight, progress_along
from sim.build.holding import HoldingLine, cannot_hold, remaining_freedom
from sim.build.motions import paid_out_before
from sim.build.parts import Parts
from sim.build.performers import place_of
from sim.rig.flight import Flight
from sim.rig.point import Vector
from sim.scenario.model import FlyMove, Scenario

# A line that is less than this too long for where the performer is, is taut.
TAUT_M = 1e-3


def flights(scenario: Scenario, parts: Parts) -> tuple[Flight, ...]:
    """Every flown path, in order of the file. What cannot be flown is added to the sentences of what is wrong."""
    found: list[Flight] = []
    for number, move in enumerate(scenario.moves):
        if isinstance(move, FlyMove):
            name = f"move {number + 1}, flying {move.fly}"
            try:
                found.append(_Flying(scenario, parts, number, move, tuple(found)).flight(name))
            except ImpossibleMove as wrong:
                parts.sentences += [f"{name}: {text}" for text in str(wrong).splitlines()]
    return tuple(found)


@dataclass(frozen=True)
class _Flying:
    """One flown move, with the flights before it."""

    scenario: Scenario
    parts: Parts
    number: int
    move: FlyMove
    before: tuple[Flight, ...]

    def flight(self, name: str) -> Flight:
        """Raises ImpossibleMove with all that is wrong, a line each."""
        lines = self._lines()
        flown = [x for x in lines if x.drive in self.move.drives]
        _raise_all(self._refused(lines))
        start = self._start(lines)
        path = Path((start, *((x.m, y.m, z.m) for x, y, z in self.move.through)))
        loose = [x.line for x in flown if x.length_m is not None and x.length_m > x.reach_m(np.array(start)) + TAUT_M]
        _raise_all([f"{line} is slack where the flight starts; take it in first" for line in loose])
        _raise_all(cannot_hold(path, flown, [x for x in lines if x not in flown]))
        move, jerk = self.move, self.move.jerk
        limits = Limits(move.speed.m_s, move.acceleration.m_s2, jerk.m_s3 if jerk is not None else None)
        progress = progress_along(path, limits, move.start.s)
        self.parts.assume(f"{name}: {_as_flown(path, limits, greatest(path, progress), flown)}")
        return Flight(self.number, move.fly, path, progress, {x.drive: x.leads_from for x in flown})

    def _lines(self) -> list[HoldingLine]:
        """Every line that ends on the performer. Raises ImpossibleMove for one that is flown over what moves."""
        performer = self.scenario.performers[self.move.fly]
        points = performer.harness.points
        ends = {self.move.fly, *points}
        at = _vector(performer.at)
        out = []
        for line, spec in self.scenario.lines.items():
            for route in (spec.route, spec.route[::-1]):
                if route[-1] not in ends or route[0] in ends:
                    continue
                flown = route[0] in self.move.drives
                places = {name: place_of(self.scenario, name) for name in route[:-1]}
                moving = [name for name, place in places.items() if place is None]
                if moving and flown:
                    raise ImpossibleMove(f"{line} runs over {moving[0]}, which is carried; a flown line may not")
                if moving:
                    continue
                offset = _vector(points[route[-1]].offset) if route[-1] in points else (0.0, 0.0, 0.0)
                head: Vector = tuple(np.subtract(places[route[-2]], offset).tolist())
                drive = route[0] if route[0] in self.scenario.drives else ""
                stands = drive or route[0] in self.scenario.anchors
                paid_out_m = paid_out_before(self.scenario, drive, self.number, self.before)
                length_m = float(np.linalg.norm(np.subtract(at, head))) + paid_out_m if stands else None
                out.append(HoldingLine(line, drive, route[-2], head, length_m))
        return out

    def _refused(self, lines: list[HoldingLine]) -> list[str]:
        """What this program cannot fly, or nobody can."""
        told = []
        for drive in self.move.drives:
            held = [x.line for x in lines if x.drive == drive]
            if len(held) > 1:
                told.append(f"{drive} holds {' and '.join(held)}, both of which end on it: it can follow one only")
        performer = self.scenario.performers[self.move.fly]
        if performer.release is not None and performer.release.s > self.move.start.s:
            told.append(f"it is held until {performer.release.s:g} s and cannot be flown before")
        for x in lines:
            spec = self.scenario.lines[x.line]
            if spec.slack is not None or spec.length is not None:
                told.append(
                    f"{x.line} has a slack or a length of its own; lines of a flown performer are cut to hold it"
                )
        return told

    def _start(self, lines: list[HoldingLine]) -> Vector:
        """Where the performer is before: at its start, where its last flight ended, or lowest on its lines."""
        at = _vector(self.scenario.performers[self.move.fly].at)
        drives = {x.drive for x in lines if x.drive}
        moved = [n for n, m in enumerate(self.scenario.moves[: self.number]) if drives & set(m.drive_names)]
        if not moved:
            return at
        last = next((f for f in self.before if f.move == moved[-1]), None)
        if last is not None and last.performer == self.move.fly:
            return last.path.places[-1]
        if any(x.length_m is None for x in lines):
            raise ImpossibleMove("moves before it lead it where only a run can tell; fly it there, too")
        return _lowest(lines, at)


def _lowest(lines: list[HoldingLine], guess: Vector) -> Vector:
    """The lowest place that these lines allow: where what hangs on them is at rest. Raises ImpossibleMove."""
    heads = np.array([x.leads_from for x in lines])
    reach = np.array([x.length_m for x in lines], dtype=float)

    def room(at: NDArray[np.float64]) -> NDArray[np.float64]:
        return reach - np.linalg.norm(at - heads, axis=1)

    def slopes(at: NDArray[np.float64]) -> NDArray[np.float64]:
        return -(at - heads) / np.linalg.norm(at - heads, axis=1)[:, None]

    up = np.array([0.0, 0.0, 1.0])
    allowed = {"type": "ineq", "fun": room, "jac": slopes}
    how = {"maxiter": 500, "ftol": 1e-12}
    found = minimize(lambda at: at[2], guess, jac=lambda at: up, method="SLSQP", constraints=[allowed], options=how)
    if not found.success or room(found.x).min() < -1e-6:
        raise ImpossibleMove("no place was found where its lines hold it after the moves before")
    return (float(found.x[0]), float(found.x[1]), float(found.x[2]))


def _raise_all(sentences: list[str]) -> None:
    if sentences:
        raise ImpossibleMove("\n".join(sentences))


def _as_flown(path: Path, limits: Limits, found: tuple[float, float, float], lines: list[HoldingLine]) -> str:
    """How the path is flown, in sentences."""
    speed, acceleration, _ = found
    freedom = remaining_freedom(path, lines)
    told = f" {freedom}" if freedom else ""
    lengths = "Line lengths are those of straight lines that do not stretch."
    if is_straight(path):
        return f"{path.length_m:.2f} m, straight, at {speed:.2f} m/s at most. {lengths}{told}"
    radius = f"a radius of {1.0 / path.curvature_1_m:.2f} m where tightest"
    slow = f" instead of {limits.speed_m_s:.2f} m/s" if speed < 0.999 * limits.speed_m_s else ""
    return (
        f"{path.length_m:.2f} m, a smooth curve through its places, with {radius}, at one even speed of {speed:.2f} m/s"
        f"{slow}; along and across the path together its acceleration reaches {acceleration:.2f} m/s². {lengths}{told}"
    )


def _vector(position) -> Vector:
    return (position[0].m, position[1].m, position[2].m)
