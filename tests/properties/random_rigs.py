"""Random rigs as scenario texts: what a user could have written, so that reader and builder are tried with them.

Five kinds: a performer who hangs from one winch over one to four sheaves in space, the last of them now and then on a
yielding mount; one who is let go and falls onto slack line; two winches that share a performer; a block carried by the
performer; a counterweight with a winch line. Loads, lines, sheaves, bodies, moves and stops are random. Room is left
above the performer for what a stop may throw upwards.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import yaml
from hypothesis import strategies as st

Table = dict[str, Any]
Draw = Any
KINDS = ("drop", "fall", "bridle", "block", "counterweight")
STOPS = ("power off", "slowed and braked", "slowed and held")
PERFORMER = "flyer"
BODY_BELOW_M = 1.3


class _Dumper(yaml.SafeDumper):
    """The format knows no aliases."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def of(value: float, unit: str) -> str:
    """A quantity as text, to 12 digits."""
    return f"{value:.12g} {unit}"


def at(place: tuple[float, float, float]) -> list[str]:
    """A position as text."""
    return [of(v, "m") for v in place]


def between(draw: Draw, low: float, high: float) -> float:
    """A number from a range, even over it and to the digits a person would write."""
    return round(low + (high - low) * draw(st.integers(0, 1000)) / 1000, 3)


def _line_type(draw: Draw, elements: int) -> Table:
    stiffness_kN = between(draw, 60, 2000)
    # Several elements are there for the line's waves, which damping tuned to the slow bounce would kill at once.
    table: Table = {
        "mass_per_length": of(between(draw, 5 if elements == 1 else 40, 120), "g/m"),
        "damping_time": of(between(draw, 0.0, 3.0 if elements == 1 else 0.1), "ms"),
    }
    if draw(st.booleans()):
        return table | {"stiffness_EA": of(stiffness_kN, "kN")}
    points = ((0.1, 0.3), (0.3, 0.65), (1.0, 1.0))  # force and strain of the last: soft at first, as fibre line is
    stretch = {of(stiffness_kN * 0.03 * f, "kN"): of(3.0 * s, "%") for f, s in points}
    return table | {"stretch": stretch}


def line(draw: Draw, route: list[str], **more: str) -> Table:
    """A line along a route, now and then of several elements a span."""
    elements = draw(st.sampled_from([1, 1, 1, 2]))
    return {"type": _line_type(draw, elements), "route": route, "elements_per_span": f"{elements}", **more}


def _sheave(draw: Draw, place: tuple[float, float, float] | None) -> Table:
    where: Table = {"at": at(place)} if place is not None else {"carried_by": PERFORMER}
    if place is not None and draw(st.integers(0, 5)) == 0:
        return where | {"turns": "no", "line_friction": f"{between(draw, 0.02, 0.2)}"}
    return where | {
        "tread_diameter": of(between(draw, 80, 250), "mm"),
        "mass": of(between(draw, 0.3, 3.0), "kg"),
        "bearing": draw(st.sampled_from(["ball", "roller", "plain"])),
        "bending_loss": of(between(draw, 0.0, 3.0), "%"),
    }


def _mounted(draw: Draw, name: str, sheave: Table) -> tuple[Table, Table]:
    """The sheave on a mount that yields, and the mounts; now and then, else as it was and none."""
    if draw(st.integers(0, 2)):
        return sheave, {}
    mount = {
        "at": sheave.pop("at"),
        "stiffness": of(between(draw, 100, 2000), "kN/m"),
        "mass": of(between(draw, 10, 60), "kg"),
        "damping_ratio": f"{between(draw, 0.0, 0.1)}",
    }
    return sheave | {"mount": f"{name} jib"}, {f"{name} jib": mount}


def _performer(draw: Draw, place: tuple[float, float, float]) -> Table:
    rigid = draw(st.integers(0, 3)) == 0
    table: Table = {
        "mass": of(between(draw, 40, 120), "kg"),
        "hook_mass": of(between(draw, 0.5, 2.0), "kg"),
        "at": at(place),
        "harness": "rigid"
        if rigid
        else {
            "stiffness": of(between(draw, 20, 80), "kN/m"),
            "damping_ratio": f"{between(draw, 0.0, 0.3)}",
        },
    }
    if draw(st.booleans()):
        table["drag_area"] = of(between(draw, 0.2, 0.9), "m^2")
    if draw(st.integers(0, 2)) == 0:
        table["body"] = {
            "lagging_mass": of(between(draw, 10, 40), "%"),
            "frequency": of(between(draw, 4, 6), "Hz"),
            "damping_ratio": f"{between(draw, 0.1, 0.5)}",
        }
    return table


def _winch(draw: Draw, place: tuple[float, float, float]) -> Table:
    # Each brake alone bears half as much again as the heaviest performer, so no stop runs away.
    brake = {
        "force": of(between(draw, 1.8, 6), "kN"),
        "delay": of(between(draw, 20, 200), "ms"),
        "rise": of(between(draw, 10, 100), "ms"),
    }
    second = {**brake, "delay": of(between(draw, 20, 400), "ms")}
    return {
        "kind": "winch",
        "at": at(place),
        "moving_mass": of(between(draw, 20, 120), "kg"),
        "brakes": [brake, second] if draw(st.booleans()) else [brake],
    }


def _move(draw: Draw, drive: str, furthest_m: float, fastest_m_s: float) -> tuple[Table, float]:
    """A move out or in, and the room above the performer (m) that it and a stop during it may need."""
    out, way, speed = draw(st.booleans()), between(draw, 0.3, furthest_m), between(draw, 0.5, fastest_m_s)
    table = {
        "drive": drive,
        "start": of(between(draw, 0.05, 0.3), "s"),
        "pay_out" if out else "take_in": of(way, "m"),
        "speed": of(speed, "m/s"),
        "acceleration": of(between(draw, 1.5, 8), "m/s^2"),
        "deceleration": of(between(draw, 1.5, 8), "m/s^2"),
    }
    if draw(st.booleans()):
        table["jerk"] = of(between(draw, 15, 100), "m/s^3")
    # A drum without power runs on in until it is braked, and what it throws goes on up: v2 / 2g.
    thrown = 0.5 * speed + speed**2 / 15.0 + 0.5
    return table, thrown if out else way + thrown


def _stops(draw: Draw) -> list[Table]:
    when = between(draw, 0.1, 2.0)
    slow: Table = {"deceleration": of(between(draw, 3, 12), "m/s^2")}
    if draw(st.booleans()):
        slow["jerk"] = of(between(draw, 20, 150), "m/s^3")
    return [
        {"name": name, "category": str(k), "when": of(when, "s"), **(slow if k else {})} for k, name in enumerate(STOPS)
    ]


def _way(draw: Draw, count: int) -> list[tuple[float, float, float]]:
    """Places up in the roof, each 2 to 10 m from the one before, in any direction."""
    x, y = 0.0, 0.0
    places = []
    for _ in range(count):
        angle, step = between(draw, 0.0, 6.28), between(draw, 2.0, 10.0)
        x, y = x + step * math.cos(angle), y + step * math.sin(angle)
        places.append((round(x, 3), round(y, 3), between(draw, 11.0, 16.0)))
    return places


def _drop(draw: Draw, falls: bool = False) -> Table:
    """A winch, one to four sheaves, and the performer below the last of them; or let go, to fall onto slack line."""
    places = _way(draw, draw(st.integers(1, 4)))
    names = [f"sheave {k}" for k in range(len(places))]
    move, room = _move(draw, "winch", 5.0, 5.0)
    head = places[-1]
    hang = round(room + between(draw, 1.0, 4.0), 3)
    performer = _performer(draw, (head[0], head[1], round(head[2] - hang, 3)))
    more: dict[str, str] = {}
    if falls:
        aside, angle = between(draw, 0.0, 1.5), between(draw, 0.0, 6.28)
        place = (head[0] + aside * math.cos(angle), head[1] + aside * math.sin(angle), head[2] - hang)
        performer |= {"at": at(place), "start": "held", "release": of(between(draw, 0.05, 0.4), "s")}
        more = {"slack": of(between(draw, 0.0, 1.2), "m")}
    sheaves = {n: _sheave(draw, p) for n, p in zip(names, places, strict=True)}
    sheaves[names[-1]], mounts = _mounted(draw, names[-1], sheaves[names[-1]])
    return {
        "performers": {PERFORMER: performer},
        "lines": {"line": line(draw, ["winch", *names, PERFORMER], **more)},
        "sheaves": sheaves,
        "mounts": mounts,
        "drives": {"winch": _winch(draw, (0.0, 0.0, between(draw, 0.2, 3.0)))},
        "moves": [move],
    }


def _bridle(draw: Draw) -> Table:
    """Two winches, each with its sheave, and the performer in the upright plane of the two sheaves."""
    angle, width, share = between(draw, 0.0, 6.28), between(draw, 4.0, 14.0), between(draw, 0.25, 0.75)
    low = between(draw, 3.0, 7.0)
    cos, sin = math.cos(angle), math.sin(angle)
    west, east = (0.0, 0.0, between(draw, 12.0, 14.0)), (width * cos, width * sin, between(draw, 12.0, 14.0))
    place = (share * east[0], share * east[1], min(west[2], east[2]) - low)
    moves = [_move(draw, f"{side} winch", 1.2, 1.5)[0] for side in ("west", "east")]
    return {
        "performers": {PERFORMER: _performer(draw, place)},
        "lines": {
            f"{side} line": line(draw, [f"{side} winch", f"{side} sheave", PERFORMER]) for side in ("west", "east")
        },
        "sheaves": {"west sheave": _sheave(draw, west), "east sheave": _sheave(draw, east)},
        "drives": {
            "west winch": _winch(draw, (-2.0 * cos, -2.0 * sin, 1.0)),
            "east winch": _winch(draw, (east[0] - 3.0 * sin, east[1] + 3.0 * cos, 1.0)),
        },
        "moves": moves,
    }


def _block(draw: Draw) -> Table:
    """A two to one: the line goes down round a block that the performer carries, and up to an anchor."""
    angle, apart = between(draw, 0.0, 6.28), between(draw, 0.2, 2.0)
    move, room = _move(draw, "winch", 5.0, 5.0)
    top = between(draw, 12.0, 16.0)
    cos, sin = math.cos(angle), math.sin(angle)
    lead, head = (1.0, 0.5, between(draw, 11.0, 15.0)), (6.0, 2.0, top)
    dead_end = (head[0] + apart * cos, head[1] + apart * sin, top)
    hang = room + between(draw, 1.0, 3.0)
    place = (head[0] + 0.5 * apart * cos, head[1] + 0.5 * apart * sin, top - hang)
    return {
        "performers": {PERFORMER: _performer(draw, place)},
        "lines": {"line": line(draw, ["winch", "lead", "head", "block", "dead end"])},
        "sheaves": {"lead": _sheave(draw, lead), "head": _sheave(draw, head), "block": _sheave(draw, None)},
        "anchors": {"dead end": {"at": at(dead_end)}},
        "drives": {"winch": _winch(draw, (0.0, 0.0, 0.5))},
        "moves": [move],
    }


def _counterweight(draw: Draw) -> Table:
    """A guided counterweight that bears 30 to 80 % of the performer, a winch line the rest."""
    move, room = _move(draw, "winch", 3.0, 2.0)
    x, y, top = between(draw, 2.0, 8.0), between(draw, -3.0, 3.0), between(draw, 11.0, 15.0)
    performer = _performer(draw, (x, y, round(top - room - between(draw, 1.0, 3.0), 3)))
    weight_kg = float(performer["mass"].split()[0]) * between(draw, 0.3, 0.8)
    return {
        "performers": {PERFORMER: performer},
        "lines": {
            "balance line": line(draw, ["carriage", "over", "fly", PERFORMER]),
            "winch line": line(draw, ["winch", "head", PERFORMER]),
        },
        "counterweights": {
            "carriage": {"mass": of(weight_kg, "kg"), "at": at((0.0, 0.0, top - 6.0)), "guide": "vertical"}
        },
        "sheaves": {
            "over": _sheave(draw, (0.0, 0.0, top)),
            "fly": _sheave(draw, (x, y, top)),
            "head": _sheave(draw, (x, y, round(top + 0.3, 3))),
        },
        "drives": {"winch": _winch(draw, (x + 4.0, y, 0.5))},
        "moves": [move],
    }


_DRAWN = {
    "drop": _drop,
    "fall": lambda draw: _drop(draw, falls=True),
    "bridle": _bridle,
    "block": _block,
    "counterweight": _counterweight,
}


def _height(element: Table) -> float:
    return float(element["at"][2].split()[0])


def text_of(table: Mapping[str, Any]) -> str:
    """The scenario file of a table."""
    return yaml.dump(dict(table), Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=200)


@st.composite
def scenarios(draw: Draw, kinds: tuple[str, ...] = KINDS, floors: bool = True, **whole: Any) -> str:
    """The text of a random scenario, some with a floor within reach. whole: keys every one of them has."""
    table = _DRAWN[draw(st.sampled_from(kinds))](draw)
    if floors and draw(st.integers(0, 3)) == 0:
        lowest = [_height(table["performers"][PERFORMER]) - BODY_BELOW_M]
        lowest += [_height(weight) for weight in table.get("counterweights", {}).values()]
        table["performers"][PERFORMER]["body_below"] = of(BODY_BELOW_M, "m")
        table["floor"] = of(min(lowest) - between(draw, 0.2, 4.0), "m")
    return text_of({"title": "a random rig", **table, "stops": _stops(draw), "limits": "none", **whole})
