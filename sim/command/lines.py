"""`stopload lines`: the catalogue of line types, one of them in full, several beside each other, or as a file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from rich import box
from rich.console import Console
from rich.table import Table

from sim.command.new import write_new
from sim.command.screen import console
from sim.command.status import Refused, Status
from sim.command.summary import print_list
from sim.results.cautions import SHORT
from sim.results.shown import FOOT_M, POUND_FORCE_N, POUND_KG, Units
from sim.strength.words import MARK
from sim.version import VERSION

if TYPE_CHECKING:
    from sim.strength.catalogue import LineType
    from sim.strength.facts import Fact

_LEGEND = f"{MARK} needs evidence: from memory or common practice, no published source"
_UNKNOWN = "? unknown: nobody gave a figure"
_BASE = "Stretch at 10%, at 20%: under that part of the type's own breaking strength, in percent of the length."
_CERTIFICATE = "A certificate goes before every number here: write breaking_strength on the line."
_INCH_M = 0.0254
_SIGNS = {
    Units.SI: {"N": ("kN", 1e3), "kg/m": ("g/m", 1e-3), "m": ("m", 1.0), "J/m": ("J/m", 1.0)},
    Units.US: {
        "N": ("lbf", POUND_FORCE_N),
        "kg/m": ("lb/100 ft", POUND_KG / (100 * FOOT_M)),
        "m": ("ft", FOOT_M),
        "J/m": ("ft·lbf/ft", POUND_FORCE_N),
    },
}


@dataclass(frozen=True)
class Asked:
    """What to show: types (none: all of them), the diameter as written, units, and the folder of own records."""

    types: Sequence[str]
    diameter: str | None
    units: Units
    own: Path | None


def lines_command(asked: Asked, export: Path | None) -> int:
    """List, show, compare or export. Raises Refused for an unknown type or size and for a fault in a record."""
    from sim.strength.catalogue import NoSuchSize, OwnRecordError, UnknownLineType, find, names

    try:
        known = list(asked.types) or list(names(asked.own))
        entries = [find(name, asked.own) for name in known]
        diameter_m = read_diameter_m(asked.diameter)
        if export is not None:
            return _export(known, diameter_m, asked.own, export)
        screen = console()
        if asked.types:
            _print_facts(screen, entries, diameter_m, asked.units)
        else:
            _print_list(screen, entries, diameter_m, asked.units)
    except UnknownLineType as unknown:
        raise Refused(f"{unknown}. `stopload lines` lists all types.") from unknown
    except (NoSuchSize, OwnRecordError) as wrong:
        raise Refused(f"{wrong}.") from wrong
    screen.print(_CERTIFICATE, soft_wrap=True)
    screen.print(SHORT)
    return Status.WITHIN


def read_diameter_m(written: str | None) -> float | None:
    """The value of --diameter, m; None where it is not given. Raises Refused."""
    from sim.scenario.kinds import Length
    from sim.scenario.refused import Refused as Wrong

    if written is None:
        return None
    try:
        diameter_m = Length.read(written).m
    except Wrong as wrong:
        raise Refused(f"--diameter: {wrong}.") from wrong
    if diameter_m <= 0.0:
        raise Refused(f"--diameter: {written} is no diameter.")
    return diameter_m


def _print_list(screen: Console, entries: Sequence[LineType], diameter_m: float | None, units: Units) -> None:
    """One row a type, in the diameter asked or the nearest it is made in."""
    from sim.strength.facts import USUAL_DIAMETER_M, facts, shown_size_m
    from sim.strength.sizes import size_named, sizes_in_words

    wanted = USUAL_DIAMETER_M if diameter_m is None else diameter_m
    table = Table(title="Line types", title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, pad_edge=False)
    table.add_column("type", no_wrap=True)
    table.add_column("sizes", overflow="fold", min_width=12)
    force, mass, degrees = _SIGNS[units]["N"][0], _SIGNS[units]["kg/m"][0], _degree_sign(units)
    for head in ("at", f"strength\n{force}", f"mass\n{mass}", "stretch at 10%\nslow/fast, %", "D:d least\n/for life",
                 f"hottest\n{degrees}", "floats"):  # fmt: skip
        table.add_column(head, justify="right", no_wrap=True)
    for entry in entries:
        size_m = shown_size_m(entry, wanted)
        known = {fact.what: fact for fact in facts(entry, size_m)}
        slow, fast = (known[f"stretch at 10%, {how}, bedded in"] for how in ("slow", "fast"))
        table.add_row(
            entry.name,
            ("own record: " if entry.record else "") + sizes_in_words(entry),
            size_named(entry, size_m),
            _marked(known["breaking strength, minimum"], units),
            _marked(known["mass per length"], units),
            f"{_marked(slow, units)}/{_marked(fast, units)}",
            f"{_marked(known['D:d for strength'], units)}/{_marked(known['D:d for life'], units)}",
            _marked(known["highest temperature in use"], units),
            known["floats"].says.partition(" ")[0] + (MARK if known["floats"].needs_evidence else ""),
        )
    screen.print(table)
    screen.print(_LEGEND)
    screen.print(_UNKNOWN)
    screen.print(_BASE)
    screen.print('stopload lines "TYPE" shows one with every source, several names compare them.', soft_wrap=True)


def _print_facts(screen: Console, entries: Sequence[LineType], diameter_m: float | None, units: Units) -> None:
    """One type with range and source of everything, or several beside each other."""
    from sim.strength.facts import USUAL_DIAMETER_M, facts, shown_size_m

    wanted = shown_size_m(entries[0], USUAL_DIAMETER_M) if diameter_m is None else diameter_m
    sizes = [shown_size_m(entry, wanted) if diameter_m is None else wanted for entry in entries]
    known = [facts(entry, size) for entry, size in zip(entries, sizes, strict=True)]
    if len(entries) == 1:
        _print_one(screen, entries[0], sizes[0], known[0], units)
    else:
        _print_several(screen, entries, sizes, known, units)


def _print_one(screen: Console, entry: LineType, size_m: float, known: Sequence[Fact], units: Units) -> None:
    from sim.strength.sizes import size_named

    title = f"{entry.name}, {size_named(entry, size_m)}"
    table = Table(title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, pad_edge=False)
    table.add_column("", no_wrap=True)
    table.add_column("value", overflow="fold", min_width=20)
    for head in ("range", "status", "source"):
        table.add_column(head, no_wrap=True)
    sources = list(dict.fromkeys(fact.source for fact in known if fact.source))
    for fact in known:
        status = f"{fact.status}, needs evidence" if fact.needs_evidence else fact.status
        number = f"[{sources.index(fact.source) + 1}]" if fact.source else ""
        table.add_row(fact.what, _value(fact, units), _range(fact, units), status, number)
    screen.print(table)
    screen.print(_BASE)
    print_list(screen, "Sources", (f"[{number}] {source}" for number, source in enumerate(sources, 1)))
    made = "; ".join(family.words() for family in entry.families)
    record = [f"From a record of your own: {entry.record}."] if entry.record else []
    print_list(screen, "Notes", (f"{entry.fibre}, {entry.construction}; made in {made}.", *record, *entry.notes))
    screen.print()


def _print_several(
    screen: Console,
    entries: Sequence[LineType],
    sizes_m: Sequence[float],
    known: Sequence[Sequence[Fact]],
    units: Units,
) -> None:
    from sim.strength.sizes import size_named

    table = Table(title="Line types beside each other", title_justify="left", title_style="bold", box=box.SIMPLE_HEAD)
    table.add_column("", overflow="fold", min_width=16)
    for entry, size_m in zip(entries, sizes_m, strict=True):
        table.add_column(f"{entry.name}\n{size_named(entry, size_m)}", overflow="fold", min_width=12)
    by_name = [{fact.what: fact for fact in each} for each in known]
    for what in _in_order([list(each) for each in by_name]):
        table.add_row(what, *(_cell(each.get(what), units) for each in by_name))
    screen.print(table)
    screen.print(_LEGEND)
    screen.print(_BASE)


def _in_order(lists: Sequence[Sequence[str]]) -> list[str]:
    """All names of several lists, each new one after the one it follows in its own list."""
    order: list[str] = []
    for names in lists:
        place = 0
        for name in names:
            if name in order:
                place = order.index(name) + 1
            else:
                order.insert(place, name)
                place += 1
    return order


def _cell(fact: Fact | None, units: Units) -> str:
    if fact is None:
        return "–"
    return _value(fact, units) + (f" {MARK}" if fact.needs_evidence and fact.status != "unknown" else "")


def _marked(fact: Fact, units: Units) -> str:
    """A number for a narrow column."""
    if fact.value is None:
        return "?"
    number = f"{fact.value:.2g}" if fact.unit == "%" else _number(fact, fact.value, units)
    return number + (MARK if fact.needs_evidence else "")


def _value(fact: Fact, units: Units) -> str:
    if fact.by_degC:
        degrees = [(_degrees(degC, units), left) for degC, left in fact.by_degC]
        return ", ".join(f"{left:.0%} at {each:.3g} {_degree_sign(units)}" for each, left in degrees)
    if fact.value is None:
        return f"unknown: {fact.says}" if fact.status == "unknown" else fact.says
    number = f"{_number(fact, fact.value, units)} {_sign(fact, units)}".rstrip()
    return f"{number}. {fact.says}" if fact.says else number


def _range(fact: Fact, units: Units) -> str:
    if fact.low is None or fact.high is None or fact.low == fact.high:
        return ""
    return f"{_number(fact, fact.low, units)} to {_number(fact, fact.high, units)}"


def _sign(fact: Fact, units: Units) -> str:
    if fact.unit == "degC":
        return _degree_sign(units)
    if _is_tread(fact):
        return "in" if units is Units.US else "mm"
    return _SIGNS[units].get(fact.unit, (fact.unit, 1.0))[0]


def _number(fact: Fact, value: float, units: Units) -> str:
    """Three figures: the catalogue knows no more."""
    if fact.unit == "degC":
        value = _degrees(value, units)
    elif _is_tread(fact):
        value /= _INCH_M if units is Units.US else 1e-3
    else:
        value /= _SIGNS[units].get(fact.unit, ("", 1.0))[1]
    return f"{float(f'{value:.3g}'):,.0f}" if abs(value) >= 100 else f"{value:.3g}"


def _degrees(degC: float, units: Units) -> float:
    return degC * 9 / 5 + 32 if units is Units.US else degC


def _degree_sign(units: Units) -> str:
    return "°F" if units is Units.US else "°C"


def _is_tread(fact: Fact) -> bool:
    return fact.what.startswith("tread diameter")


def _export(names: Sequence[str], diameter_m: float | None, own: Path | None, file: Path) -> int:
    """Write CSV or YAML by the file's ending; an existing file is left as it is."""
    from sim.strength.export import csv_text, yaml_text

    ending = file.suffix.lower()
    if ending == ".csv":
        text = csv_text(names, diameter_m, own)
    elif ending in (".yaml", ".yml"):
        text = yaml_text(names, VERSION, own)
    else:
        raise Refused(f"{file}: the catalogue is exported as .csv or .yaml; give the file such an ending.")
    write_new(file, text.encode("utf-8"))
    number = "one line type" if len(names) == 1 else f"{len(names)} line types"
    print(f"{file} is written: {number}, in SI.")
    return Status.WITHIN
