"""Two results beside each other on the terminal: what differs, worst first, and the long tail in a line."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.table import Table

from sim.command.summary import print_list, words_and_numbers
from sim.results.cautions import SHORT
from sim.results.difference import FIRST, SECOND, Difference, Kind
from sim.results.difference_words import (
    change_words,
    count_words,
    level_sentence,
    share_words,
    value_words,
    verdict_of_differences,
)
from sim.results.shown import Units
from sim.results.two_results import Compared, Side

_TABLES = (
    ("Inputs that changed", Kind.INPUT, 40),
    ("What comes out otherwise", Kind.OUTCOME, 20),
    ("Figures that differ, worst first", Kind.FIGURE, 25),
    ("Curves that differ, worst first", Kind.CURVE, 15),
)
_SUMMED_ALONE = (Kind.FIGURE, Kind.CURVE)
"""Kinds of which what one side has alone is only counted: with other elements they would fill every page."""
_NAMED_ALONE = 3
_LISTED = ((Kind.WORDS, "Said by one of them only", 12),)
_COUNTED = (Kind.EVENT, Kind.DRAWING, Kind.AUDIT)


def print_differences(screen: Console, compared: Compared, units: Units, folder: Path | None, quiet: bool) -> None:
    """Print all of it, or with `quiet` what has to be known and the verdict alone."""
    for side in (compared.first, compared.second):
        screen.print(_heading(side), style="bold", soft_wrap=True)
    print_list(screen, "To be known", compared.notes)
    if not quiet:
        counting = compared.differences.counting
        for title, kind, most in _TABLES:
            found = [each for each in counting if each.kind is kind and not (each.only and kind in _SUMMED_ALONE)]
            _print_table(screen, title, found, most, compared, units)
        print_list(screen, "Only on one side", _alone(counting, compared))
        for kind, title, most in _LISTED:
            texts = [_one_sided(each, compared) for each in counting if each.kind is kind]
            print_list(screen, title, [*texts[:most], *_more(len(texts) - most)])
        print_list(screen, "Beside these", _beside(compared))
    screen.print()
    screen.print(level_sentence(compared))
    screen.print(verdict_of_differences(compared), style="bold")
    if folder is not None:
        screen.print(f"Folder of the difference: {folder}", soft_wrap=True)
    screen.print(SHORT)


def _heading(side: Side) -> str:
    revision = f", revision {side.revision}" if side.revision else ""
    return f"{side.name}: {side.title}{revision} (stopload {side.version})"


def _print_table(
    screen: Console, title: str, found: Sequence[Difference], most: int, compared: Compared, units: Units
) -> None:
    """The worst of one kind; of the rest how many there are and how far apart at most."""
    if not found:
        return
    table: Table = words_and_numbers(
        title, ("where", compared.first.name, compared.second.name, "second less first"), ()
    )
    for each in found[:most]:
        when = f", {each.at_s:.4g} s" if each.at_s is not None else ""
        table.add_row(
            each.words + when,
            value_words(each.first, each.unit, units),
            value_words(each.second, each.unit, units),
            change_words(each, units) if not each.only else _only(each, compared),
        )
    screen.print()
    screen.print(table)
    rest = found[most:]
    if rest:
        apart = max((each.relative for each in rest if each.relative is not None), default=None)
        least = "" if apart is None else f", none of them further apart than {share_words(apart)}"
        screen.print(f"and {len(rest)} more{least}", soft_wrap=True)


def _alone(counting: Sequence[Difference], compared: Compared) -> list[str]:
    """How many figures and curves one side has alone, and the first of them."""
    lines = []
    for side, name in ((FIRST, compared.first.name), (SECOND, compared.second.name)):
        for kind in _SUMMED_ALONE:
            found = [each for each in counting if each.only == side and each.kind is kind]
            some = "; ".join(each.words for each in found[:_NAMED_ALONE])
            more = "; …" if len(found) > _NAMED_ALONE else ""
            lines += [f"only in {name}: {count_words(found)} ({some}{more})"] if found else []
    return lines


def _only(difference: Difference, compared: Compared) -> str:
    side = compared.first if difference.only == FIRST else compared.second
    return f"only in {side.name}"


def _one_sided(difference: Difference, compared: Compared) -> str:
    """A sentence that one of the two has alone, or both in different words."""
    if difference.only:
        return f"{_only(difference, compared)}: {value_words(difference.first or difference.second, '')}"
    one, other = value_words(difference.first, ""), value_words(difference.second, "")
    return f"{difference.words}: {one or 'nothing'} | {other or 'nothing'}"


def _more(number: int) -> list[str]:
    return [f"and {number} more"] if number > 0 else []


def _beside(compared: Compared) -> list[str]:
    """What is not listed: counts of it, and what differs less than was asked to count."""
    differences = compared.differences
    lines = [_summed(found) for kind in _COUNTED if (found := [e for e in differences.counting if e.kind is kind])]
    counting = {id(each) for each in differences.counting}
    small = [each for each in differences.found if id(each) not in counting]
    return [*lines, f"not to the last bit, but not counted: {_summed(small)}"] if small else lines


def _summed(found: Sequence[Difference]) -> str:
    worst = max((each for each in found if each.relative is not None), key=lambda e: e.relative or 0.0, default=None)
    alone = sum(1 for each in found if each.only)
    only = f", {alone} of them on one side only" if alone else ""
    furthest = f"; furthest apart: {worst.words}, {change_words(worst)}" if worst is not None else ""
    return count_words(found) + only + furthest
