"""What a document is made of: sections of paragraphs, lists, tables and pictures. No layout."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypeAlias

from sim.report.spans import Said, Spans, plain


class Tone(StrEnum):
    """How a paragraph or list is meant."""

    PLAIN = "plain"
    HEADING = "heading"  # of a part of a section
    VERDICT = "verdict"  # what it all comes to
    LEAD = "lead"  # a line that leads over to a list
    LOUD = "loud"  # outside a limit, not judged, not finished: must not be overlooked
    NOTE = "note"  # small print beside a table or figure


@dataclass(frozen=True)
class Paragraph:
    """One paragraph."""

    words: Spans
    tone: Tone = Tone.PLAIN


@dataclass(frozen=True)
class Bullets:
    """A list."""

    items: tuple[Spans, ...]
    tone: Tone = Tone.PLAIN


@dataclass(frozen=True)
class Column:
    """A column of a table: its head, whether it holds numbers, and its share of the width (words only)."""

    head: str
    numbers: bool = False
    share: float = 1.0


BLANK: Spans = (Said(""),)
"""An empty field, to be written in by hand."""


@dataclass(frozen=True)
class Table:
    """A table; rows that are `loud` are outside a limit or not judged. to_fill_in: it has blank fields."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Spans, ...], ...]
    caption: str = ""
    loud: frozenset[int] = frozenset()
    to_fill_in: bool = False


@dataclass(frozen=True)
class TimeAxis:
    """One pair of axes of a picture, as fractions of its size from the left and from the top, and its span of time."""

    left: float
    top: float
    width: float
    height: float
    from_s: float
    to_s: float


@dataclass(frozen=True)
class Moving:
    """The rig drawing of a case, moving with the page's time cursor: SVG markup, and the data by which it moves."""

    svg: str
    data: str


@dataclass(frozen=True)
class Picture:
    """A figure as SVG markup, what it shows in words for who cannot see it, and where its time axes lie.

    over: 'time' where the axes are those of one case's history (`case`), 'stop' where of the stop's instant.
    moving: the rig drawing that moves beside it on a page; paper has none.
    """

    name: str
    svg: str
    alternative: Spans
    caption: Spans
    width_in: float
    height_in: float
    axes: tuple[TimeAxis, ...] = ()
    over: str = ""
    case: str = ""
    moving: Moving | None = None


Block: TypeAlias = Paragraph | Bullets | Table | Picture


@dataclass(frozen=True)
class Section:
    """A titled part of the document. new_page: on paper, it begins a page."""

    title: str
    blocks: tuple[Block, ...]
    new_page: bool = False


@dataclass(frozen=True)
class Document:
    """A whole report. front: what stands on the first page, before the sections. foot: on every page."""

    title: Spans
    subtitle: Spans
    running_head: Spans
    front: tuple[Block, ...]
    sections: tuple[Section, ...]
    foot: str
    facts: dict[str, str] = field(default_factory=dict)
    """For the file's own properties: title, author, subject."""
    undrawn: tuple[str, ...] = ()
    """The figures that could not be drawn, and why; a sentence stands in the place of each."""


def all_blocks(document: Document) -> Iterator[Block]:
    """Every block, in order."""
    yield from document.front
    for section in document.sections:
        yield from section.blocks


def all_sentences(document: Document) -> Iterator[Spans]:
    """Everything a document says, sentence by sentence and cell by cell."""
    yield from (document.title, document.subtitle, document.running_head)
    for block in all_blocks(document):
        if isinstance(block, Paragraph):
            yield block.words
        elif isinstance(block, Bullets):
            yield from block.items
        elif isinstance(block, Table):
            for row in block.rows:
                yield from row
        else:
            yield from (block.alternative, block.caption)


def all_words(document: Document) -> str:
    """The same as one text."""
    return " ".join(plain(sentence) for sentence in all_sentences(document))
