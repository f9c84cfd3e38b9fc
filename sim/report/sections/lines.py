"""What else a rigger asks of each line: what is stored in it, how it sags, and so on. Shown as the result has it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from sim.report.blocks import Block, Column, Paragraph, Table, Tone
from sim.report.source import UNITS_BY_ENDING, Source
from sim.report.spans import Spans, say
from sim.results.lines import Basis


def lines(source: Source) -> Iterator[Block]:
    """For each line one table of its figures, and where they come from; figures only, nothing here is judged."""
    for name, figures in source.result.lines.items():
        rows = [*_rows(source, figures, ("lines", name), ())]
        if rows:
            columns = (Column("figure", share=1.4), Column("value", share=2.6))
            yield Table(columns, tuple(rows), f"What else is asked of the line “{name}”; figures, not judged")
        told = [*_basis(source, figures, ("lines", name))]
        if told:
            yield Table((Column("figure", share=1.0), Column("rests on", share=3.0), Column("status")), tuple(told))
    if not source.result.lines:
        yield Paragraph(say("No further figures of lines are in this result."), Tone.NOTE)


def _rows(
    source: Source, value: Any, field: tuple[str | int, ...], name: tuple[str, ...]
) -> Iterator[tuple[Spans, Spans]]:
    """Every number and sentence below a record, under the words of its fields' names."""
    if value is None or isinstance(value, Basis):
        return
    if is_dataclass(value):
        for each in fields(value):
            yield from _rows(source, getattr(value, each.name), (*field, each.name), (*name, each.name))
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _rows(source, inner, (*field, key), (*name, str(key)))
    elif isinstance(value, tuple):
        for i, inner in enumerate(value):
            which = getattr(inner, "name", None)
            yield from _rows(source, inner, (*field, i), (*name, which) if isinstance(which, str) else name)
    elif isinstance(value, bool):
        yield say(_words(name)), say("yes" if value else "no")
    elif isinstance(value, int | float):
        yield say(_words(name)), (source.fitting(*field),)
    elif isinstance(value, str) and value and name[-1] != "name":
        yield say(_words(name)), (source.words(*field),)


def _words(name: tuple[str, ...]) -> str:
    """`recoil: energy at break per m`: the names of the fields without the unit's ending."""
    last = name[-1]
    ending = next((ending for ending, _ in UNITS_BY_ENDING if last.endswith(ending)), "")
    steps = [*name[:-1], last.removesuffix(ending)]
    return ": ".join(step.replace("_", " ") for step in steps)


def _basis(source: Source, value: Any, field: tuple[str | int, ...]) -> Iterator[tuple[Spans, ...]]:
    if isinstance(value, Basis):
        yield tuple((source.words(*field, key),) for key in ("what", "source", "status"))
    elif is_dataclass(value):
        for each in fields(value):
            yield from _basis(source, getattr(value, each.name), (*field, each.name))
    elif isinstance(value, tuple):
        for i, inner in enumerate(value):
            yield from _basis(source, inner, (*field, i))
