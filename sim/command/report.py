"""`stopload report`: a result folder in, the document for a submission out."""

from __future__ import annotations

import sys
from pathlib import Path

from sim.command.screen import console, progress
from sim.command.status import Refused, Status
from sim.report.look import Look
from sim.results.cautions import SHORT
from sim.results.whole import FolderError, refuse_file_there, write_whole

ENDINGS = (".pdf", ".html")


def report_folder(folder: Path, out: Path | None, look: Look, replace: bool) -> int:
    """Write the report on the result in `folder` as PDF and as page; give the exit status.

    out: None for both beside the folder, a file ending in .pdf or .html for that one, else a folder for both.
    Raises Refused where there is no result, or a report is there already and `replace` is not said.
    """
    files = _files(folder, out)
    try:
        for file in files:
            refuse_file_there(file, replace)
        made, undrawn = _made(folder, look, {file.suffix for file in files})
        for file in files:
            write_whole(file, made[file.suffix], replace)
    except FolderError as trouble:
        raise Refused(f"{trouble}.", status=Status.INPUT) from trouble
    screen = console()
    for file in files:
        screen.print(f"Report: {file} ({file.stat().st_size / 1e6:.1f} MB)", soft_wrap=True)
    screen.print(SHORT)
    for each in undrawn:
        console(sys.stderr).print(
            f"A figure is missing in the report, as it could not be drawn: {each}", soft_wrap=True
        )
    return Status.UNFINISHED if undrawn else Status.WITHIN


def _files(folder: Path, out: Path | None) -> list[Path]:
    if out is not None and out.suffix.lower() in ENDINGS:
        return [out.with_suffix(out.suffix.lower())]
    name = f"{Path(folder.resolve()).name}-report"
    into = folder.parent if out is None else out
    return [into / f"{name}{ending}" for ending in ENDINGS]


def _made(folder: Path, look: Look, endings: set[str]) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """The report's bytes by ending, and the figures that are missing in it."""
    from sim.report.drawers import drawers

    with progress() as tell, drawers() as draw:
        if tell is not None:
            tell("reading the result", 0, 1)
        from sim.report.document import document
        from sim.report.page import page
        from sim.report.paper import paper
        from sim.report.source import read_source

        source = read_source(folder, look)
        content = document(source, tell, draw=draw)
        made: dict[str, bytes] = {}
        if tell is not None:
            tell("setting the pages", 0, 1)
        if ".html" in endings:
            made[".html"] = page(content, source).encode("utf-8")
        if ".pdf" in endings:
            made[".pdf"] = paper(content, look)
    return made, content.undrawn
