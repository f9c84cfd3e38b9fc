"""What else a rigger asks of each line: what is stored in it, how it sags, and so on. Shown as the result has it.

Each line has a heading, each subject a table of its own: its figures one below the other, what it says of several spans
or places one row each, and what it says in a sentence below.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, TypeAlias

from sim.report.blocks import Block, Column, Paragraph, Table, Tone
from sim.report.look import NOTHING
from sim.report.sections.line_words import SEVERAL, SUBJECTS, WORDS
from sim.report.source import Source
from sim.report.spans import Spans, say
from sim.results.lines import Basis

Field: TypeAlias = tuple[str | int, ...]

_SENTENCES = ("says", "retire")


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
    name = str(field[-1])
    what, words = SUBJECTS[name], WORDS[name]
    found = sorted(_rows(source, subject, field, ()), key=lambda row: [*words].index(row[0]))
    rows = [(say(words[key]), cell) for key, cell in found]
    if rows:
        yield Table((Column("figure", share=1.4), Column("value", share=2.6)), tuple(rows), what)
    for each in fields(subject):
        several = getattr(subject, each.name)
        if _has_records(several):
            caption = f"{what}: {SEVERAL[each.name]}"
            yield _row_each(source, several, (*field, each.name), words, caption)
    for each in _SENTENCES:
        if getattr(subject, each, ""):
            yield Paragraph((source.words(*field, each),))


def _rows(source: Source, value: Any, field: Field, name: tuple[str, ...]) -> Iterator[tuple[str, Spans]]:
    """Every number and word below a record, but what has a table or a paragraph of its own, with its fields' names."""
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
            yield ".".join(name), cell


def _has_records(value: Any) -> bool:
    """Whether it holds several of a kind, each with a name."""
    return isinstance(value, tuple) and bool(value) and hasattr(value[0], "name")


def _row_each(source: Source, several: tuple[Any, ...], field: Field, words: Mapping[str, str], caption: str) -> Table:
    """A row for each of several of a kind; what none of them has, has no column."""
    names = [each.name for each in fields(several[0])]
    shown = [name for name in names if any(getattr(each, name) is not None for each in several)]
    columns = tuple(Column(words[name], numbers=name != "name") for name in shown)
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
        return (source.percent(*field) if str(field[-1]).endswith("_share") else source.fitting(*field),)
    return (source.words(*field),) if value else ()


def _basis(source: Source, value: Any, field: Field) -> Iterator[tuple[Spans, ...]]:
    if isinstance(value, Basis):
        yield tuple((source.words(*field, key),) for key in ("what", "source", "status"))
    elif is_dataclass(value):
        for each in fields(value):
            yield from _basis(source, getattr(value, each.name), (*field, each.name))
    elif isinstance(value, tuple):
        for i, inner in enumerate(value):
            yield from _basis(source, inner, (*field, i))
