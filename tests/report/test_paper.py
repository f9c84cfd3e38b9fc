"""The PDF: whole pages, fonts inside, its text to be extracted and the same as the document's."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from pypdf import PdfReader

from sim.report.document import document
from sim.report.look import Look, Mark, Paper
from sim.report.paper import _text, paper
from sim.report.source import read_source
from sim.report.spans import Said, Traced, plain
from sim.results.cautions import FULL, SHORT
from sim.results.shown import Units
from tests.report.made import all_spans, demo_folder, made_up_folder

POINTS = {Paper.A4: (595.3, 841.9), Paper.LETTER: (612.0, 792.0)}


def _read(folder: Path, look: Look, drawn: bool = False) -> tuple[PdfReader, str]:
    content = document(read_source(folder, look), drawn=drawn)
    pages = PdfReader(io.BytesIO(paper(content, look)))
    return pages, _plain(" ".join(page.extract_text() for page in pages.pages))


def _plain(text: str) -> str:
    """Without what only lays out: blanks, and places where a word may be broken."""
    return "".join(text.replace("\u200b", "").replace("\u00ad", "").replace("-\n", "-").split())


@pytest.mark.parametrize(
    "look", [Look(), Look(Units.US, Mark.POINT, Paper.LETTER), Look(mark=Mark.COMMA)], ids=["si", "us", "comma"]
)
def test_every_number_of_the_document_stands_in_the_pdf(look: Look, tmp_path: Path) -> None:
    folder = made_up_folder(tmp_path)
    pages, text = _read(folder, look)
    for span in all_spans(document(read_source(folder, look), drawn=False)):
        if isinstance(span, Traced) and span.unit is not None:
            assert _plain(span.text) in text, span
    for page in pages.pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(POINTS[look.paper], abs=0.5)


def test_each_page_has_its_number_title_and_caution_and_fonts_are_inside(tmp_path: Path) -> None:
    folder = demo_folder("stonemasons-fall", tmp_path)
    pages, text = _read(folder, Look(), drawn=True)
    source = read_source(folder, Look())
    for number, page in enumerate(pages.pages, 1):
        told = _plain(page.extract_text())
        assert f"Page{number}of{len(pages.pages)}" in told
        assert _plain(source.result.title) in told
        assert source.digest[:12] in told
        assert _plain(SHORT) in told
        for font in page.get("/Resources", {}).get("/Font", {}).values():
            assert _is_embedded(font.get_object())
    assert all(_plain(sentence) in _plain(pages.pages[0].extract_text()) for sentence in FULL)
    assert pages.metadata is not None
    assert pages.metadata.title == source.result.title
    assert "Tension" in text  # of the figures' own words: they are text, not pictures of it


def test_a_result_gives_the_same_document_each_time(tmp_path: Path) -> None:
    folder = made_up_folder(tmp_path)
    content = document(read_source(folder, Look()))
    again = document(read_source(folder, Look()))
    assert content == again
    assert plain(content.title) == "The lamplighter's drop"


def _is_embedded(font: dict) -> bool:
    for inner in font.get("/DescendantFonts", [font]):
        descriptor = inner.get_object().get("/FontDescriptor")
        if descriptor is None or not {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor.get_object()):
            return False
    return True


def test_long_words_keep_pieces_that_can_be_searched_for_and_copied() -> None:
    """A break between every two letters made `breaking_strength` and hashes impossible to find in a PDF."""
    told = {"breaking_strength": "breaking_|strength", "0123456789abcdef01": "01234567|89abcdef|01", "short": "short"}
    for word, pieces in told.items():
        assert _text((Said(word),)).split("\u200b") == pieces.split("|")
    assert _text((Said("/" * 20 + "x--y" * 5),)).replace("\u200b", "") == "/" * 20 + "x--y" * 5
