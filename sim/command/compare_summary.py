"""A comparison on the terminal: one table, worst first, what changes most and why, and what has to be known."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.table import Table

from sim.command.summary import print_list, words_and_numbers
from sim.results.cautions import FULL, SHORT
from sim.results.comparison import Comparison, Variant, Worst, worst_first
from sim.results.shown import Units, bare, shown, unit_shown

_STATUS_WORDS = {0: "within", 1: "not within", 2: "NOT RUN", 3: "NOT FINISHED"}


def print_comparison(screen: Console, comparison: Comparison, units: Units, folder: Path, quiet: bool) -> None:
    """Print the whole comparison, or with `quiet` its table and verdict alone."""
    screen.print(f"{comparison.title}, over {comparison.over}", style="bold")
    screen.print()
    screen.print(_table(comparison, units))
    if not quiet:
        hooks = _hooks(comparison, units)
        if hooks.row_count:
            screen.print()
            screen.print(hooks)
        print_list(screen, "What changes most, and why", _words(comparison, units))
        print_list(screen, "To be known", [f"{v.name}: {note}" for v in comparison.variants for note in v.notes])
    print_list(screen, "Not run", [f"{v.name}: {v.cause}" for v in comparison.variants if v.cause])
    screen.print()
    screen.print(verdict_sentence(comparison), style="bold")
    screen.print(f"Folder of the comparison: {folder}", soft_wrap=True)
    if quiet:
        screen.print(SHORT)
    else:
        print_list(screen, "Cautions", FULL)


def verdict_sentence(comparison: Comparison) -> str:
    """How many variants came to what."""
    counts: dict[str, int] = {}
    for variant in worst_first(comparison.variants):
        counts[variant.verdict] = counts.get(variant.verdict, 0) + 1
    return f"{len(comparison.variants)} variants: {', '.join(f'{n} {word}' for word, n in counts.items())}."


def _words(comparison: Comparison, units: Units) -> tuple[str, ...]:
    """The comparison's own sentences; told anew where they are to be in other units."""
    if units is Units.SI:
        return comparison.words
    from sim.studies.compare_why import words

    return words(comparison.variants, units)


def _table(comparison: Comparison, units: Units) -> Table:
    force, length = unit_shown("N", units).sign, unit_shown("m", units).sign
    numbers = (
        "peak\ng", f"tension\n{force}", f"clearance\n{length}", f"stops in\n{length}", "margin"
    )  # fmt: skip
    table = words_and_numbers("Variants, worst first", ("", "variant", "nearest to its limit"), numbers)
    for variant in worst_first(comparison.variants):
        seen = variant.figures
        table.add_row(
            variant.verdict if not variant.cause else _STATUS_WORDS[variant.status],
            variant.name,
            _nearest(variant, units),
            _bare(seen.peak_g, "g", units),
            _bare(seen.peak_tension_N, "N", units),
            _bare(seen.clearance_m, "m", units),
            _bare(seen.stopping_distance_m, "m", units),
            bare(seen.least_margin.margin, "") if seen.least_margin else "–",
        )
    return table


def _nearest(variant: Variant, units: Units) -> str:
    """What has the least margin, what was found and what is asked for."""
    margin = variant.figures.least_margin
    if margin is None:
        return "–"
    found, required = (shown(value, margin.unit, units) for value in (margin.found, margin.required))
    return f"{margin.of}: {margin.limit} {found}, limit {required}"


def _bare(worst: Worst | None, unit: str, units: Units) -> str:
    return bare(worst.value if worst else None, unit, units)


def _hooks(comparison: Comparison, units: Units) -> Table:
    """What the stop met at the hook in the case of each variant's largest g."""
    force, length, speed = (unit_shown(unit, units) for unit in ("N", "m", "m/s"))
    numbers = (
        f"EA\n{force.sign}", f"run\n{length.sign}", f"at the hook\n{force.sign}/{length.sign}", f"speed\n{speed.sign}",
        "stands\nafter s", f"in no time\nadds {force.sign}", f"by law\n{force.sign}", f"added\n{force.sign}",
    )  # fmt: skip
    table = words_and_numbers("At the hook, where g is largest", ("variant", "case"), numbers)
    for variant in worst_first(comparison.variants):
        hook = variant.hook
        if hook is not None:
            table.add_row(
                variant.name,
                hook.case,
                bare(hook.EA_N, "N", units),
                bare(hook.run_length_m, "m", units),
                f"{hook.hook_N_per_m * length.size_si / force.size_si:.1f}",
                bare(hook.speed_m_s, "m/s", units),
                bare(hook.slow_down_s, "s"),
                bare(hook.instant_N, "N", units),
                bare(hook.law_N, "N", units),
                bare(hook.added_N, "N", units),
            )
    return table
