"""A document as one self-contained page: no request leaves it, and whatever a name holds stays text."""

from __future__ import annotations

import json
from dataclasses import asdict
from importlib.resources import files
from typing import Any

from jinja2 import Environment, StrictUndefined

from plots.moving import script
from sim.report.blocks import BLANK, Document, TimeAxis
from sim.report.histories import histories
from sim.report.source import Source
from sim.report.spans import Spans, Traced, plain


def page(document: Document, source: Source) -> str:
    """The page as HTML text."""
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    environment.filters.update(
        plain=plain, kind=_kind, sort_key=_sort_key, blank=lambda cell: cell == BLANK, axes_data=_axes_data
    )
    return environment.from_string(template("report.html")).render(
        document=document,
        style=template("report.css"),
        script=template("report.js"),
        moving=script(),
        histories=histories(source.result, source.look),
    )


def template(name: str) -> str:
    """A file that a report is laid out by."""
    return (files("sim.report") / "templates" / name).read_text(encoding="utf-8")


def _kind(block: Any) -> str:
    return type(block).__name__


def _is_blank(cell: Spans) -> bool:
    return cell == BLANK


def _sort_key(cell: Spans) -> float | None:
    """A table's cell that begins with a number sorts by it."""
    first = cell[0] if cell else None
    return first.sort if isinstance(first, Traced) else None


def _axes_data(axes: tuple[TimeAxis, ...]) -> str:
    return json.dumps([{key: round(value, 6) for key, value in asdict(each).items()} for each in axes])
