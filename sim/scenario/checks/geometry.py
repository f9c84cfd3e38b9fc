"""Geometry that cannot be: two places of a route in one spot, a performer below the floor; and what clearance needs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from sim.scenario.checks.names import Complaint, Names, table, texts, word
from sim.scenario.kinds import Coordinate, Length
from sim.scenario.quantity import Quantity
from sim.scenario.refused import Refused, quoted
from sim.scenario.tree import Items, Table, place_of

SAME_SPOT_M = 1e-6
BELOW_FLOOR_M = 1e-3
"""How far below the floor rounding may put a performer."""

Vector = tuple[float, float, float]


def check_geometry(root: Table, names: Names) -> Iterator[Complaint]:
    """What no rig can look like, as far as the written positions can be read."""
    places = _Places(root, names)
    for line in table(root, "lines").values():
        for before, after in pairwise(texts(line, "route")):
            a, b = places.of(before), places.of(after)
            if a and b and before != after and max(abs(x - y) for x, y in zip(a, b, strict=True)) < SAME_SPOT_M:
                found = f"{quoted(after)} where {quoted(before)} is"
                yield place_of(after), Refused(found, "places of a route that lie apart")
    yield from _floor(root)


def _floor(root: Table) -> Iterator[Complaint]:
    floor = _read(Coordinate, root.get("floor"))
    for performer in table(root, "performers").values():
        at, below = _vector(performer, "at"), _read(Length, table_value(performer, "body_below"))
        if floor is not None and at is not None and at[2] - (below.si if below else 0.0) < floor.si - BELOW_FLOOR_M:
            lowest = at[2] - (below.si if below else 0.0)
            found = f"a body that reaches down to {lowest:.6g} m, below the floor at {floor.text}"
            yield place_of(performer["at"]), Refused(found, "a performer above the floor")
    limits = table(root, "limits")
    clearance = word(limits, "clearance") or limits.get("clearance")
    if clearance is None:
        return
    key = next(key for key in limits if key == "clearance")
    if "floor" not in root and "water" not in table(root, "environment"):
        yield place_of(key), Refused("clearance without a floor", "floor: its height, such as 0 m")
    for name, performer in table(root, "performers").items():
        if isinstance(performer, Table) and "body_below" not in performer:
            found = "no body_below, though limits ask for clearance"
            yield place_of(name), Refused(found, "body_below: from suspension point to lowest part of the body")


def table_value(element: Any, key: str) -> Any:
    """What stands under a key, None where nothing does."""
    return element.get(key) if isinstance(element, Table) else None


def _read(kind: type[Quantity], written: Any) -> Quantity | None:
    """The quantity, None where it cannot be read (the models tell why)."""
    if written is None:
        return None
    try:
        return kind.read(written)
    except Refused:
        return None


def _vector(element: Any, key: str) -> Vector | None:
    written = table_value(element, key)
    if not isinstance(written, Items) or len(written) != 3:
        return None
    x, y, z = (_read(Coordinate, one) for one in written)
    return None if x is None or y is None or z is None else (x.si, y.si, z.si)


@dataclass(frozen=True)
class _Places:
    """Where named things stand at the start, as far as written."""

    root: Table
    names: Names

    def of(self, name: str, depth: int = 0) -> Vector | None:
        """Position of a named thing (m), None where it is not given or cannot be read."""
        section = self.names.section.get(name)
        if section is None or depth > 3:
            return None
        if section == "harness point":
            performer = self.names.point_of[name]
            harness = table(table(self.root, "performers")[performer], "harness")
            return _sum(self.of(performer), _vector(table(harness, "points")[name], "offset"))
        element = table(self.root, section)[name]
        carrier = word(element, "carried_by") or word(element, "mount")
        if carrier is None:
            return _vector(element, "at")
        offset = _vector(element, "offset") if "offset" in element else (0.0, 0.0, 0.0)
        return _sum(self.of(carrier, depth + 1), offset)


def _sum(a: Vector | None, b: Vector | None) -> Vector | None:
    return None if a is None or b is None else (a[0] + b[0], a[1] + b[1], a[2] + b[2])
