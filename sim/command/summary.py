"""The summary on the terminal: what a result says, worst first, read at a glance and the same numbers as its files."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from rich import box
from rich.console import Console
from rich.table import Table

from sim.command.body_summary import body_lines
from sim.command.line_summary import line_lines
from sim.results.cautions import FULL, SHORT
from sim.results.model import SHORT_OF_MOVES, CaseResult, ElementResult, Result
from sim.results.on_floor import felt_on_floor
from sim.results.shown import Units, bare, shown, unit_shown
from sim.results.verdict import (
    WITHIN_WORDS,
    deciding_force_N,
    deciding_load,
    elements_worst_first,
    findings_worst_first,
    least_margin,
    not_as_planned,
    not_judged,
    ranges_that_matter,
    remarks,
    unfinished,
    verdict_sentence,
)
from sim.strength.chain import chains
from sim.strength.words import DOUBTFUL, MARK, NEEDS_EVIDENCE

_MOST_ASSUMPTIONS = 6


def print_summary(console: Console, result: Result, units: Units, folder: Path | None = None) -> None:
    """Print the whole summary: elements, performers, findings, what is missing, audit, verdict, cautions."""
    heading = [part for part in (result.title, f"revision {result.revision}" if result.revision else "") if part]
    console.print(", ".join(heading) + (f" ({result.prepared_by})" if result.prepared_by else ""), style="bold")
    for table in (_elements(result, units), _performers(result, units), _findings(result, units)):
        if table.row_count:
            console.print()
            console.print(table)
    for title, lines in (
        ("Not finished", unfinished(result)),
        ("Not simulated", result.not_simulated),
        ("Not moved as planned", not_as_planned(result)),
        ("Felt on the floor", felt_on_floor(result)),
        ("Not judged", not_judged(result)),
        ("Doubtful", [each.removeprefix(DOUBTFUL) for each in result.assumptions if each.startswith(DOUBTFUL)]),
        ("Strength that is left", _chains(result, units)),
        ("What the body feels", [*body_lines(result, units)]),
        ("What else a rigger asks", [*line_lines(result, units)]),
        ("Elsewhere in the ranges of the lines' data", [*_ranges(result, units)]),
        ("Remarks", [each for each in remarks(result) if SHORT_OF_MOVES not in each]),
        (
            "Assumed" if units is Units.SI else "Assumed (in SI)",
            _shortened([each for each in result.assumptions if not each.startswith(DOUBTFUL)]),
        ),
        ("Audit", _audits(result)),
    ):
        print_list(console, title, lines)
    print_verdict(console, result, folder)
    print_list(console, "Cautions", FULL)


def print_verdict(console: Console, result: Result, folder: Path | None, cautions: bool = False) -> None:
    """Print the verdict in a sentence, where the result lies and, where nothing else follows, the cautions in short."""
    console.print()
    console.print(verdict_sentence(result), style="bold")
    if folder is not None:
        console.print(f"Result folder: {folder}", soft_wrap=True)
    if cautions:
        console.print(SHORT)


def words_and_numbers(title: str, words: Iterable[str], numbers: Iterable[str]) -> Table:
    """An empty table: columns of words that may wrap, then columns of numbers that may not."""
    table = Table(title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, pad_edge=False)
    for head in words:
        table.add_column(head, overflow="fold", min_width=len(WITHIN_WORDS[None]))
    for head in numbers:
        table.add_column(head, justify="right", no_wrap=True)
    return table


def _elements(result: Result, units: Units) -> Table:
    force = unit_shown("N", units).sign
    numbers = (f"force\n{force}", f"strength\n{force}", "design\nfactor", "required\nfactor", "margin")
    table = words_and_numbers("Elements, worst first", ("", "element", "worst case"), numbers)
    for each in elements_worst_first(result):
        load = deciding_load(each)
        table.add_row(
            WITHIN_WORDS[each.within],
            each.name,
            _worst(each, load),
            bare(deciding_force_N(each), "N", units),
            bare(each.strength_N, "N", units) + (MARK if each.needs_evidence else ""),
            bare(getattr(each.design_factor, load), "") if load else "–",
            f"{getattr(each.required, load):g}" if load else "–",
            bare(least_margin(each), ""),
        )
    if any(each.needs_evidence for each in result.elements.values()):
        table.caption = (
            f"{MARK} {NEEDS_EVIDENCE}: no source stands behind the strength, or behind what is taken from it"
        )
        table.caption_justify = "left"
    return table


def _worst(element: ElementResult, load: str | None) -> str:
    """In which case, under which load, when and where an element is worst off."""
    case = "at rest" if load == "static" else element.worst_case
    kind = f" ({load}) at {shown(element.worst_time_s, 's')}" if load in ("working", "emergency") else ""
    where = f", {element.worst_place}" if element.worst_place not in ("", element.name) else ""
    return case + kind + where


def _performers(result: Result, units: Units) -> Table:
    length, speed = unit_shown("m", units).sign, unit_shown("m/s", units).sign
    clearance, lowest, stops = (f"{what}\n{length}" for what in ("clearance", "lowest", "stops in"))
    numbers = ("peak\ng", "CFC 60\ng", clearance, lowest, f"speed\n{speed}", stops)
    table = words_and_numbers("Performers", ("case", "performer"), numbers)
    for case in result.cases.values():
        for name, seen in case.performers.items():
            table.add_row(
                case.name,
                name,
                bare(seen.peak_g, "g"),
                bare(seen.peak_g_cfc60, "g"),
                bare(seen.clearance_m, "m", units),
                bare(seen.lowest_height_m, "m", units),
                bare(seen.top_speed_m_s, "m/s", units),
                _stops_in(case, units),
            )
    return table


def _stops_in(case: CaseResult, units: Units) -> str:
    """The longest stopping distance of the case's drives; in words where one never stops."""
    if any(drive.runs_on for drive in case.drives.values()):
        return "runs on"
    distances = (drive.stopping_distance_m for drive in case.drives.values())
    return bare(max((each for each in distances if each is not None), default=None), "m", units)


def _findings(result: Result, units: Units) -> Table:
    table = words_and_numbers("Limits, worst first", ("", "limit", "of", "case"), ("found", "limit is"))
    for each in findings_worst_first(result):
        table.add_row(
            WITHIN_WORDS[each.within],
            each.limit.replace("_", " "),
            each.of,
            each.case,
            shown(each.found, each.unit, units),
            shown(each.required, each.unit, units),
        )
    return table


def _ranges(result: Result, units: Units) -> Iterator[str]:
    """What limits come to with lines stiffer, softer or less damped than stated, as far as their data allow."""
    for each in ranges_that_matter(result):
        there = each.finding
        found, stated, required = (shown(x, there.unit, units) for x in (there.found, each.stated, there.required))
        lines = ", ".join(f"{name} {factor:.2f} times its stretch" for name, factor in each.stretch.items())
        yield (
            f"{WITHIN_WORDS[there.within]}: {there.limit.replace('_', ' ')} of {there.of} {found} ({stated} as stated, "
            f"limit {required}), {there.case}; {lines}."
        )


def _chains(result: Result, units: Units) -> list[str]:
    """From the strength stated to the strength that counts: where it governs, and at the ends of lines."""
    return [f"{name}: {each}" for name, element in result.elements.items() for each in chains(element, units)]


def _shortened(lines: Sequence[str]) -> list[str]:
    more = len(lines) - _MOST_ASSUMPTIONS
    return list(lines) if more <= 1 else [*lines[:_MOST_ASSUMPTIONS], f"and {more} more, in result.json"]


def _audits(result: Result) -> list[str]:
    return [f"{case.name}: {_audit(case)}" for case in result.cases.values()]


def _audit(case: CaseResult) -> str:
    if case.audit is None:
        return "no audit"
    change = case.audit.peak_change
    repeated = "not repeated" if change is None else f"peaks change by {change:.1e} at a tenth of the tolerance"
    parts = [
        "passed" if case.audit.passed else "FAILED",
        f"energy is out by {case.audit.energy_residual:.1e}",
        repeated,
    ]
    return ", ".join(parts) + (f"; {case.audit.remark}" if case.audit.remark else "")


def print_list(console: Console, title: str, lines: Iterable[str]) -> None:
    """Print a titled list; nothing where it is empty."""
    lines = list(lines)
    if not lines:
        return
    console.print()
    console.print(title, style="bold")
    for line in lines:
        grid = Table.grid(padding=(0, 1))
        grid.add_row("-", line)
        console.print(grid)
