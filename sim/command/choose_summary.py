"""A choice on the terminal: what is out and why, hard failures first; what remains, and what else there is to weigh."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from rich import box
from rich.console import Console
from rich.table import Table

from sim.command.summary import print_list
from sim.results.choice import RANKED, Candidate, Choice, State, in_order
from sim.results.model import Finding
from sim.results.shown import Units, bare, shown, unit_shown
from sim.results.sorted_by import SortedBy
from sim.strength.chain import chain
from sim.strength.making import EFFORTS, making

_MOST_REASONS = 3
_INCH_M = 0.0254
_OUT = {State.UNFIT: "no run", State.OUT: "run", State.NOT_RUN: "NOT RUN"}
_BY = {
    SortedBy.MARGIN: "the largest margin first",
    SortedBy.STRETCH: "the least stretch first",
    SortedBy.WEIGHT: "the lightest first",
    SortedBy.THIN: "the thinnest first",
    SortedBy.ENDS: "the easiest to terminate first",
    SortedBy.EVIDENCE: "what wants the least evidence first",
}
_TITLES = {
    State.NOT_FINISHED: "Run, but not to the end",
    State.NOT_JUDGED: "Run, but not judged",
    State.REMAINS: "Within all limits",
}
_LEGEND = (
    "margin: available over required less one, of all that is asked of the rig and of the line's design factors alone; "
    "below 0 is outside. hangs: how far the lines let the hook down by their stretch under the performer's weight, "
    "slowly loaded. most: when they are pulled hardest in any case. weight: of the line that is out at rest. evidence: "
    "how many of its numbers want some."
)


def print_choice(screen: Console, choice: Choice, by: SortedBy, units: Units) -> None:
    """Print all types for one group of lines."""
    ordered = in_order(choice.candidates, by, EFFORTS)
    screen.print(f"Line types for {' and '.join(choice.lines)}: {choice.title}", style="bold")
    for sentence in choice.asked:
        screen.print(sentence)
    _print_out(screen, [each for each in ordered if each.state in _OUT], units)
    ranked = [each for each in ordered if each.state in RANKED]
    for state, title in _TITLES.items():
        _print_figures(screen, f"{title}, {_BY[by]}", [each for each in ranked if each.state is state], units)
    if ranked:
        screen.print(_LEGEND)
    for title, lines in (
        ("Why not judged", _once(ranked, lambda each: each.why)),
        ("Nearest to its limit", _once(ranked, _nearest)),
        ("Strength that is left", _of_each(ranked, lambda each: _chain(each, units))),
        ("Seen from the house", _once(ranked, lambda each: [each.visibility or "nothing is known of it"])),
        ("How the ends are made", _once(ranked, _ends)),
        ("Evidence wanted", _of_each(ranked, lambda each: ", ".join(each.evidence) or "none")),
        ("To be known", _once(ranked, lambda each: each.remarks)),
    ):
        print_list(screen, title, lines)
    screen.print()
    screen.print(_sentence(choice), style="bold")
    screen.print()


def _sentence(choice: Choice) -> str:
    counts = {state: sum(1 for each in choice.candidates if each.state is state) for state in State}
    parts = ", ".join(f"{number} {state}" for state, number in counts.items() if number)
    return f"{' and '.join(choice.lines)}, {len(choice.candidates)} tried: {parts}."


# --- tables ---------------------------------------------------------------------------------------------------------


def _print_out(screen: Console, out: Sequence[Candidate], units: Units) -> None:
    if not out:
        return
    table = _table("Out, and why")
    table.add_column("", no_wrap=True)
    table.add_column("type", overflow="fold", min_width=16, max_width=32)
    table.add_column("why", overflow="fold", ratio=1)
    for each in out:
        table.add_row(_OUT[each.state], _sized(each), _why(each, units))
    screen.print()
    screen.print(table)


def _why(each: Candidate, units: Units) -> str:
    reasons = [*each.why, *(_in_words(finding, units) for finding in each.outside)]
    more = len(reasons) - _MOST_REASONS
    return "; ".join(reasons if more <= 0 else [*reasons[:_MOST_REASONS], f"and {more} more"])


def _in_words(finding: Finding, units: Units) -> str:
    """A limit that is not held, as it is shown."""
    limit = finding.limit.replace("_", " ")
    if finding.found is None or finding.required is None:
        return f"{finding.of}: {finding.remark or limit}"
    found, required = (shown(value, finding.unit, units) for value in (finding.found, finding.required))
    return f"{finding.of}: {limit} {found}, asked {required}"


def _print_figures(screen: Console, title: str, found: Sequence[Candidate], units: Units) -> None:
    if not found:
        return
    small, size_m = ("in", _INCH_M) if units is Units.US else ("mm", 1e-3)
    length, mass = unit_shown("m", units), unit_shown("kg", units)
    numbers = (
        "margin\nrig", "margin\nline", "peak\ng", f"clear\n{length.sign}", f"hangs\n{small}", f"most\n{small}",
        f"weight\n{mass.sign}", "evi-\ndence",
    )  # fmt: skip
    table = _table(title)
    table.add_column("type", overflow="fold", min_width=16)
    for head in numbers:
        table.add_column(head, justify="right", no_wrap=True)
    for each in found:
        seen, stretch = each.figures, each.stretch
        table.add_row(
            _sized(each),
            bare(each.margin, ""),
            bare(each.line_margin, ""),
            bare(seen.peak_g.value if seen.peak_g else None, "g"),
            bare(seen.clearance_m.value if seen.clearance_m else None, "m", units),
            _small(stretch.hanging_m if stretch else None, size_m),
            _small(stretch.most_m if stretch else None, size_m),
            _small(each.mass_kg, mass.size_si),
            str(len(each.evidence)),
        )
    screen.print()
    screen.print(table)


def _table(title: str) -> Table:
    """An empty table with little space between its columns: it has many, and 80 characters may be all there is."""
    return Table(
        title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 1, 0, 0)
    )


def _sized(each: Candidate) -> str:
    return f"{each.name}, {each.size}" if each.size else each.name


def _small(value_si: float | None, size_si: float) -> str:
    """Two figures: the catalogue knows no more of stretch and weight."""
    if value_si is None:
        return "–"
    number = value_si / size_si
    return f"{number:.0f}" if number >= 10 else f"{number:.2g}"


# --- words ----------------------------------------------------------------------------------------------------------


def _chain(each: Candidate, units: Units) -> str:
    """From the strength of the type to what counts of it."""
    if each.line is None or each.line.breaking_strength_N is None:
        return "unknown"
    return chain(each.line, units) or f"{shown(each.line.strength_N, 'N', units)}, nothing taken"


def _nearest(each: Candidate) -> list[str]:
    """What the rig's margin is of."""
    least = each.figures.least_margin
    return [f"{least.of}, {least.limit}"] if least else []


def _ends(each: Candidate) -> list[str]:
    """Each end with what it takes to make it."""
    if not each.ends:
        return ["no termination is stated"]
    said = []
    for at, word in each.ends.items():
        how = making(word)
        said.append(f"{word} at {at}" + (f", {how.effort}. {how.says}" if how else ""))
    return said


def _of_each(found: Iterable[Candidate], says: Callable[[Candidate], str]) -> list[str]:
    return [f"{each.name}: {says(each)}" for each in found]


def _once(found: Sequence[Candidate], says: Callable[[Candidate], Iterable[str]]) -> list[str]:
    """Each sentence once, after the types it stands for."""
    names: dict[str, list[str]] = {}
    for each in found:
        for sentence in says(each):
            names.setdefault(sentence, []).append(each.name)
    return [f"{'all' if len(of) == len(found) > 1 else ', '.join(of)}: {said}" for said, of in names.items()]
