"""The terminal: where text goes, how wide it may be, and progress that is silent when nobody watches."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO, cast

from rich.console import Console

Tell = Callable[[str, int, int], None]
"""tell(what, done, total): what is being worked on, and how much of it is done."""

_WIDTH_UNWATCHED = 120
_NARROWEST = 60
_ESTIMATED_OVER_S = 1800.0
"""What is done in this time tells how long the rest takes: a line type tried may take minutes."""


def console(stream: TextIO | None = None) -> Console:
    """A console on `stream` (stdout if None) that takes every text literally: names in a scenario are no markup."""
    stream = stream or cast(TextIO, sys.stdout)
    width = None if stream.isatty() else _WIDTH_UNWATCHED
    made = Console(file=stream, width=width, markup=False, highlight=False, emoji=False)
    made.width = max(made.width, _NARROWEST)
    return made


@contextmanager
def progress() -> Iterator[Tell | None]:
    """Give a function that shows progress with the time left, on stderr; None where stderr is no terminal."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        Progress,
        TextColumn,
        TimeElapsedColumn,
        TimeRemainingColumn,
    )

    columns = (
        TextColumn("{task.description}", markup=False),
        BarColumn(bar_width=30),
        MofNCompleteColumn(),
        TimeElapsedColumn(),
        TextColumn("left:"),
        TimeRemainingColumn(),
    )
    shows = Progress(*columns, console=console(sys.stderr), transient=True, speed_estimate_period=_ESTIMATED_OVER_S)
    with shows as shown:
        task, now = shown.add_task("starting", total=None), ""

        def tell(what: str, done: int, total: int) -> None:
            nonlocal now
            unknown = total <= 1  # one thing to do: no telling how much of it is done
            if what != now:
                now = what
                shown.reset(task, description=what, total=None if unknown else total)
            shown.update(task, completed=done, total=None if unknown else total)

        yield tell


def tolerant_output() -> None:
    """Let a terminal that lacks a sign (², –) show a question mark instead of ending the program."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
