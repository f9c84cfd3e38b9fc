"""`stopload diff`: what differs between two result folders, as a table, worst first, and in figures."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

from sim.command.difference_page import print_differences
from sim.command.screen import console, progress
from sim.command.status import Refused, Status
from sim.results.difference import Level, Same
from sim.results.difference_folder import difference_folder, finish_difference, refuse_difference_early
from sim.results.folder import PLOTS
from sim.results.kept import Kept, read_kept
from sim.results.shown import Units
from sim.results.two_results import Compared

SAME_WORDS = {"exact": Level.EXACT, "alike": Level.ALIKE, "claimed": Level.ACCURACY}
"""What `--same` takes beside a number."""


@dataclass(frozen=True)
class Shown:
    """How differences are shown. same: as typed. yes: run again what takes hours, too."""

    units: Units = Units.SI
    png: bool = False
    quiet: bool = False
    same: str = "claimed"
    yes: bool = False


def diff_folders(first: Path, second: Path, out: Path | None, overwrite: bool, how: Shown) -> int:
    """Compare two result folders, print what differs, write it where asked, give 0 for the same and 1 for different."""
    from sim.studies.differ import compared, names_of

    same = asked_same(how.same)
    if out is not None:
        refuse_difference_early(out, overwrite)
    with progress() as tell:
        if tell is not None:
            tell("reading and comparing", 0, 1)
        one, other, names = read_kept(first), read_kept(second), names_of(first, second)
        found = compared(one, other, names, same)
        if out is not None:
            with difference_folder(out, overwrite) as part:
                draw_differences(found, (one, other), part, how)
                finish_difference(part, found)
    print_differences(console(), found, how.units, out, how.quiet)
    return status_of(found)


def draw_differences(found: Compared, kept: tuple[Kept, Kept], part: Path, how: Shown) -> None:
    """Write the figures; where both results are the same there is nothing to draw over one another."""
    from plots import write_difference_plots
    from sim.studies.differ import curves_of

    curves = None if found.same else curves_of(*kept, (found.first.name, found.second.name))
    write_difference_plots(found, curves, part / PLOTS, how.units, how.png)


def status_of(compared: Compared) -> int:
    """0 where the two are the same, 1 where they differ or one of them was altered."""
    return Status.WITHIN if compared.same else Status.OUTSIDE


def asked_same(text: str) -> Same:
    """What counts as the same, as typed: a word or the largest relative difference. Raises Refused.

    >>> asked_same("1e-6").relative
    1e-06
    """
    if text in SAME_WORDS:
        return Same(SAME_WORDS[text])
    try:
        relative = float(text)
    except ValueError:
        relative = math.nan
    if not 0.0 <= relative < 1.0:
        words = ", ".join(SAME_WORDS)
        raise Refused(f"--same {text}: one of {words}, or the largest relative difference, from 0 to 1, such as 1e-6.")
    return Same(Level.ALIKE, relative)
