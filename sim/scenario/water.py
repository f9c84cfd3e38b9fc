"""What of a rig lies under the surface of the water at the start, by the heights the file gives."""

from __future__ import annotations

from sim.scenario.model import Scenario


def height_m(scenario: Scenario, name: str) -> float | None:
    """Height (m) of a place of a route at the start; None where it has none of its own."""
    for who, performer in scenario.performers.items():
        if name == who:
            return performer.at[2].m
        if name in performer.harness.points:
            return performer.at[2].m + performer.harness.points[name].offset[2].m
    if name in scenario.sheaves:
        sheave = scenario.sheaves[name]
        above = sheave.offset[2].m if sheave.offset is not None else 0.0
        carrier = sheave.mount or sheave.carried_by
        on = sheave.at[2].m if sheave.at is not None else height_m(scenario, str(carrier))
        return None if on is None else on + above
    if name in scenario.anchors and scenario.anchors[name].at is None:
        return height_m(scenario, str(scenario.anchors[name].mount))
    for section in (
        scenario.drives,
        scenario.anchors,
        scenario.junctions,
        scenario.counterweights,
        scenario.mounts,
    ):
        if name in section:
            at = section[name].at
            return at[2].m if at is not None else None
    return None


def surface_m(scenario: Scenario) -> float | None:
    """Height (m) of the water's surface; None where there is no water."""
    water = scenario.environment.water
    return water.level.m if water is not None else None


def places_under(scenario: Scenario, line: str) -> tuple[str, ...]:
    """The places on a line's route that lie under the surface at the start."""
    level = surface_m(scenario)
    if level is None:
        return ()
    heights = {place: height_m(scenario, place) for place in scenario.lines[line].route}
    return tuple(place for place, z in heights.items() if z is not None and z < level)


def is_wet(scenario: Scenario, line: str) -> bool:
    """Whether a line counts as wet through: all lines do, or it runs into the water."""
    return scenario.environment.wet or bool(places_under(scenario, line))
