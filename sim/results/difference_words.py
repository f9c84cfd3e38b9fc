"""Differences in words and rounded figures: the terminal, the table and the figure say the same."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sim.results.difference import LEVELS, Difference, Kind, Level, Value
from sim.results.shown import Units, shown, unit_shown
from sim.results.two_results import Compared

KIND_WORDS = {
    Kind.INPUT: ("input", "inputs"),
    Kind.OUTCOME: ("outcome", "outcomes"),
    Kind.FIGURE: ("figure", "figures"),
    Kind.CURVE: ("curve", "curves"),
    Kind.WORDS: ("sentence", "sentences"),
    Kind.EVENT: ("event", "events"),
    Kind.DRAWING: ("place in the drawing", "places in the drawing"),
    Kind.AUDIT: ("figure of how a run was made", "figures of how runs were made"),
}
_PLAIN_PERCENT = 1e-4


def value_words(value: Value, unit: str, units: Units = Units.SI) -> str:
    """One side's value for a person; a dash where it has none.

    >>> value_words(4210.0, "N"), value_words(True, ""), value_words(None, "N"), value_words(3.0, "")
    ('4.21 kN', 'yes', '–', '3')
    """
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    if not math.isfinite(value):
        return "not a number" if math.isnan(value) else "infinite"
    if not unit and float(value).is_integer():
        return f"{value:,.0f}"  # a count, most likely
    if 0.0 < abs(unit_shown(unit, units).number(value)) < 0.01:
        return f"{unit_shown(unit, units).number(value):.2e} {unit_shown(unit, units).sign}".rstrip()
    return shown(value, unit, units)


def change_words(difference: Difference, units: Units = Units.SI) -> str:
    """By how much, with its sign and unit; in percent of the larger where that can be read.

    >>> from sim.results.difference import Kind, Level
    >>> change_words(Difference(Kind.FIGURE, (), "", 4000.0, 5000.0, Level.DIFFERENT, "N", 1000.0, 0.2))
    '+1 kN, 20 %'
    """
    if difference.only:
        return "only here"
    if difference.absolute is None:
        return ""
    if not math.isfinite(difference.absolute):
        return "no number on one side"
    how = unit_shown(difference.unit, units)
    apart = f"{how.number(difference.absolute):+.3g} {how.sign}".rstrip()
    if difference.relative is None or difference.kind is Kind.OUTCOME:  # an exit status has no percentage
        return apart
    return f"{apart}, {share_words(difference.relative)}"


def share_words(relative: float) -> str:
    """A relative difference.

    >>> share_words(0.0333), share_words(2.11e-8)
    ('3.3 %', '2.1e-08')
    """
    if relative < _PLAIN_PERCENT:
        return f"{relative:.1e}"
    return f"{100.0 * relative:.0f} %" if relative >= 0.1 else f"{100.0 * relative:.2g} %"


def count_words(found: Sequence[Difference]) -> str:
    """How many of which kind.

    >>> from sim.results.difference import Kind, Level
    >>> count_words([Difference(Kind.INPUT, (), "", "a", "b", Level.DIFFERENT)] * 2)
    '2 inputs'
    """
    counts = {kind: sum(1 for each in found if each.kind is kind) for kind in KIND_WORDS}
    return ", ".join(f"{n} {KIND_WORDS[kind][n > 1]}" for kind, n in counts.items() if n)


def level_sentence(compared: Compared) -> str:
    """How many numbers met which level."""
    counts = compared.differences.counts
    said = ", ".join(f"{counts.get(level, 0):,} {LEVELS[level]}" for level in Level)
    return f"{compared.differences.numbers:,} numbers that both have: {said}."


def verdict_of_differences(compared: Compared) -> str:
    """Whether the two are the same, in a sentence or two."""
    found, asked = compared.differences.counting, compared.differences.same
    if compared.same:
        rest = len(compared.differences.found)
        more = "" if not rest else f" ({count_words(compared.differences.found)} not to the last bit)"
        return f"Same: nothing differs that counts; asked was: {asked}{more}."
    altered = "A folder is no longer what was written. " if compared.altered else ""
    if not found:
        return f"{altered}What is left in both is the same; asked was: {asked}."
    numbers = [each for kind in (Kind.FIGURE, Kind.CURVE) for each in found if each.kind is kind and each.relative]
    worst = numbers[0] if numbers else None
    most = "" if worst is None else f" The largest: {worst.words}, {change_words(worst)}."
    return f"{altered}Different: {count_words(found)}; asked was: {asked}.{most}"
