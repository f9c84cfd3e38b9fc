"""Moves, stops and failures: whom they mean, and in which order they come."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path, PurePosixPath, PureWindowsPath

from sim.scenario.checks.names import Complaint, Names, items, table, texts, word
from sim.scenario.kinds import Time
from sim.scenario.parts.stops import MOVES_GO_ON
from sim.scenario.refused import Refused, listed, nearest_word, quoted
from sim.scenario.tree import Table, Text, place_of

_PEOPLE = ("pull team", "lowering hand")
_WHOM: dict[str, tuple[str, ...]] = {
    "late brake": ("winch",),
    "weak brake": ("winch",),
    "no brake": ("winch",),
    "overspeed": ("winch", "pull team", "lowering hand"),
    "late team": ("pull team",),
    "short team": ("pull team",),
    "slipping hands": _PEOPLE,
    "let go": _PEOPLE,
}
"""Failure -> the kinds of drive it can happen to."""


def check_moves(root: Table, names: Names, path: Path | None) -> Iterator[Complaint]:
    """Drives exist and start one move after the other; flown performers hang on their drives; traces exist."""
    last: dict[str, tuple[Fraction | float, str]] = {}
    for move in items(root, "moves"):
        drive = word(move, "drive")
        movers = [*([drive] if drive is not None else []), *texts(move, "drives")]
        start = word(move, "start")
        begins = _seconds(start) if start is not None else 0.0
        for name in movers:
            yield from names.refuse(name, "drives", what="a drive")
            take_in = word(move, "take_in")
            if take_in is not None and _kind(root, name) == "lowering hand":
                found = f"take_in of {quoted(name)}, a lowering hand"
                yield take_in.place, Refused(found, "pay_out: below a friction device a hand only lets line out")
            if begins is None:
                continue
            if name in last and begins <= last[name][0]:
                found = f"{quoted(start or '0 s')}, not after the move of {name} that starts at {last[name][1]}"
                yield place_of(start, place_of(move)), Refused(found, "the moves of a drive in order of time")
            last[name] = (begins, str(start or "0 s"))
        yield from _flown(root, move, names)
        yield from _trace(move, path)


def _seconds(text: Text) -> float | None:
    try:
        return Time.read(text).s
    except Refused:
        return None


def _flown(root: Table, move: object, names: Names) -> Iterator[Complaint]:
    performer = word(move, "fly")
    if performer is None:
        return
    yield from names.refuse(performer, "performers", what="a performer")
    if names.section.get(performer) != "performers":
        return
    for name in texts(move, "drives"):
        if names.section.get(name) == "drives" and not _joins(root, name, performer, names):
            found = f"{quoted(name)}, from which no line ends on {performer}"
            yield name.place, Refused(found, "drives whose lines end on the flown performer")


def _joins(root: Table, drive: str, performer: str, names: Names) -> bool:
    for line in table(root, "lines").values():
        route = texts(line, "route")
        ends = {names.point_of.get(end, str(end)) for end in route[:1] + route[-1:]}
        if {drive, performer} <= ends:
            return True
    return False


def _trace(move: object, path: Path | None) -> Iterator[Complaint]:
    """A trace file is in the scenario's folder or below, and there."""
    name = word(table(move, "follow"), "file")
    if name is None:
        return
    pure = PurePosixPath(name)
    windows = PureWindowsPath(name)
    outside = pure.is_absolute() or windows.is_absolute() or windows.drive or ".." in pure.parts or "\\" in name
    if outside or not name.isprintable():
        yield name.place, Refused(quoted(name), "a path within the scenario's folder, such as traces/drop.csv")
        return
    if path is None:
        return
    try:
        folder = path.parent.resolve()
        file = (folder / name).resolve()
        there = file.is_file()
    except (OSError, RuntimeError) as wrong:  # a name too long, links in a circle
        why = getattr(wrong, "strerror", None) or "links in a circle"
        yield name.place, Refused(f"{quoted(name)}, which leads nowhere ({why})", "a CSV file")
        return
    if not file.is_relative_to(folder):
        yield name.place, Refused(f"{quoted(name)}, which leads out of the scenario's folder", "a file within it")
    elif not there:
        others = [p.name for p in file.parent.glob("*.csv")] if file.parent.is_dir() else []
        yield name.place, Refused(f"{quoted(name)}, and no such file", "a CSV file", nearest_word(file.name, others))


def check_stops_and_faults(root: Table, names: Names) -> Iterator[Complaint]:
    """Stops and failures name things that are there and that can do so."""
    for stop in items(root, "stops"):
        for name in texts(stop, "drives"):
            yield from names.refuse(name, "drives", what="a drive")
            kind = _kind(root, name)
            if word(stop, "hands") is not None and kind not in (None, *_PEOPLE):
                yield name.place, Refused(f"hands of {quoted(name)}, a {kind}", f"a drive of kind {listed(_PEOPLE)}")
            if word(stop, "category") is not None and kind in _PEOPLE:
                found = f"a category of {quoted(name)}, a {kind}"
                yield name.place, Refused(found, "hands: hold, lock off or let go, in a stop of its own")
        yield from _stops_nothing(root, stop)
        along = word(stop, "along")
        if along is not None and not any(word(move, "fly") is not None for move in items(root, "moves")):
            yield along.place, Refused(f"along: {along} where no move flies one", "a move that flies, or no along")
        yield from _under_way(root, stop)
    stop_names = [name for stop in items(root, "stops") if (name := word(stop, "name")) is not None]
    for failure in items(root, "faults"):
        yield from _failure(root, failure, names)
        then = word(failure, "then")
        if then is not None and then not in (MOVES_GO_ON, *stop_names):
            near = nearest_word(then, [MOVES_GO_ON, *stop_names])
            yield then.place, Refused(quoted(then), f"{MOVES_GO_ON}, or the name of a stop", near)


def _kind(root: Table, drive: str) -> Text | None:
    return word(table(root, "drives").get(drive), "kind")


def _under_way(root: Table, stop: object) -> Iterator[Complaint]:
    """The stop that is under way already is another one, at one instant, during none, and comes before."""
    during = word(stop, "during")
    if during is None:
        return
    others = {str(name): each for each in items(root, "stops") if (name := word(each, "name")) is not None}
    other = others.get(during)
    expected = "the name of another stop, with one instant and during no other"
    if other is None or str(word(stop, "name")) == during:
        yield during.place, Refused(quoted(during), expected, nearest_word(during, others))
        return
    when, own = word(other, "when"), word(stop, "when")
    begins = _seconds(when) if when is not None else None
    if begins is None or word(other, "during") is not None or word(other, "category") is None:
        yield during.place, Refused(f"{quoted(during)}, at {when or 'no instant'}", expected)
    elif own is not None and (comes := _seconds(own)) is not None and comes <= begins:
        yield own.place, Refused(f"{quoted(own)}, not after {during} at {when}", "an instant after it")


def _stops_nothing(root: Table, stop: object) -> Iterator[Complaint]:
    """A stop that names no drives is of all that can do it; somebody must."""
    kinds = [kind for name in table(root, "drives") if (kind := _kind(root, name)) is not None]
    for key, could, instead in (
        ("category", lambda kind: kind not in _PEOPLE, "hands: hold, lock off or let go, as people move every drive"),
        ("hands", lambda kind: kind in _PEOPLE, "category: 0, 1 or 2, as people move no drive"),
    ):
        written = word(stop, key)
        if written is not None and kinds and not texts(stop, "drives") and not any(could(kind) for kind in kinds):
            yield written.place, Refused(f"{key}: {written}", instead)


def _failure(root: Table, failure: object, names: Names) -> Iterator[Complaint]:
    for key, sections, what in (
        ("parted line", ("lines",), "a line"),
        ("lost point", ("sheaves", "anchors"), "a sheave or an anchor"),
        ("wrong trim", ("counterweights",), "a counterweight"),
    ):
        name = word(failure, key)
        if name is not None:
            yield from names.refuse(name, *sections, what=what)
    for key, kinds in _WHOM.items():
        name = word(failure, key)
        if name is None:
            continue
        yield from names.refuse(name, "drives", what=f"a drive of kind {listed(kinds)}")
        kind = word(table(root, "drives").get(name), "kind")
        if kind is not None and kind not in kinds:
            yield name.place, Refused(f"{quoted(name)}, a {kind}", f"a drive of kind {listed(kinds)}")
    snag = table(failure, "snag")
    line, sheave = word(snag, "line"), word(snag, "sheave")
    if line is not None:
        yield from names.refuse(line, "lines", what="a line")
    if sheave is not None:
        yield from names.refuse(sheave, "sheaves", what="a sheave")
        route = texts(table(root, "lines").get(line or ""), "route")
        if route and names.section.get(sheave) == "sheaves" and sheave not in route:
            yield sheave.place, Refused(f"{quoted(sheave)}, which {line} does not pass", "a sheave on its route")
