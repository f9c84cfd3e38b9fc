"""`stopload plot` of a comparison: its variants over one another, drawn anew from their own results."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from shlex import quote

from sim.command.plot import Asked, Drawn, How, drawn, formats_of, named, sheet, unused
from sim.command.screen import console
from sim.command.status import Refused, Status
from sim.command.summary import print_list
from sim.results.comparison import Comparison
from sim.results.comparison_curves import curves_of
from sim.results.comparison_folder import COMPARISON, read_comparison
from sim.results.folder import read_drawable
from sim.results.shown import Units

_KINDS = ("overview", "history", "sweep")
"""What there is of several variants; the other kinds are of one rig, and so of one variant."""


def plot_comparison(folder: Path, asked: Asked, how: How) -> int:
    """Draw what is asked for beside the comparison, or list what there is. Raises Refused, FolderError, OSError."""
    comparison = _with_curves(folder)
    if asked == Asked() and not how.formats:
        _list(folder, comparison)
        return Status.WITHIN
    chosen = _checked(folder, comparison, asked, how)
    return drawn(folder, list(_drawings(comparison, chosen, how.units)), formats_of(how.formats, chosen.kinds), how)


def _with_curves(folder: Path) -> Comparison:
    """The comparison with the curves of every variant that has a result, and which file it is from."""
    read = read_comparison(folder)
    digest = hashlib.sha256((folder / COMPARISON).read_bytes()).hexdigest()
    return replace(
        read,
        curves={each.name: curves_of(read_drawable(folder / each.folder)) for each in read.variants if each.folder},
        stamp={**read.stamp, "result": f"{COMPARISON} sha256 {digest}"},
    )


def _there(comparison: Comparison) -> tuple[list[str], list[str]]:
    """The cases and the stops at every instant that can be drawn over one another."""
    from plots.compare import compared_sweeps
    from plots.compare_history import compared_cases

    return compared_cases(comparison), compared_sweeps(comparison)


def _list(folder: Path, comparison: Comparison) -> None:
    screen, (cases, stops) = console(), _there(comparison)
    screen.print(f"{folder}: {comparison.title}, over {comparison.over}", style="bold", soft_wrap=True)
    folders = [f"{each.name}: {folder / each.folder}" for each in comparison.variants if each.folder]
    print_list(screen, "Cases (--case)", cases)
    print_list(screen, "Stops and failures at every instant (--stop)", stops)
    print_list(screen, "Kinds (--kind); left out, it follows from what is named", [
        "overview: the figures of all variants", "history: one case of all variants over one another",
        "sweep: a stop or failure at every instant, of all variants over one another",
    ])  # fmt: skip
    print_list(screen, "Variants; all other figures are of one of them", folders)
    print_list(screen, "Such as", [
        f"stopload plot {quote(str(folder))} --kind overview --format pdf",
        *(f"stopload plot {quote(str(folder))} --stop {quote(each)} --format pdf,png" for each in stops[:1]),
        *(f"stopload plot {quote(str(folder / each.folder))}" for each in comparison.variants[:1] if each.folder),
    ])  # fmt: skip


def _checked(folder: Path, comparison: Comparison, asked: Asked, how: How) -> Asked:
    """The choice with `all` spelled out and its kinds. Raises Refused with all that a comparison cannot give."""
    wrong: list[str] = []
    single = f"draw one variant, such as {folder / next((v.folder for v in comparison.variants if v.folder), '')}"
    there = ", ".join(_KINDS)
    wrong += [f"A comparison has no kind '{k}'. There are: {there}; for others {single}." for k in asked.kinds
              if k not in _KINDS]  # fmt: skip
    if asked.elements:
        wrong.append(f"--element is for one variant: {single}.")
    if how.size is not None:
        wrong.append(f"--size is for one variant; figures of several are as large as they need: {single}.")
    cases, stops = _there(comparison)
    chosen_cases, chosen_stops = named("case", asked.cases, cases, wrong), named("stop", asked.stops, stops, wrong)
    named_kinds = [kind for kind, names in (("history", chosen_cases), ("sweep", chosen_stops)) if names]
    kinds = asked.kinds or tuple(named_kinds) or _KINDS
    wrong += unused(kinds, {"--case": chosen_cases, "--stop": chosen_stops})
    if wrong:
        raise Refused(*wrong)
    return Asked(tuple(dict.fromkeys(kinds)), chosen_cases or tuple(cases), (), chosen_stops or tuple(stops))


def _drawings(comparison: Comparison, asked: Asked, units: Units) -> Iterator[Drawn]:
    import plots

    title = comparison.title
    if "overview" in asked.kinds:
        draw = partial(plots.overview_figure, comparison, units)
        yield Drawn("overview", "overview", sheet(draw, f"{title}: variants compared"))
    for kind, names, figure in (
        ("history", asked.cases, plots.compare_history_figure),
        ("sweep", asked.stops, plots.compare_figure),
    ):
        for name in names if kind in asked.kinds else ():
            of = f"{title}: {name}, variants compared"
            yield Drawn(kind, f"compared {name}", sheet(partial(figure, comparison, name, units), of))
