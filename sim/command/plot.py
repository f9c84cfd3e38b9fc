"""`stopload plot`: single figures from a result folder, for attaching alone; without a choice, what there is."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

from sim.command.screen import console
from sim.command.status import Refused, Status
from sim.command.summary import print_list
from sim.results.cautions import SHORT
from sim.results.comparison_folder import COMPARISON
from sim.results.filenames import file_names
from sim.results.folder import read_drawable
from sim.results.model import Result
from sim.results.shown import Units

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from plots.page import Size

KINDS = ("rig", "history", "cases", "sweep")
FORMATS = ("svg", "pdf", "png")
ALL = "all"
_INCHES = {"mm": 1 / 25.4, "cm": 1 / 2.54, "in": 1.0}
_PAPER_MM = {"a3": (297.0, 420.0), "a4": (210.0, 297.0), "a5": (148.0, 210.0), "letter": (215.9, 279.4)}
_LENGTH = re.compile(r"(\d+(?:\.\d+)?)\s*(mm|cm|in)?")
_LEAST_IN, _MOST_IN = 2.0, 100.0


@dataclass(frozen=True)
class Asked:
    """What to draw, as typed. Empty: not chosen."""

    kinds: tuple[str, ...] = ()
    cases: tuple[str, ...] = ()
    elements: tuple[str, ...] = ()
    stops: tuple[str, ...] = ()


@dataclass(frozen=True)
class How:
    """How it is drawn and where it goes."""

    formats: tuple[str, ...] = ()
    size: str | None = None
    units: Units = Units.SI
    out: Path | None = None


Drawn = tuple[str, str, Callable[[], "Figure"]]
"""File name without ending, title, and what draws the figure."""


def plot_folder(folder: Path, asked: Asked, how: How) -> int:
    """Draw what is asked for beside the result folder, or list what there is. Raises Refused, FolderError, OSError."""
    if (folder / COMPARISON).is_file():
        raise Refused(f"{folder} is a comparison; name the folder of one of its variants.")
    result = read_drawable(folder)
    if asked == Asked():
        _list(folder, result)
        return Status.WITHIN
    chosen = _checked(result, asked)
    formats, size = _formats(how.formats), parse_size(how.size)
    out = how.out or folder.absolute().with_name(f"{folder.absolute().name}-plots")
    written = _write(list(_figures(result, chosen, how.units, size)), formats, out)
    screen = console()
    for path in written:
        screen.print(str(path), soft_wrap=True)
    screen.print(SHORT)
    return Status.WITHIN


# --- what there is --------------------------------------------------------------------------------------------------


def _list(folder: Path, result: Result) -> None:
    from plots.chosen import things_of

    screen = console()
    screen.print(f"{folder}: {result.title}", style="bold", soft_wrap=True)
    print_list(screen, "Cases (--case)", [name for name in result.cases if name in result.traces])
    print_list(screen, "Stops and failures at every instant (--stop)", list(result.sweeps))
    print_list(screen, "Elements and performers (--element)", things_of(result))
    print_list(
        screen,
        "Kinds (--kind); left out, it follows from what is named",
        [
            "rig: the rig to scale with the largest forces",
            "history: one case over time, of the elements named or of all",
            "cases: the elements named, all cases named over one another",
            "sweep: a stop or failure at every instant",
        ],
    )
    print_list(
        screen,
        "Such as",
        [
            f"stopload plot {quote(str(folder))} --kind rig --size A4 --format pdf",
            *(f"stopload plot {quote(str(folder))} --element {quote(n)}" for n in list(result.elements)[:1]),
            *(
                f"stopload plot {quote(str(folder))} --case {quote(n)} --format svg,png"
                for n in list(result.traces)[:1]
            ),
        ],
    )


# --- what is asked --------------------------------------------------------------------------------------------------


def _checked(result: Result, asked: Asked) -> Asked:
    """The choice with `all` spelled out and its kinds. Raises Refused with every name that is not there."""
    from plots.chosen import things_of

    wrong: list[str] = []
    wrong += [f"There is no kind '{k}'. There are: {', '.join(KINDS)}." for k in asked.kinds if k not in KINDS]
    cases = _named("case", asked.cases, [name for name in result.cases if name in result.traces], wrong)
    stops = _named("stop at every instant", asked.stops, list(result.sweeps), wrong)
    things = _named("element or performer", asked.elements, things_of(result), wrong)
    kinds = asked.kinds or _kinds(cases, stops, things)
    if "sweep" in kinds and not result.sweeps:
        wrong.append("This result has no stop or failure at every instant.")
    if "cases" in kinds and not things:
        wrong.append("Name the elements or performers to draw over one another, with --element.")
    if wrong:
        raise Refused(*wrong)
    return Asked(tuple(dict.fromkeys(kinds)), cases, things, stops)


def _named(what: str, names: Sequence[str], there: Collection[str], wrong: list[str]) -> tuple[str, ...]:
    if ALL in names and ALL not in there:
        return tuple(there)
    for name in names:
        if name not in there:
            wrong.append(f"There is no {what} '{name}'. There are: {', '.join(there) or 'none'}.")
    return tuple(dict.fromkeys(names))


def _kinds(cases: Sequence[str], stops: Sequence[str], things: Sequence[str]) -> list[str]:
    """One case is a history, elements in several cases lie over one another, a stop is a sweep."""
    kinds = ["sweep"] if stops else []
    if things and len(cases) != 1 and (cases or not stops):
        return ["cases", *kinds]
    return ["history", *kinds] if cases else kinds


def _formats(formats: Sequence[str]) -> tuple[str, ...]:
    given = [each.strip().lower() for text in formats for each in text.split(",")]
    wrong = [each for each in given if each not in FORMATS]
    if wrong:
        raise Refused(*(f"There is no format '{each}'. There are: {', '.join(FORMATS)}." for each in wrong))
    return tuple(dict.fromkeys(given)) or ("svg",)


def parse_size(text: str | None) -> Size | None:
    """A sheet: 'A4', 'A4 landscape', 'letter', '160 mm' (as high as needed) or '160 x 100 mm'. Raises Refused.

    >>> parse_size("6 in").width_in
    6.0
    """
    if text is None:
        return None
    from plots.page import Size

    name, _, turned = text.strip().lower().partition(" ")
    if name in _PAPER_MM and turned in ("", "landscape", "portrait"):
        width, height = (mm * _INCHES["mm"] for mm in _PAPER_MM[name])
        return Size(height, width) if turned == "landscape" else Size(width, height)
    matches = [_LENGTH.fullmatch(part.strip()) for part in text.lower().replace("×", "x").split("x")]
    if 1 <= len(matches) <= 2 and all(matches) and matches[-1] is not None and matches[-1][2]:
        unit = matches[-1][2]
        inches = [float(m[1]) * _INCHES[m[2] or unit] for m in matches if m is not None]
        if all(_LEAST_IN <= each <= _MOST_IN for each in inches):
            return Size(*inches)
        raise Refused(f"--size '{text}': expected 50 mm to 2.5 m each way.")
    raise Refused(f"--size '{text}': expected such as A4, 'A4 landscape', letter, '160 mm' or '160 x 100 mm'.")


# --- drawing --------------------------------------------------------------------------------------------------------


def _figures(result: Result, asked: Asked, units: Units, size: Size | None) -> Iterator[Drawn]:
    import plots

    title, things = result.title, asked.elements
    of = f"{', '.join(things)}, " if things else ""
    if "rig" in asked.kinds:
        yield "rig", f"{title}: rig", partial(plots.rig_figure, result.drawing, result, units=units, size=size)
    for name in (asked.cases or tuple(result.traces)) if "history" in asked.kinds else ():
        draw = partial(plots.history_figure, result, name, units, things, size)
        yield f"history {of}{name}", f"{title}: {of}{name}", draw
    if "cases" in asked.kinds:
        draw = partial(plots.cases_figure, result, things, asked.cases, units, size)
        yield f"cases {', '.join(things)}", f"{title}: {', '.join(things)}", draw
    for name in (asked.stops or tuple(result.sweeps)) if "sweep" in asked.kinds else ():
        draw = partial(plots.sweep_figure, result, name, units, things, size)
        yield f"sweep {of}{name}", f"{title}: {of}{name}, every instant", draw


def _write(figures: Sequence[Drawn], formats: Sequence[str], out: Path) -> list[Path]:
    """All figures as files; what is there already is replaced only where it was drawn here."""
    from plots import page

    names = file_names([stem for stem, _, _ in figures], "")
    paths = [out / f"{stem}.{ending}" for stem in names.values() for ending in formats]
    taken = [path for path in paths if path.exists() and not drawn_here(path)]
    if taken:
        raise Refused(*(f"{path} is there and is no drawing of stopload's: it is left as it is." for path in taken))
    out.mkdir(parents=True, exist_ok=True)
    for stem, title, draw in figures:
        try:
            figure = draw()
        except ValueError as wrong:  # too small a sheet, or nothing to draw: the message says which
            raise Refused(f"{stem}: {wrong}.") from wrong
        for ending in formats:
            path = out / f"{names[stem]}.{ending}"
            unfinished = path.with_name(f"{names[stem]}.unfinished.{ending}")
            try:
                page.save(figure, unfinished, title)
                unfinished.replace(path)
            finally:
                unfinished.unlink(missing_ok=True)
    return paths


def drawn_here(path: Path) -> bool:
    """Whether a file is one of our own figures, by what it says of its maker."""
    if not path.is_file():
        return False
    content = path.read_bytes()
    return b"stopload" in content[:4096] or b"stopload" in content[-4096:]
