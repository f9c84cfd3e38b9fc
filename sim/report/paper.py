"""A document on paper, as PDF: typeset from its content as plain data, so that whatever a name holds stays text."""

from __future__ import annotations

import json
import re
import tempfile
from pathlib import Path
from typing import Any

import typst

from plots.page import letters_without_font
from sim.report.blocks import BLANK, Block, Bullets, Document, Paragraph, Picture, Table, all_words
from sim.report.look import Look, Paper
from sim.report.page import template
from sim.report.spans import Spans, plain

_PAPER = {Paper.A4: "a4", Paper.LETTER: "us-letter"}
_UNBROKEN = re.compile(r"\S{16,}")
_PIECE = re.compile(r"[^_/.:-]{1,8}[_/.:-]?|[_/.:-]")
"""What of a long word is kept together, so that most of it can be searched for and copied: to a mark, or 8 letters."""
_ZERO_WIDTH_SPACE = "\u200b"


def paper(document: Document, look: Look) -> bytes:
    """The document as PDF. Raises OSError where the disk is full, RuntimeError where it cannot be typeset."""
    with tempfile.TemporaryDirectory(prefix="stopload-") as folder:
        root = Path(folder)
        (root / "report.typ").write_text(template("report.typ"), encoding="utf-8")
        (root / "data.json").write_text(json.dumps(_data(document, look, root)), encoding="utf-8")
        return typst.compile(str(root / "report.typ"), root=folder, font_paths=[str(_fonts())])


def _fonts() -> Path:
    """The fonts the figures are drawn with, which come with the drawing library."""
    from matplotlib import get_data_path

    return Path(get_data_path()) / "fonts" / "ttf"


def _data(document: Document, look: Look, root: Path) -> dict[str, Any]:
    return {
        "paper": _PAPER[look.paper],
        "facts": document.facts,
        "title": _text(document.title),
        "subtitle": _text(document.subtitle),
        "running_head": plain(document.running_head),
        "foot": document.foot,
        "front": [*_letters_missing(document), *(_block(each, root) for each in document.front)],
        "sections": [
            {
                "title": section.title,
                "new_page": section.new_page,
                "blocks": [_block(each, root) for each in section.blocks],
            }
            for section in document.sections
        ],
    }


def _letters_missing(document: Document) -> list[dict[str, Any]]:
    """A sentence on the letters that no font here has; the page shows them with its reader's own fonts."""
    missing = letters_without_font(all_words(document))
    if not missing:
        return []
    words = (
        "Boxes stand for letters that no font on the machine had that made this PDF; the report as a page shows them. "
        f"They are {len(missing)} different ones."
    )
    return [{"kind": "Paragraph", "tone": "note", "words": words}]


def _block(block: Block, root: Path) -> dict[str, Any]:
    kind = {"kind": type(block).__name__}
    if isinstance(block, Paragraph):
        return {**kind, "tone": block.tone.value, "words": _text(block.words)}
    if isinstance(block, Bullets):
        return {**kind, "tone": block.tone.value, "items": [_text(item) for item in block.items]}
    if isinstance(block, Table):
        return {
            **kind,
            "columns": [{"head": c.head, "numbers": c.numbers, "share": c.share} for c in block.columns],
            "rows": [[None if cell == BLANK else _text(cell) for cell in row] for row in block.rows],
            "caption": block.caption,
            "loud": sorted(block.loud),
            "to_fill_in": block.to_fill_in,
        }
    return {**kind, **_picture(block, root)}


def _picture(picture: Picture, root: Path) -> dict[str, Any]:
    file = f"{picture.name}.svg"
    (root / file).write_text(picture.svg, encoding="utf-8")
    return {
        "file": file,
        "alternative": plain(picture.alternative),
        "caption": _text(picture.caption),
        "width_in": picture.width_in,
        "height_in": picture.height_in,
    }


def _text(spans: Spans) -> str:
    """The words, with places where a long one may be broken, so that no table is wider than the paper."""
    return _UNBROKEN.sub(lambda word: _ZERO_WIDTH_SPACE.join(_PIECE.findall(word[0])), plain(spans))
