"""Geometry that cannot be: two places of a route in one spot, and lines too short or too long for where things start.

A sheave, a drive or an anchor below the floor is no such thing: machinery stands in pits and under stages.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from sim.scenario.checks.names import Complaint, Names, table, texts, word
from sim.scenario.checks.places import Places, read, under
from sim.scenario.kinds import Length, Share
from sim.scenario.refused import Refused, quoted
from sim.scenario.tree import Table, Text, place_of

SAME_SPOT_M = 1e-6
LONGEST_STRETCH = 0.10
"""More than any line of the catalogue stretches before something moves (common practice, no source)."""
LONGER_IS_SLACK = 0.01
"""A line this much longer than its way bears nothing."""


def check_geometry(root: Table, names: Names) -> Iterator[Complaint]:
    """What no rig can look like, as far as the written positions can be read."""
    places = Places(root, names)
    for line in table(root, "lines").values():
        route = texts(line, "route")
        for before, after in pairwise(route):
            a, b = places.of(before), places.of(after)
            if a and b and before != after and max(abs(x - y) for x, y in zip(a, b, strict=True)) < SAME_SPOT_M:
                found = f"{quoted(after)} where {quoted(before)} is"
                yield place_of(after), Refused(found, "places of a route that lie apart")
        yield from _too_short(line, route, places)
    yield from _nothing_taut(root, places)


def _too_short(line: object, route: list[Text], places: Places) -> Iterator[Complaint]:
    """A line that would have to stretch by more than it can before anything moves."""
    length, way_m, strain = read(Length, under(line, "length")), places.way_m(route), _most_strain(line)
    if length is None or way_m is None or strain is None:
        return
    least_m = way_m / (1.0 + strain)
    if 0.0 < length.high_si < least_m:
        found = f"{quoted(length.text)} for a way of {way_m:.4g} m"
        yield (
            place_of(under(line, "length"), place_of(line)),
            Refused(found, f"at least {least_m:.4g} m, or nearer places"),
        )


def _most_strain(line: object) -> float | None:
    """What a line may stretch at the start; one with a curve of its own twice as far as that goes; None: nobody knows.

    A line given by a stiffness alone may be elastic cord.
    """
    if word(line, "type") is not None:
        return LONGEST_STRETCH
    measured = [read(Share, strain) for strain in table(under(line, "type"), "stretch").values()]
    strains = [strain.si for strain in measured if strain is not None]
    return max(LONGEST_STRETCH, 2.0 * max(strains)) if strains else None


def _nothing_taut(root: Table, places: Places) -> Iterator[Complaint]:
    """A performer who hangs where no line is taut: all are said to be slack, or longer than the way there."""
    for name, performer in table(root, "performers").items():
        if isinstance(performer, Table) and word(performer, "start") in (None, "hanging"):
            bearing = [x for x in table(root, "lines").values() if name in map(places.carrier, texts(x, "route"))]
            if bearing and all(_is_slack(line, places) for line in bearing):
                found = "hanging, and every line to it slack or longer than its way"
                expected = "one line at least without slack or length, which is then cut to hold it"
                yield place_of(under(performer, "start"), place_of(name)), Refused(found, expected)


def _is_slack(line: object, places: Places) -> bool:
    if sum(under(line, key) is not None for key in ("slack", "length", "start_tension")) > 1:
        return False  # refused for that already
    slack, length = (read(Length, under(line, key)) for key in ("slack", "length"))
    if slack is not None and slack.si > 0.0:
        return True
    way_m = places.way_m(texts(line, "route"))
    return length is not None and way_m is not None and length.low_si > way_m * (1.0 + LONGER_IS_SLACK)
