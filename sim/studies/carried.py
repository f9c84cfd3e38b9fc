"""What of a rig is drawn, and what it moves with. Needs no compiled solver, so that a rig is drawn at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sim.results.drawn import Carried
from sim.results.model import Floats
from sim.rig.rig import Rig


def named_points(rig: Rig) -> Iterator[tuple[str, str]]:
    """Each point that is drawn, under the name its columns have: its own, or that of what alone sits on it."""
    drawn = {each.name for each in rig.drawn}
    sits = {s.point: s.name for s in rig.sheaves} | {point: name for name, point in rig.anchors.items()}
    for point in rig.points:
        if point.name in drawn:
            yield point.name, point.name
        elif point.name in sits:
            yield sits[point.name], point.name


def carried(rig: Rig) -> dict[str, Carried]:
    """What every drawn place that moves goes with, and how far from it: bodies do not rotate, so that never changes."""
    names = {point: name for name, point in named_points(rig) if rig.point(point).start != "fixed"}
    found = {name: Carried(name) for name in names.values()}
    on = {s.name: s.point for s in rig.sheaves} | dict(rig.anchors)
    found |= {name: Carried(names[point]) for name, point in on.items() if point in names and name not in found}
    for line in rig.lines:
        for place in line.route:
            if not line.strap and place.point in names and (place.name not in found or any(place.offset_m)):
                found[place.name] = Carried(names[place.point], place.offset_m)
    return found


def place_at_first(columns: Mapping[str, Floats], name: str) -> tuple[float, float, float] | None:
    """Where a point is at the start of a run; None where it does not move."""
    height = columns.get(f"height_m:{name}", columns.get(f"z_m:{name}"))
    x, y = columns.get(f"x_m:{name}"), columns.get(f"y_m:{name}")
    return None if x is None or y is None or height is None else (float(x[0]), float(y[0]), float(height[0]))
