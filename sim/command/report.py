"""`stopload report`: a result folder in, the document for a submission out."""

from __future__ import annotations

from pathlib import Path

from sim.command.screen import console
from sim.command.status import Refused
from sim.report.look import Look
from sim.results.whole import whole_file

PDF, HTML = "report.pdf", "report.html"


def report_folder(folder: Path, out: Path | None, look: Look, replace: bool) -> int:
    """Write report.html and report.pdf of the result in `folder` into `out`, or beside it; give the exit status."""
    from sim.report.document import document
    from sim.report.page import page
    from sim.report.paper import paper
    from sim.report.source import read_source

    source = read_source(folder, look)
    into = out or folder.with_name(f"{folder.name}-report")
