"""The floor: nobody starts below it or stands beside it; and what clearance needs."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scenario.checks.names import Complaint, table, word
from sim.scenario.checks.places import position, read, under
from sim.scenario.kinds import Coordinate, Length
from sim.scenario.parts.performers import BODY_BELOW_UNSAID_M
from sim.scenario.quantity import Quantity
from sim.scenario.refused import Refused
from sim.scenario.tree import Table, place_of

BELOW_M = 1e-3
"""How far below the floor rounding may put a performer."""
KNEES_M = 0.1
"""How far from what they stand on the feet may be by body_below: knees bend."""


def check_floor(root: Table) -> Iterator[Complaint]:
    """Performers and counterweights above the floor, feet where the performer stands, and the keys clearance needs."""
    floor = read(Coordinate, root.get("floor"))
    for name, performer in table(root, "performers").items():
        yield from _body(performer, floor)
        if isinstance(performer, Table) and word(performer, "start") == "standing":
            yield from _standing(name, performer, floor)
    for weight in table(root, "counterweights").values():
        at = position(weight)
        if floor is not None and at is not None and at[2] < floor.si - BELOW_M:
            found = f"a counterweight at {at[2]:.6g} m, below the floor at {floor.text}"
            yield place_of(weight["at"]), Refused(found, "a counterweight above the floor")
    yield from _clearance(root)


def _body(performer: object, floor: Quantity | None) -> Iterator[Complaint]:
    """The lowest part of the body, straight below the suspension point."""
    at, below = position(performer), read(Length, under(performer, "body_below"))
    if floor is None or at is None:
        return
    unsaid = under(performer, "body_below") is None
    reach_m = BODY_BELOW_UNSAID_M if unsaid else below.si if below is not None else 0.0
    if at[2] - reach_m < floor.si - BELOW_M:
        how = f" with the {reach_m:g} m that count where body_below is not given" if unsaid else ""
        found = f"a body that reaches down to {at[2] - reach_m:.6g} m{how}, below the floor at {floor.text}"
        yield place_of(under(performer, "at")), Refused(found, "a performer above the floor")


def _standing(name: str, performer: Table, floor: Quantity | None) -> Iterator[Complaint]:
    """Feet on the platform, or on the floor; a platform is not below the floor."""
    platform = table(performer, "platform")
    height = read(Coordinate, platform.get("height"))
    if "platform" not in performer and floor is None:
        yield (
            place_of(performer["start"], place_of(name)),
            Refused("standing on nothing", "floor: its height, or platform"),
        )
    if height is not None and floor is not None and height.si < floor.si - BELOW_M:
        found = f"a platform at {height.text}, below the floor at {floor.text}"
        yield place_of(platform["height"], place_of(name)), Refused(found, "a platform above the floor")
    under_feet = height if "platform" in performer else floor
    at, below = position(performer), read(Length, performer.get("body_below"))
    if under_feet is None or at is None or below is None:
        return
    feet_m = at[2] - below.si
    if not below.low_si - below.si - KNEES_M <= feet_m - under_feet.si <= below.high_si - below.si + KNEES_M:
        what = "platform" if "platform" in performer else "floor"
        found = f"feet at {feet_m:.6g} m, and the {what} at {under_feet.text}"
        yield (
            place_of(performer["at"]),
            Refused(found, f"a performer whose feet, body_below under at, are on the {what}"),
        )


def _clearance(root: Table) -> Iterator[Complaint]:
    """Clearance is judged against a floor or water, from the lowest part of a body that is known."""
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
