"""What refers to what: routes, ends, hardware, carriers and mounts."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scenario.checks.names import Complaint, Names, items, table, texts, word
from sim.scenario.refused import Refused, listed, nearest_word, quoted
from sim.scenario.tree import Table, Text, place_of

ENDS = ("performers", "harness point", "drives", "anchors", "junctions", "counterweights")
"""What a line may end at."""
CARRIERS = ("performers", "counterweights", "junctions")
HOLDABLE = ("lines", "sheaves", "anchors", "mounts", "drives", "junctions", "counterweights", "performers")

_END = "an end: a performer or its harness point, a drive, an anchor, a junction or a counterweight"


def check_lines(root: Table, names: Names) -> Iterator[Complaint]:
    """Routes go from an end over sheaves to an end; terminations are at ends."""
    for line in table(root, "lines").values():
        route = texts(line, "route")
        passed: set[str] = set()
        for place, name in enumerate(route):
            if place in (0, len(route) - 1):
                yield from names.refuse(name, *ENDS, what=_END)
            else:
                yield from names.refuse(
                    name, "sheaves", what="a sheave: only sheaves stand between the ends of a route"
                )
            if name in passed:
                yield name.place, Refused(f"{quoted(name)} a second time", "each place once in a route")
            passed.add(name)
        ends = route[:1] + route[-1:]
        for end in table(line, "terminations") if _whole(route, names) else ():
            if end not in ends:
                expected = f"an end of this line: {listed(ends)}"
                yield place_of(end), Refused(quoted(end), expected, nearest_word(end, ends))


def _whole(route: list[Text], names: Names) -> bool:
    """True where both ends of a route are known; otherwise what follows from them is not told as well."""
    return len(route) > 1 and all(names.section.get(end) in ENDS for end in (route[0], route[-1]))


def check_ends(root: Table, names: Names) -> Iterator[Complaint]:
    """Performers, counterweights and junctions hang on something; drives that move hold a line."""
    if not all(_whole(texts(line, "route"), names) for line in table(root, "lines").values()):
        return
    ending: dict[str, int] = {}
    for line in table(root, "lines").values():
        route = texts(line, "route")
        for end in {*route[:1], *route[-1:]}:
            ending[names.point_of.get(end, end)] = ending.get(names.point_of.get(end, end), 0) + 1
    for sheave in table(root, "sheaves").values():
        carrier = word(sheave, "carried_by")
        if carrier is not None:
            ending[carrier] = ending.get(carrier, 0) + 1
    for section, least in (("performers", 1), ("counterweights", 1), ("junctions", 2)):
        for name in table(root, section):
            if ending.get(name, 0) < least:
                found = f"{ending.get(name, 0) or 'no'} line" + " that ends here"
                yield place_of(name), Refused(found, "a line that does" if least == 1 else "at least two that meet")
    for move in items(root, "moves"):
        for name in _movers(move):
            if names.section.get(name) == "drives" and name not in ending:
                yield place_of(name), Refused(f"{quoted(name)}, which holds no line", "a drive that a route ends at")


def _movers(move: object) -> list[str]:
    drive = word(move, "drive")
    return [*([drive] if drive is not None else []), *texts(move, "drives")]


def check_places(root: Table, names: Names) -> Iterator[Complaint]:
    """Carriers and mounts exist."""
    for section in ("sheaves", "anchors"):
        for element in table(root, section).values():
            mount, carrier = word(element, "mount"), word(element, "carried_by")
            if mount is not None:
                yield from names.refuse(mount, "mounts", what="a mount")
            if carrier is not None:
                yield from names.refuse(carrier, *CARRIERS, what="a performer, a counterweight or a junction")


def check_hardware(root: Table, names: Names) -> Iterator[Complaint]:
    """What hardware holds exists, at an end of a line where it is one; one pin for one eye."""
    pins: dict[tuple[str, str], str] = {}
    for name, piece in table(root, "hardware").items():
        held, end = word(piece, "holds"), word(piece, "end")
        if held is None:
            continue
        yield from names.refuse(held, *HOLDABLE, what=f"what it holds, one of the {listed(HOLDABLE)}")
        if names.section.get(held) == "lines":
            route = texts(table(root, "lines").get(held), "route")
            ends = route[:1] + route[-1:]
            if end is None:
                yield held.place, Refused("a line without end", f"end: {listed(ends)} beside it")
            elif end not in ends and _whole(route, names):
                yield end.place, Refused(quoted(end), f"an end of {held}: {listed(ends)}", nearest_word(end, ends))
            elif "pin_diameter" in piece:
                first = pins.setdefault((str(held), str(end)), str(name))
                if first != name:
                    found = f"a second pin for the eye of {held} at {end}, beside that of {first}"
                    yield place_of(name), Refused(found, "one pin that the eye lies on")
        elif word(piece, "kind") == "rope grab" and held in names.section:
            yield held.place, Refused(f"a rope grab on {quoted(held)}", "a line, and the end it is nearest to")
        elif end is not None and held in names.section:
            yield end.place, Refused(f"end of {quoted(held)}", "end only where hardware holds a line")
