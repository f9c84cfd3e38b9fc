"""`stopload`: the commands, their options and their help. What they do stands in a file each, loaded when asked for."""

from __future__ import annotations

import shlex
import signal
import sys
import warnings
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import wraps
from pathlib import Path
from types import FrameType
from typing import Annotated, ParamSpec

import typer

from sim.command.main_differences import add_rerun_and_diff
from sim.command.main_documents import add_plot_and_report
from sim.command.memory import large_arrays_go_back
from sim.command.screen import tolerant_output
from sim.command.status import STOPPED, Refused, guarded
from sim.results.shown import Units
from sim.results.sorted_by import SortedBy
from sim.version import VERSION

_HELP = """
Forces in a performer-flying rig: at rest, moving, and stopped at any instant.

One YAML file describes the rig, its moves, the stops that may happen and the limits that must hold. `stopload run`
simulates all of it and says what is within its limits, what is outside, and what could not be judged.

A simulation is one input to a risk assessment and approves nothing.
"""
_EPILOG = """
To begin: `stopload demos --copy demos` · `stopload check demos/lamplighters-drop.yaml` ·
`stopload run demos/lamplighters-drop.yaml` · `stopload new my-rig.yaml`

Exit status: `0` all judged and within limits · `1` something is outside its limit or not judged ·
`2` the input is wrong · `3` a run could not be finished, failed its audit, or is not simulated yet
(3 comes before 1)
"""
_P = ParamSpec("_P")

app = typer.Typer(
    name="stopload",
    help=_HELP,
    epilog=_EPILOG,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode="markdown",
    context_settings={"help_option_names": ["-h", "--help"]},
)

_File = Annotated[Path, typer.Argument(metavar="FILE", help="The scenario, a YAML file.", show_default=False)]
_Yes = Annotated[bool, typer.Option("--yes", help="Run it even if it takes hours, or much memory.")]
_ShownIn = Annotated[Units, typer.Option("--units", help="Units of what is printed and drawn; files keep SI.")]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line (sys.argv when None) and give the exit status."""
    arguments = sys.argv[1:] if arguments is None else list(arguments)
    tolerant_output()
    large_arrays_go_back()
    if not sys.warnoptions:
        warnings.simplefilter("ignore")  # for developers; what a person has to know stands in the result
    with suppress(ValueError):  # only the main thread may
        signal.signal(signal.SIGTERM, _asked_to_end)
    return guarded(
        lambda: app(list(arguments), prog_name="stopload", standalone_mode=False), shlex.join(["stopload", *arguments])
    )


def _stopping(command: Callable[_P, int]) -> Callable[_P, int]:
    """Ctrl-C is told by us: some versions of typer would end with a status of their own."""

    @wraps(command)
    def stopping(*args: _P.args, **options: _P.kwargs) -> int:
        try:
            return command(*args, **options)
        except KeyboardInterrupt as word:
            raise STOPPED from word

    return stopping


def _asked_to_end(_signal: int, _frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"stopload {VERSION}")
        raise typer.Exit


@app.callback()
def _common(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say which version.")
    ] = False,
) -> None:
    pass


@app.command(epilog="Examples: `stopload run rig.yaml` · `stopload run rig.yaml --out results/rig-b --units us`")
@_stopping
def run(
    file: _File,
    out: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER", help="The result folder; left out: results/ and the name of the file.", show_default=False
        ),
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Replace an earlier result folder.")] = False,
    units: _ShownIn = Units.SI,
    png: Annotated[bool, typer.Option("--png", help="Also write each figure as PNG.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print the verdict only.")] = False,
    yes: _Yes = False,
) -> int:
    """Simulate every case of a scenario, write the result folder, give the verdict.

    The planned move, each stop at its time or at every instant; forces against strengths, g, clearance against limits.
    """
    from sim.command.run import run_file

    return run_file(file, out, replace, units, png, quiet, yes)


@app.command(
    epilog="Examples: `stopload compare rig.yaml` (its compare cases) · "
    '`stopload compare rig.yaml --types "HMPE 12-strand, 7x19 galvanised 5 mm"` · '
    '`stopload compare rig.yaml --over "drives / winch / moving_mass: 40 kg, 60 kg"` · '
    '`--over "moves / 1 / speed: 4 m/s, 6 m/s"` a second time makes a grid'
)
@_stopping
def compare(
    file: _File,
    types: Annotated[
        str | None,
        typer.Option(metavar="TYPES", help="Line types, with commas; each may have its diameter behind it."),
    ] = None,
    diameters: Annotated[str | None, typer.Option(metavar="SIZES", help="Diameters of line, with commas.")] = None,
    over: Annotated[
        list[str] | None,
        typer.Option("--over", metavar="'KEY: VALUES'", help="Any key of the file and its values, with commas."),
    ] = None,
    line: Annotated[
        list[str] | None,
        typer.Option("--line", metavar="NAME", help="The line whose type or diameter changes; left out: all."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Left out: results/, the name of the file, -compared.", show_default=False),
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Replace an earlier comparison.")] = False,
    units: _ShownIn = Units.SI,
    png: Annotated[bool, typer.Option("--png", help="Also write each figure as PNG.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print the table and the verdict only.")] = False,
    yes: _Yes = False,
) -> int:
    """Run a scenario over its compare cases, line types, diameters, or listed values of any key.

    One table worst first, the curves of all variants over one another, and what changes most and why. A strength that
    is written for one type or diameter of line is never used for another.
    """
    from sim.command.compare import Over, Shown, compare_file

    asked = Over(types, diameters, tuple(over or ()), tuple(line or ()))
    return compare_file(file, asked, out, replace, Shown(units, png, quiet, yes))


@app.command(epilog="Examples: `stopload check rig.yaml` · `stopload check rig.yaml --out drawing.svg`")
@_stopping
def check(
    file: _File,
    out: Annotated[
        Path | None,
        typer.Option(
            metavar="SVG", help="The rig drawing; left out: NAME-rig.svg beside NAME.yaml.", show_default=False
        ),
    ] = None,
    units: _ShownIn = Units.SI,
) -> int:
    """Read and check a scenario, draw the rig, state what each move really does; runs nothing.

    All faults are told at once, each with its line, what was found and what was expected.
    """
    from sim.command.check import check_file

    return check_file(file, out, units)


@app.command(epilog="Example: `stopload new my-rig.yaml`")
@_stopping
def new(file: Annotated[Path, typer.Argument(metavar="FILE", help="Where to write it.", show_default=False)]) -> int:
    """Write a commented starter scenario. It runs as it stands; an existing file is left as it is."""
    from sim.command.new import write_starter

    return write_starter(file)


@app.command(
    epilog="Examples: `stopload demos` · `stopload demos --copy .` · `stopload demos lamplighters-drop --copy .`"
)
@_stopping
def demos(
    name: Annotated[str | None, typer.Argument(metavar="[NAME]", help="One demo only.", show_default=False)] = None,
    copy: Annotated[
        Path | None, typer.Option("--copy", metavar="FOLDER", help="Copy into this folder.", show_default=False)
    ] = None,
) -> int:
    """List the demo scenarios, or copy them."""
    from sim.command.demos import copy_demos, list_demos

    return list_demos(name) if copy is None else copy_demos(name, copy)


@app.command(
    epilog='Examples: `stopload lines` · `stopload lines "7x19 galvanised" --diameter "1/4 in"` · '
    '`stopload lines "HMPE 12-strand" "LCP 12-strand"` · `stopload lines --export lines.csv` · '
    '`stopload lines --for rig.yaml` · `stopload lines "LCP 12-strand" --for rig.yaml --diameter "8 mm" --sort weight`'
)
@_stopping
def lines(
    types: Annotated[
        list[str] | None,
        typer.Argument(metavar="[TYPE]...", help="None: list; one: in full; several: compare.", show_default=False),
    ] = None,
    diameter: Annotated[
        str | None,
        typer.Option(
            metavar="SIZE",
            help="Such as '6 mm' or '1/4 in'; with --for the most, left out: the line's own.",
            show_default=False,
        ),
    ] = None,
    units: _ShownIn = Units.SI,
    export: Annotated[
        Path | None,
        typer.Option(
            "--export",
            metavar="FILE",
            help="Write a .csv or .yaml instead, in SI; with --for a .csv or .json as well.",
            show_default=False,
        ),
    ] = None,
    own: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER",
            help="Folder of your own records, which go before ours; a run takes it from STOPLOAD_LINES.",
            envvar="STOPLOAD_LINES",
            show_default=False,
        ),
    ] = None,
    suits: Annotated[
        Path | None,
        typer.Option(
            "--for",
            metavar="FILE",
            help="Which types suit a scenario: each is run in it that is not out by heat, ends, size or D:d.",
            show_default=False,
        ),
    ] = None,
    line: Annotated[
        list[str] | None,
        typer.Option("--line", metavar="NAME", help="With --for: the line to choose for; left out: all."),
    ] = None,
    sort: Annotated[
        SortedBy | None,
        typer.Option(
            "--sort", help="With --for: what the remaining types are sorted by; changes no figure.", show_default=False
        ),
    ] = None,
    yes: _Yes = False,
) -> int:
    """The catalogue of line types: all of them, one in full, several beside each other, or which suit a scenario.

    With --for the status is 0 where a type remains, 1 where none does, 3 where some could not be run to the end.
    """
    if suits is not None:
        from sim.command.choose import Wanted, choose_file

        by = sort or SortedBy.MARGIN
        wanted = Wanted(tuple(types or ()), diameter, tuple(line or ()), own, by, units, yes)
        return choose_file(suits, wanted, export)
    if line or sort is not None:
        raise Refused("--line and --sort go with --for FILE.")
    from sim.command.lines import Asked, lines_command

    return lines_command(Asked(tuple(types or ()), diameter, units, own), export)


add_plot_and_report(app, _stopping)
add_rerun_and_diff(app, _stopping)
