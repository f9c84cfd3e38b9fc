"""What else a rigger asks of each line: all of it, under the line it is of, with words that tell figures apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any, get_args, get_origin, get_type_hints

import pytest

from sim.report.blocks import Block, Paragraph, Table, Tone
from sim.report.look import Look
from sim.report.sections.line_words import WORDS
from sim.report.sections.lines import lines
from sim.report.source import Source, read_source
from sim.report.spans import Span, Traced, plain
from sim.results.lines import Basis, LineFigures, OwnWeight
from tests.report.made import made_up_folder


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Source:
    return read_source(made_up_folder(tmp_path_factory.mktemp("lines")), Look())


def _spans(block: Block) -> Iterator[Span]:
    if isinstance(block, Paragraph):
        yield from block.words
    elif isinstance(block, Table):
        for row in block.rows:
            for cell in row:
                yield from cell


def _leaves(value: Any, field: tuple[str | int, ...]) -> Iterator[tuple[str | int, ...]]:
    """Every number and every text in the file below a field, but yes and no, which are words of the document."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _leaves(inner, (*field, key))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from _leaves(inner, (*field, i))
    elif value not in (None, "") and not isinstance(value, bool):
        yield field


def test_every_figure_of_every_line_stands_once_under_its_heading(source: Source) -> None:
    of, shown = "", dict[str, list[tuple[str | int, ...]]]()
    for block in lines(source):
        if isinstance(block, Paragraph) and block.tone is Tone.HEADING:
            of = next(str(span.field[1]) for span in block.words if isinstance(span, Traced))
            shown[of] = []
        shown[of] += [span.field for span in _spans(block) if isinstance(span, Traced) and span.how != "key"]
    assert list(shown) == list(source.data["lines"])
    for name, figures in source.data["lines"].items():
        assert Counter(shown[name]) == Counter(_leaves(figures, ("lines", name)))


def test_no_two_rows_of_a_table_of_figures_have_the_same_words(source: Source) -> None:
    tables = [block for block in lines(source) if isinstance(block, Table)]
    assert len(tables) > 8
    for table in tables:
        if table.columns[-1].head == "value":
            words = [plain(row[0]) for row in table.rows]
            assert len(words) == len(set(words)), words


def test_every_field_of_every_subject_has_words() -> None:
    """A new figure without words would end a report: none is left to its field's name."""
    for subject in fields(LineFigures):
        kind = next((t for t in get_args(get_type_hints(LineFigures)[subject.name]) if is_dataclass(t)), None)
        if subject.name in ("type", "missing", "own_weight"):
            continue
        assert kind is not None
        assert set(_named(kind)) <= set(WORDS[subject.name]), subject.name
    assert set(_named(OwnWeight)) <= set(WORDS["own_weight"])
    assert all(len(set(words.values())) == len(words) for words in WORDS.values())


def _named(kind: Any, before: str = "") -> Iterator[str]:
    """The fields of a record that are shown, those of a record in it after its name, those of records by themselves."""
    for name, of in get_type_hints(kind).items():
        inner = [t for t in (of, *get_args(of)) if is_dataclass(t) and t is not Basis]
        if name in ("says", "retire", "basis"):
            continue
        if not inner:
            yield before + name
        elif get_origin(of) is tuple:
            yield from _named(inner[0])
        else:
            yield from _named(inner[0], f"{name}.")


def test_shares_are_percentages(source: Source) -> None:
    told = {plain(row[0]): plain(row[1]) for block in lines(source) if isinstance(block, Table) for row in block.rows}
    assert any(words.endswith("of body weight") and cell.endswith("\u00a0%") for words, cell in told.items())
