"""`stopload plot`: single figures from a result folder, for attaching alone; without a choice, what there is."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

from sim.command.screen import console
from sim.command.sheet_sizes import parse_size
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

_SHEETS, _FILMS = ("svg", "pdf", "png"), ("html", "gif", "mp4")
FORMATS = {
    "rig": _SHEETS,
    "overview": _SHEETS,
    "history": _SHEETS,
    "cases": _SHEETS,
    "sweep": _SHEETS,
    "moving": _FILMS,
}
"""What each kind is written as; the first where nothing is said. An overview is of a comparison alone."""
KINDS = tuple(kind for kind in FORMATS if kind != "overview")
ALL = "all"


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


@dataclass(frozen=True)
class Drawn:
    """One drawing: its kind, its file name without ending, and what writes it to each of some paths."""

    kind: str
    stem: str
    write: Callable[[Sequence[Path]], None]


def plot_folder(folder: Path, asked: Asked, how: How) -> int:
    """Draw what is asked for beside the result folder, or list what there is. Raises Refused, FolderError, OSError."""
    if (folder / COMPARISON).is_file():
        from sim.command.plot_comparison import plot_comparison

        return plot_comparison(folder, asked, how)
    result = read_drawable(folder)
    if asked == Asked():
        _list(folder, result)
        return Status.WITHIN
    chosen = _checked(result, asked)
    formats, size = formats_of(how.formats, chosen.kinds), parse_size(how.size)
    if size is not None and "moving" in chosen.kinds:
        raise Refused("--size is for sheets; a moving drawing takes none: draw it without, by itself.")
    return drawn(folder, list(_drawings(result, chosen, how.units, size)), formats, how)


def drawn(folder: Path, drawings: Sequence[Drawn], formats: Mapping[str, Sequence[str]], how: How) -> int:
    """Draw all of them beside the folder or where it is asked, and say where they are."""
    out = how.out or folder.absolute().with_name(f"{folder.absolute().name}-plots")
    screen = console()
    for path in write_all(drawings, formats, out):
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
            "moving: the rig moving through a case, as a page (html), gif or mp4; no case named: the planned move",
        ],
    )
    print_list(
        screen,
        "Such as",
        [
            f"stopload plot {quote(str(folder))} --kind rig --size A4 --format pdf",
            f"stopload plot {quote(str(folder))} --kind moving",
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
    cases = named("case", asked.cases, [name for name in result.cases if name in result.traces], wrong)
    stops = named("stop at every instant", asked.stops, list(result.sweeps), wrong)
    things = named("element or performer", asked.elements, things_of(result), wrong)
    kinds = asked.kinds or _kinds(cases, stops, things)
    wrong += unused(kinds, {"--case": cases, "--stop": stops, "--element": things})
    if "sweep" in kinds and not result.sweeps:
        wrong.append("This result has no stop or failure at every instant.")
    if "cases" in kinds and not things:
        wrong.append("Name the elements or performers to draw over one another, with --element.")
    if wrong:
        raise Refused(*wrong)
    return Asked(tuple(dict.fromkeys(kinds)), cases, things, stops)


_TAKEN = {
    "--case": ("history", "cases", "moving"),
    "--stop": ("sweep",),
    "--element": ("history", "cases", "sweep"),
}
"""Which kinds a choice is for."""


def unused(kinds: Collection[str], chosen: Mapping[str, Sequence[str]]) -> Iterator[str]:
    """What was chosen and none of the kinds would draw: passed over, it would look like something that was obeyed."""
    for option, names in chosen.items():
        if names and not set(kinds) & set(_TAKEN[option]):
            yield f"{option} is for the kinds {', '.join(_TAKEN[option])}, and {', '.join(kinds)} takes none."


def named(what: str, names: Sequence[str], there: Collection[str], wrong: list[str]) -> tuple[str, ...]:
    """The names chosen, each once, `all` spelled out; `wrong` takes up a sentence on each that is not there."""
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


def formats_of(formats: Sequence[str], kinds: Sequence[str]) -> dict[str, tuple[str, ...]]:
    """The formats each kind is written in: those given that it has, or its first. Raises Refused."""
    given = list(dict.fromkeys(each.strip().lower() for text in formats for each in text.split(",")))
    there = list(dict.fromkeys(each for kind in KINDS for each in FORMATS[kind]))
    wrong = [f"There is no format '{each}'. There are: {', '.join(there)}." for each in given if each not in there]
    taken = {each for kind in kinds for each in FORMATS[kind]}
    lost = [each for each in given if each in there and each not in taken]
    wrong += [f"The format {each} fits none of the kinds {', '.join(kinds)}." for each in lost]
    found = {kind: tuple(each for each in given if each in FORMATS[kind]) or FORMATS[kind][:1] for kind in kinds}
    for kind in kinds if given and not wrong else ():
        if not set(given) & set(FORMATS[kind]):
            wrong.append(f"The kind {kind} is written as {', '.join(FORMATS[kind])}; name one of these too.")
    if wrong:
        raise Refused(*wrong)
    return found


# --- drawing --------------------------------------------------------------------------------------------------------


def _drawings(result: Result, asked: Asked, units: Units, size: Size | None) -> Iterator[Drawn]:
    import plots

    title, things = result.title, asked.elements
    of = f"{', '.join(things)}, " if things else ""
    if "rig" in asked.kinds:
        draw = partial(plots.rig_figure, result.drawing, result, units=units, size=size)
        yield Drawn("rig", "rig", sheet(draw, f"{title}: rig"))
    for name in (asked.cases or tuple(result.traces)) if "history" in asked.kinds else ():
        draw = partial(plots.history_figure, result, name, units, things, size)
        yield Drawn("history", f"history {of}{name}", sheet(draw, f"{title}: {of}{name}"))
    if "cases" in asked.kinds:
        draw = partial(plots.cases_figure, result, things, asked.cases, units, size)
        yield Drawn("cases", f"cases {', '.join(things)}", sheet(draw, f"{title}: {', '.join(things)}"))
    for name in (asked.stops or tuple(result.sweeps)) if "sweep" in asked.kinds else ():
        draw = partial(plots.sweep_figure, result, name, units, things, size)
        yield Drawn("sweep", f"sweep {of}{name}", sheet(draw, f"{title}: {of}{name}, every instant"))
    for name in (asked.cases or tuple(result.traces)[:1]) if "moving" in asked.kinds else ():
        yield Drawn("moving", f"moving {name}", partial(_film, result, name, units))


def sheet(draw: Callable[[], Figure], title: str) -> Callable[[Sequence[Path]], None]:
    """What draws a figure once and saves it under each of the paths."""

    def write(paths: Sequence[Path]) -> None:
        from plots import page

        figure = draw()
        for path in paths:
            page.save(figure, path, title)

    return write


def _film(result: Result, name: str, units: Units, paths: Sequence[Path]) -> None:
    import plots

    for path in paths:
        write = plots.write_moving_page if path.suffix == ".html" else plots.write_film
        write(result, name, path, units)


def write_all(drawings: Sequence[Drawn], formats: Mapping[str, Sequence[str]], out: Path) -> list[Path]:
    """All of them as files; what is there already is replaced only where it was drawn here."""
    from plots.film import NoEncoder

    names = file_names([each.stem for each in drawings], "")
    paths = {each.stem: [out / f"{names[each.stem]}.{ending}" for ending in formats[each.kind]] for each in drawings}
    every = [path for group in paths.values() for path in group]
    taken = [path for path in every if path.exists() and not drawn_here(path)]
    if taken:
        raise Refused(*(f"{path} is there and is no drawing of stopload's: it is left as it is." for path in taken))
    out.mkdir(parents=True, exist_ok=True)
    for each in drawings:
        unfinished = {path.with_name(f"{path.stem}.unfinished{path.suffix}"): path for path in paths[each.stem]}
        try:
            each.write(tuple(unfinished))
            for part, path in unfinished.items():
                part.replace(path)
        except NoEncoder as missing:
            raise Refused(f"{missing}.", status=Status.UNFINISHED) from missing
        except ValueError as wrong:  # too small a sheet, or nothing to draw: the message says which
            raise Refused(f"{each.stem}: {wrong}.") from wrong
        finally:
            for part in unfinished:
                part.unlink(missing_ok=True)
    return every


def drawn_here(path: Path) -> bool:
    """Whether a file is one of our own figures, by what it says of its maker."""
    if not path.is_file():
        return False
    content = path.read_bytes()
    return b"stopload" in content[:4096] or b"stopload" in content[-4096:]
