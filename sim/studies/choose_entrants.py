"""Which line types are tried in a scenario, in which size, with which ends, and which are out without a run.

Each type is taken in the thickest size that the diameter bound and the smallest tread allow.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sim.scenario import Scenario
from sim.scenario.model import Line
from sim.strength.catalogue import find
from sim.strength.fitness import Unfit, ends_not_made, size_for, smallest_tread, too_hot, too_sharp
from sim.strength.line_type import LineType
from sim.strength.own import line_data
from sim.strength.sizes import Size, size_named
from sim.strength.splices import SpliceTooShort
from sim.strength.terminations import HELD, UnknownTermination, termination
from sim.studies.compare import AS_WRITTEN, Asked


@dataclass(frozen=True)
class Entrant:
    """One type to be tried. asked: what to run, None where it is out without; unfit: why."""

    name: str
    type: str
    size: Size | None
    asked: Asked | None
    unfit: tuple[Unfit, ...] = ()
    remarks: tuple[str, ...] = ()


def groups(scenario: Scenario, names: Sequence[str] = ()) -> list[tuple[str, ...]]:
    """The lines to choose for (all where none is named): those of one type and diameter are changed together."""
    found: list[list[str]] = []
    for name in names or scenario.lines:
        line = scenario.lines[name]
        alike = next((group for group in found if _alike(scenario.lines[group[0]], line)), None)
        if alike is None:
            found.append([name])
        else:
            alike.append(name)
    return [tuple(group) for group in found]


def _alike(one: Line, other: Line) -> bool:
    same = one.type == other.type
    return same and (one.diameter.m if one.diameter else None) == (other.diameter.m if other.diameter else None)


def own_size(scenario: Scenario, lines: Sequence[str]) -> Size | None:
    """The diameter the lines are written with, None where they have none."""
    diameter = scenario.lines[lines[0]].diameter
    return Size(diameter.m, diameter.text) if diameter else None


def entrants(scenario: Scenario, lines: Sequence[str], types: Sequence[str], bound: Size) -> list[Entrant]:
    """The lines as they are written, then every type in its size within the bound; each is run or out without.

    Raises UnknownLineType and OwnRecordError.
    """
    first = _as_written(scenario, lines)
    rest = [_entrant(scenario, lines, find(name), bound) for name in types]
    return [first, *(each for each in rest if not _same(each, first))]


def _same(one: Entrant, other: Entrant) -> bool:
    if one.type != other.type or one.size is None or other.size is None:
        return False
    return math.isclose(one.size.diameter_m, other.size.diameter_m)


def _as_written(scenario: Scenario, lines: Sequence[str]) -> Entrant:
    line, size = scenario.lines[lines[0]], own_size(scenario, lines)
    kind = line.type if isinstance(line.type, str) else "a type of its own"
    if size is not None and isinstance(line.type, str):
        size = Size(size.diameter_m, size_named(find(line.type), size.diameter_m))
    unfit: list[Unfit] = []
    for name in lines:
        line = scenario.lines[name]
        data = line_data(line, name)
        sharp = too_sharp(data, smallest_tread(scenario, line), size.written if size else "")
        unfit += [*too_hot(scenario, line, data), *([sharp] if sharp else [])]
    name = f"{AS_WRITTEN}: {kind}"
    return Entrant(name, kind, size, None if unfit else Asked(AS_WRITTEN), _each_once(unfit))


def _entrant(scenario: Scenario, lines: Sequence[str], entry: LineType, bound: Size) -> Entrant:
    """One type: the thinnest of the sizes that each line's sheaves allow, its ends, or why it is out."""
    unfit: list[Unfit] = []
    sizes: list[Size] = []
    for name in lines:
        line = scenario.lines[name]
        some = entry.at(entry.families[0].sizes_m()[0])  # heat is the material's, whatever the size
        unfit += [*too_hot(scenario, line, some), *ends_not_made(line, entry)]
        size, why = size_for(scenario, line, entry, bound)
        sizes += [size] if size else []
        unfit += why
    size = min(sizes, key=lambda each: each.diameter_m, default=None)
    if unfit or size is None:
        return Entrant(entry.name, entry.name, size, None, _each_once(unfit))
    changes: dict[str, Any] = {}
    remarks: list[str] = []
    for name in lines:
        ends, said = _ends(scenario.lines[name], entry)
        changes[name] = {"type": entry.name, "diameter": size.written, **({"terminations": ends} if ends else {})}
        remarks += said
    asked = Asked(f"{entry.name} {size.written}", changes={"lines": changes})
    return Entrant(entry.name, entry.name, size, asked, (), tuple(dict.fromkeys(remarks)))


def _each_once(unfit: Sequence[Unfit]) -> tuple[Unfit, ...]:
    return tuple(dict.fromkeys(unfit))


def _ends(line: Line, entry: LineType) -> tuple[dict[str, str], list[str]]:
    """Ends that are not made in the type, as they are made in it: by the first of its terminations, the usual one."""
    ends, said = {}, []
    for at, word in line.terminations.items():
        try:
            termination(word, at, entry.fibre, entry.textile, entry.terminated_by)
        except (UnknownTermination, SpliceTooShort):
            usual = next((each for each in entry.terminated_by if each not in HELD), None)
            if usual is not None:
                ends[at] = usual
                said.append(f"'{usual}' at {at}, since '{word}' is not made in it.")
    return ends, said
