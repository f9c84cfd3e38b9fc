"""The options and the help of `stopload rerun` and `stopload diff`; what they do stands in a file each."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from sim.results.shown import Units

_Same = Annotated[
    str,
    typer.Option(
        "--same",
        metavar="WHAT",
        help="What counts as the same: `exact` (every bit), `alike` (to 1e-9), `claimed` (within what the runs claim "
        "of themselves), or the largest relative difference, such as 1e-6.",
    ),
]
_DiffOut = Annotated[
    Path | None,
    typer.Option(metavar="FOLDER", help="Also write every difference as CSV, and figures.", show_default=False),
]
_DiffReplace = Annotated[bool, typer.Option("--replace", help="Replace an earlier folder of a difference.")]
_DiffQuiet = Annotated[bool, typer.Option("--quiet", help="Print the verdict only.")]
_Units = Annotated[Units, typer.Option("--units", help="Units of what is printed and drawn; files keep SI.")]
_Png = Annotated[bool, typer.Option("--png", help="Also write each figure as PNG.")]
_DIFF_STATUS = "Exit status: `0` the same · `1` different, or a folder was altered · `2` the input is wrong · "
_Command = Callable[..., int]


def add_rerun_and_diff(app: typer.Typer, stopping: Callable[[_Command], _Command]) -> None:
    """Add both commands to the command line. stopping: what makes a command end in words on Ctrl-C."""

    @app.command(
        epilog=_DIFF_STATUS + "`3` could not be finished. Examples: `stopload rerun results/rig` · "
        "`stopload rerun results/rig --same exact --out again`"
    )
    @stopping
    def rerun(
        folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A result folder.", show_default=False)],
        out: _DiffOut = None,
        replace: _DiffReplace = False,
        same: _Same = "claimed",
        units: _Units = Units.SI,
        png: _Png = False,
        quiet: _DiffQuiet = False,
        yes: Annotated[bool, typer.Option("--yes", help="Run it even if it takes hours, or much memory.")] = False,
    ) -> int:
        """Run the scenario of a result folder again with this version, and say number by number what differs.

        The folder alone is used: its input, the files and line types kept in it. It is only read.
        """
        from sim.command.diff import Shown
        from sim.command.rerun import rerun_folder

        return rerun_folder(folder, out, replace, Shown(units, png, quiet, same, yes))

    @app.command(
        epilog=_DIFF_STATUS
        + "`3` could not be written. Example: `stopload diff results/rig results/rig-b --out what-changed`"
    )
    @stopping
    def diff(
        first: Annotated[Path, typer.Argument(metavar="A", help="A result folder.", show_default=False)],
        second: Annotated[Path, typer.Argument(metavar="B", help="Another one.", show_default=False)],
        out: _DiffOut = None,
        replace: _DiffReplace = False,
        same: _Same = "claimed",
        units: _Units = Units.SI,
        png: _Png = False,
        quiet: _DiffQuiet = False,
    ) -> int:
        """Say what differs between two results: inputs that changed, then figures and curves, worst first."""
        from sim.command.diff import Shown, diff_folders

        return diff_folders(first, second, out, replace, Shown(units, png, quiet, same))
