"""Text that knows where it comes from: fixed words of the document, and what was read from a field of the result.

A sentence is a tuple of both. That every number of a report is one of the result is not a promise, it is how the text
is put together: numbers come in as `Traced` only, and a test walks the document and looks each one up again.
"""

from __future__ import annotations

from dataclasses import dataclass
from string import Formatter
from typing import TypeAlias


@dataclass(frozen=True)
class Said:
    """Fixed words of the document; they hold no number of a result."""

    text: str


@dataclass(frozen=True)
class Traced:
    """What a field says, as it is shown.

    text: as shown. field: the path in `result.json` (keys and indices), or in the scenario where `of` says so. unit:
    the SI unit of a number, None for words. sort: the plain number, for sorting a table; None for words.
    how: what of the field is shown: its 'value', the 'key' or 'keys' that lead to it, the 'count' of what it holds;
    'small' for a value with a power of ten; 'percent' for a share; 'fitting' for one in a unit of its size; of an
    input, too, its 'origin', its 'low' and 'high' end, or the value 'converted'; 'end' for words without their
    beginning; 'hash' for the result's own.
    """

    text: str
    field: tuple[str | int, ...]
    unit: str | None = None
    sort: float | None = None
    how: str = "value"
    of: str = "result.json"

    @property
    def place(self) -> str:
        """The field for a reader: `result.json: elements / drop line / emergency_N`."""
        return f"{self.of}: {' / '.join(str(step) for step in self.field)}"


Span: TypeAlias = Said | Traced
Spans: TypeAlias = tuple[Span, ...]
Piece: TypeAlias = str | Span | Spans
"""What may be put into a sentence: fixed words, one span, or several."""


def say(words: str, **pieces: Piece) -> Spans:
    """A sentence with spans in the places of its braces.

    >>> say("It hangs at {height}.", height=Traced("2.6 m", ("h_m",), "m", 2.6))[1].text
    '2.6 m'

    Raises KeyError where a brace has no piece.
    """
    out: list[Span] = []
    for before, name, _, _ in Formatter().parse(words):
        if before:
            out.append(Said(before))
        if name:
            out.extend(spans(pieces[name]))
    return tuple(out)


def spans(piece: Piece) -> Spans:
    """A piece as spans."""
    if isinstance(piece, str):
        return (Said(piece),) if piece else ()
    return piece if isinstance(piece, tuple) else (piece,)


def joined(pieces: list[Spans], between: str = ", ", last: str | None = None) -> Spans:
    """Several as a list in words.

    >>> plain(joined([(Said("a"),), (Said("b"),), (Said("c"),)], last=" and "))
    'a, b and c'
    """
    out: list[Span] = []
    for i, piece in enumerate(pieces):
        if i:
            out.append(Said(last if last is not None and i == len(pieces) - 1 else between))
        out.extend(piece)
    return tuple(out)


def plain(piece: Piece) -> str:
    """The text alone."""
    return "".join(each.text for each in spans(piece))
