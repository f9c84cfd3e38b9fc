"""What else a rigger asks of each line: what is stored in it, how it sags, and so on. Shown as the result has it.

Each line has a heading, each subject a table of its own: its figures one below the other, what it says of several spans
or places one row each, and what it says in a sentence below.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, TypeAlias

from sim.report.blocks import Block, Column, Paragraph, Table, Tone
from sim.report.look import NOTHING
from sim.report.source import UNITS_BY_ENDING, Source
from sim.report.spans import Spans, say
from sim.results.lines import Basis

Field: TypeAlias = tuple[str | int, ...]

_SENTENCES = ("says", "retire")
_SMALL_SHARE = 0.1
"""Shares below this are shown with a power of ten, since two decimals would not show them."""
_WORDS = {"D to d": "D:d"}
_APART = {"J/m": "per metre", "J": "in all", "kg": "mass", "m": "length", "N": "force"}
"""Tells fields apart that differ in their unit only."""


def lines(source: Source) -> Iterator[Block]:
    """For each line its figures by subject, and where they come from; figures only, nothing here is judged."""
    for name, figures in source.result.lines.items():
        field: Field = ("lines", name)
        head = say("{line}, {type}", line=source.key(*field), type=source.words(*field, "type"))
        yield Paragraph(head, Tone.HEADING)
        yield Paragraph(say("Figures beside the verdict; nothing here is judged."), Tone.NOTE)
        for each in fields(figures):
            subject = getattr(figures, each.name)
            if is_dataclass(subject):
                yield from _subject(source, subject, (*field, each.name))
        for i in range(len(figures.missing)):
            yield Paragraph((source.words(*field, "missing", i),), Tone.NOTE)
        told = [*_basis(source, figures, field)]
        if told:
            columns = (Column("figure", share=1.0), Column("rests on", share=3.0), Column("status"))
            yield Table(columns, tuple(told), f"What the figures of the line “{name}” rest on")
    if not source.result.lines:
        yield Paragraph(say("No further figures of lines are in this result."), Tone.NOTE)


def _subject(source: Source, subject: Any, field: Field) -> Iterator[Block]:
    """One subject of a line."""
    what = _words(str(field[-1])).capitalize()
    rows = [*_rows(source, subject, field, ())]
    if rows:
        columns = (Column("figure", share=1.4), Column("value", share=2.6))
        yield Table(columns, tuple((say(words), cell) for words, cell in _told_apart(rows)), what)
    for each in fields(subject):
        several = getattr(subject, each.name)
        if _has_records(several):
            yield _row_each(source, several, (*field, each.name), f"{what}: {_words(each.name)}")
    for each in _SENTENCES:
        if getattr(subject, each, ""):
            yield Paragraph((source.words(*field, each),))


_Row: TypeAlias = tuple[tuple[str, ...], str, Spans]
"""The names of the fields that lead there, its unit, and what is shown."""


def _rows(source: Source, value: Any, field: Field, name: tuple[str, ...]) -> Iterator[_Row]:
    """Every number and word below a record, but what has a table or a paragraph of its own."""
    if value is None or isinstance(value, Basis) or _has_records(value):
        return
    if is_dataclass(value):
        for each in fields(value):
            if each.name not in _SENTENCES:
                yield from _rows(source, getattr(value, each.name), (*field, each.name), (*name, each.name))
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _rows(source, inner, (*field, key), (*name, str(key)))
    elif isinstance(value, tuple):
        for i, inner in enumerate(value):
            yield from _rows(source, inner, (*field, i), name)
    else:
        cell = _cell(source, value, field)
        if cell:
            yield name, _unit(name[-1]), cell


def _has_records(value: Any) -> bool:
    """Whether it holds several of a kind, each with a name."""
    return isinstance(value, tuple) and bool(value) and hasattr(value[0], "name")


def _row_each(source: Source, several: tuple[Any, ...], field: Field, caption: str) -> Table:
    """A row for each of several of a kind; what none of them has, has no column."""
    names = [each.name for each in fields(several[0])]
    shown = [name for name in names if any(getattr(each, name) is not None for each in several)]
    columns = tuple(Column(_words(name), numbers=name != "name") for name in shown)
    rows = tuple(
        tuple(_cell(source, getattr(each, name), (*field, i, name)) or say(NOTHING) for name in shown)
        for i, each in enumerate(several)
    )
    return Table(columns, rows, caption)


def _cell(source: Source, value: Any, field: Field) -> Spans:
    """A value as it is shown; nothing for none."""
    if isinstance(value, bool):
        return say("yes" if value else "no")
    if isinstance(value, int | float):
        small = str(field[-1]).endswith("_share") and 0.0 < abs(value) < _SMALL_SHARE
        return (source.small(*field) if small else source.fitting(*field),)
    return (source.words(*field),) if value else ()


def _told_apart(rows: list[_Row]) -> list[tuple[str, Spans]]:
    """The rows with words for their fields; where two have the same words, with what their units are of."""
    words = [": ".join(_words(step) for step in name) for name, _, _ in rows]
    times = Counter(words)
    return [
        (f"{each}, {_APART[unit]}" if times[each] > 1 and unit in _APART else each, cell)
        for each, (_, unit, cell) in zip(words, rows, strict=True)
    ]


def _unit(name: str) -> str:
    return next((unit for ending, unit in UNITS_BY_ENDING if name.endswith(ending)), "")


def _words(name: str) -> str:
    """`energy at break`: a field's name without the unit's ending."""
    ending = next((ending for ending, _ in UNITS_BY_ENDING if name.endswith(ending)), "")
    words = name.removesuffix(ending).replace("_", " ")
    return _WORDS.get(words, words)


def _basis(source: Source, value: Any, field: Field) -> Iterator[tuple[Spans, ...]]:
    if isinstance(value, Basis):
        yield tuple((source.words(*field, key),) for key in ("what", "source", "status"))
    elif is_dataclass(value):
        for each in fields(value):
            yield from _basis(source, getattr(value, each.name), (*field, each.name))
    elif isinstance(value, tuple):
        for i, inner in enumerate(value):
            yield from _basis(source, inner, (*field, i))
