"""Where named things stand at the start, as far as a file says so in a way that can be read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from sim.scenario.checks.names import Names, table, word
from sim.scenario.kinds import Coordinate
from sim.scenario.quantity import Quantity
from sim.scenario.refused import Refused
from sim.scenario.tree import Items, Table

Vector = tuple[float, float, float]


def read(kind: type[Quantity], written: Any) -> Quantity | None:
    """The quantity, None where there is none or it cannot be read (the models tell why)."""
    if written is None:
        return None
    try:
        return kind.read(written)
    except Refused:
        return None


def under(element: Any, key: str) -> Any:
    """What stands under a key, None where nothing does."""
    return element.get(key) if isinstance(element, Table) else None


def position(element: Any, key: str = "at") -> Vector | None:
    """The position under a key (m), None where there is none or it cannot be read."""
    written = under(element, key)
    if not isinstance(written, Items) or len(written) != 3:
        return None
    x, y, z = (read(Coordinate, one) for one in written)
    return None if x is None or y is None or z is None else (x.si, y.si, z.si)


@dataclass(frozen=True)
class Places:
    """Positions of named things; what is carried stands at its carrier's, further by its offset."""

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
            return _sum(self.of(performer), position(table(harness, "points")[name], "offset"))
        element = table(self.root, section)[name]
        carrier = word(element, "carried_by") or word(element, "mount")
        if carrier is None:
            return position(element)
        offset = position(element, "offset") if "offset" in element else (0.0, 0.0, 0.0)
        return _sum(self.of(carrier, depth + 1), offset)

    def carrier(self, name: str) -> str:
        """What a named thing moves with: a harness point's performer, a block's carrier, else the thing itself."""
        section = self.names.section.get(name)
        if section == "harness point":
            return self.names.point_of[name]
        return str(word(table(self.root, "sheaves").get(name), "carried_by") or name)

    def way_m(self, route: Sequence[str]) -> float | None:
        """Length of the straight spans of a route; None where a place is not known or, as a junction, only guessed."""
        if any(self.names.section.get(self.carrier(name)) == "junctions" for name in route):
            return None
        stops = [at for name in route if (at := self.of(name)) is not None]
        if len(stops) < len(route):
            return None
        return sum(math.dist(a, b) for a, b in pairwise(stops))


def _sum(a: Vector | None, b: Vector | None) -> Vector | None:
    return None if a is None or b is None else (a[0] + b[0], a[1] + b[1], a[2] + b[2])
