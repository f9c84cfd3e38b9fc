"""How often a line is bent in one planned move, where it is bent most.

A bend is a piece of line going from straight to bent and back (so counted for wire rope in the usual rules for cranes,
where running onto a drum is half a bend and coming off it the other half). It is counted when the piece comes onto a
sheave, a bar or a drum. What is bent is known from where everything is: of every place on the line's way, the piece of
line at it, as metres of line from one end. A place that moves along the line from a to b bends what lies between, each
piece once; the piece that most of these stretches have in common is bent most. Stretch and slack are left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sim.results.model import Trace
from sim.rig.line import Line, Place
from sim.rig.rig import Rig

Floats = NDArray[np.float64]

LEAST_TO_AND_FRO_M = 0.005
"""Where the line has no diameter: a to and fro smaller than this does not count. Assumed, no source."""

LEAST_PIECE_M = 0.001
"""A shorter piece is none: where stretches just touch."""


@dataclass(frozen=True)
class Bent:
    """A stretch of line, in metres from the line's first end at the start, that came onto a place once."""

    low_m: float
    high_m: float
    at: str


@dataclass(frozen=True)
class Counted:
    """Every stretch that was bent. unknown: places that cannot be followed, because nobody knows where they are."""

    bent: tuple[Bent, ...]
    unknown: tuple[str, ...]

    def worst(self) -> Mapping[str, int]:
        """Of the piece that is bent most: how often at each place, in the order of the line's way."""
        edges = sorted({edge for each in self.bent for edge in (each.low_m, each.high_m)})
        best: list[Bent] = []
        for low, high in pairwise(edges):
            if high - low < LEAST_PIECE_M:
                continue
            over = [each for each in self.bent if each.low_m <= low and each.high_m >= high]
            best = over if len(over) > len(best) else best
        names = dict.fromkeys(each.at for each in self.bent)
        found = {name: sum(each.at == name for each in best) for name in names}
        return {name: count for name, count in found.items() if count}

    def run_over_m(self, at: str) -> float:
        """Line (m) that came onto a place in the whole move, to and fro added."""
        return sum(each.high_m - each.low_m for each in self.bent if each.at == at)


def count_bends(rig: Rig, line: Line, planned: Trace, line_diameter_m: float) -> Counted:
    """The bends of one line in one move, from the rig and the history of the move."""
    where = [position_m(rig, planned, place) for place in line.route]
    ways = [_way(a, b) for a, b in pairwise(where)]
    least = line_diameter_m or LEAST_TO_AND_FRO_M
    bent: list[Bent] = []
    unknown = []
    for k, place in enumerate(line.route):
        onto = _onto(rig, place, k)
        if onto is None:
            continue
        track = _track(line, planned, ways, k) if len(planned.time_s) else None
        if track is None:
            unknown.append(place.name)
            continue
        arc = 0.0 if place.kind == "drive" else _half_arc_m(rig, place.name, where, k)
        for low, high in _stretches(track, least, arc, onto):
            bent.append(Bent(low, high, place.name))
    return Counted(tuple(bent), tuple(unknown))


def _onto(rig: Rig, place: Place, k: int) -> str | None:
    """Which movement of a place along the line bends it: 'both', or only 'up' or 'down' the line; None: no bend."""
    if place.kind == "sheave":
        return "both"
    if place.kind != "drive":
        return None
    hands = rig.drive(place.name).hands
    if hands is None:  # a drum bends what is taken in: the end of what lies on it moves into the line
        return "up" if k == 0 else "down"
    return "both" if hands.below_device else None


def position_m(rig: Rig, planned: Trace, place: Place) -> Floats | None:
    """Where a place is at every sample (n, 3), or at all times (3,); None where the history does not have it."""
    point, offset = rig.point(place.point), np.array(place.offset_m)
    if point.start == "fixed" or any(s.point == point.name and s.other is None for s in rig.springs):
        return np.array(point.position_m) + offset  # a mount gives by less than matters here
    who = next((p for p in rig.performers if p.suspension == point.name), None)
    if who is not None:
        columns = [planned.columns[f"{c}:{who.name}"] for c in ("x_m", "y_m", "height_m")]
        return np.stack(columns, axis=1) + offset
    if point.name in rig.counterweights and point.guide is not None:
        height = planned.columns[f"height_m:{point.name}"]
        x, y, _ = point.position_m
        return np.stack([np.full_like(height, x), np.full_like(height, y), height], axis=1) + offset
    return None


def _way(a: Floats | None, b: Floats | None) -> Floats | None:
    """Length (m) of the straight way between two places: (n,), or one number as an array, or None."""
    return None if a is None or b is None else np.linalg.norm(np.asarray(b) - np.asarray(a), axis=-1)


def _track(line: Line, planned: Trace, ways: list[Floats | None], k: int) -> Floats | None:
    """Which piece of line is at place k at every sample (n,), in metres from the first end at the start.

    From the end where a drive is, if the way from there is known, for then slack beyond the place does not matter; else
    from the nearer end.
    """
    n = len(planned.time_s)
    whole = _sum(ways)
    far = {0: k, -1: len(line.route) - 1 - k}
    for end in sorted(far, key=lambda end: (line.route[end].kind != "drive", far[end])):
        there = _sum(ways[:k] if end == 0 else ways[k:])
        if there is None or (end == -1 and whole is None):
            continue
        paid = planned.columns[f"paid_out_m:{line.route[end].name}"] if line.route[end].kind == "drive" else 0.0
        if end == 0:
            return np.broadcast_to(there - paid, (n,)).astype(float)
        assert whole is not None
        return np.broadcast_to(np.ravel(whole)[0] - there + paid, (n,)).astype(float)
    return None


def _sum(ways: list[Floats | None]) -> Floats | None:
    total = np.zeros(())
    for way in ways:
        if way is None:
            return None
        total = total + way
    return total


def _half_arc_m(rig: Rig, name: str, where: list[Floats | None], k: int) -> float:
    """Half the line (m) that lies on a sheave at the start: half the turn of the way there times the tread radius."""
    sheave, around = rig.sheave(name), where[k - 1 : k + 2]
    if sheave is None or any(each is None for each in around):
        return 0.0
    before, here, after = (np.atleast_2d(np.asarray(each))[0] for each in around)
    one, two = here - before, after - here
    cosine = float(one @ two / (np.linalg.norm(one) * np.linalg.norm(two)))
    return 0.25 * sheave.tread_diameter_m * math.acos(max(-1.0, min(1.0, cosine)))


def _stretches(track: Floats, least: float, arc: float, onto: str) -> Iterator[tuple[float, float]]:
    """The stretches of line that come onto a place which moves along the line so."""
    for start, end in _one_way(track, least):
        if end > start and onto in ("both", "up"):
            yield start + arc, end + arc
        elif end < start and onto in ("both", "down"):
            yield end - arc, start - arc


def _one_way(track: Floats, least: float) -> Iterator[tuple[float, float]]:
    """From turn to turn of a track (n,), leaving out every to and fro of less than `least`.

    >>> [*_one_way(np.array([0.0, 2.0, 1.999, 3.0, 1.0]), 0.01)]
    [(0.0, 3.0), (3.0, 1.0)]
    """
    start = low = high = float(track[0])
    up: bool | None = None
    for now in track.tolist():
        low, high = min(low, now), max(high, now)
        if up is None:
            if high - low >= least:
                up = now >= high
                start = low if up else high
        elif up and high - now >= least:
            yield start, high
            start, up, low = high, False, now
        elif not up and now - low >= least:
            yield start, low
            start, up, high = low, True, now
    if up is not None:
        yield start, (high if up else low)
