"""The options and the help of `stopload plot` and `stopload report`; what they do stands in a file each."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from sim.report.look import Look, Mark, Paper
from sim.results.shown import Units

_Units = Annotated[Units, typer.Option("--units", help="Units of what is printed and drawn; files keep SI.")]
_Command = Callable[..., int]


def add_plot_and_report(app: typer.Typer, stopping: Callable[[_Command], _Command]) -> None:
    """Add both commands to the command line. stopping: what makes a command end in words on Ctrl-C."""

    @app.command(
        epilog="Examples: `stopload plot results/rig` (what there is) · `stopload plot results/rig --kind rig "
        '--size A4 --format pdf` · `stopload plot results/rig --element "drop line" --case all`'
    )
    @stopping
    def plot(
        folder: Annotated[
            Path, typer.Argument(metavar="FOLDER", help="A result folder, or a comparison.", show_default=False)
        ],
        kind: Annotated[
            list[str] | None,
            typer.Option(
                "--kind",
                metavar="KIND",
                help="rig, history, cases, sweep or moving; of a comparison: overview, history or sweep.",
            ),
        ] = None,
        case: Annotated[list[str] | None, typer.Option("--case", metavar="NAME", help="A case, or all.")] = None,
        element: Annotated[
            list[str] | None, typer.Option("--element", metavar="NAME", help="An element or a performer, or all.")
        ] = None,
        stop: Annotated[
            list[str] | None, typer.Option("--stop", metavar="NAME", help="A stop or failure at every instant, or all.")
        ] = None,
        size: Annotated[
            str | None,
            typer.Option("--size", metavar="SIZE", help="Of the sheet: A4, 'A4 landscape', '160 mm', '160 x 100 mm'."),
        ] = None,
        formats: Annotated[
            list[str] | None,
            typer.Option("--format", metavar="FORMAT", help="svg, pdf or png; moving: html, gif, mp4."),
        ] = None,
        out: Annotated[
            Path | None,
            typer.Option(metavar="FOLDER", help="Left out: FOLDER-plots, beside the result.", show_default=False),
        ] = None,
        units: _Units = Units.SI,
    ) -> int:
        """Draw figures, or a case as it moves, from a result folder, with their source and the result's hash.

        Without a choice it lists what there is. Kind, case, element, stop and format can each be given several times.
        """
        from sim.command.plot import Asked, How, plot_folder

        asked = Asked(tuple(kind or ()), tuple(case or ()), tuple(element or ()), tuple(stop or ()))
        return plot_folder(folder, asked, How(tuple(formats or ()), size, units, out))

    @app.command(
        epilog="Examples: `stopload report results/rig` · `stopload report results/rig --out rig.pdf --units us "
        "--paper letter` · `stopload report results/rig --decimal comma`"
    )
    @stopping
    def report(
        folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A result folder.", show_default=False)],
        out: Annotated[
            Path | None,
            typer.Option(
                metavar="PLACE",
                help="A folder for both, or one file ending in .pdf or .html; left out: both beside the result folder.",
                show_default=False,
            ),
        ] = None,
        units: _Units = Units.SI,
        decimal: Annotated[Mark, typer.Option("--decimal", help="Decimal mark.")] = Mark.POINT,
        paper: Annotated[Paper, typer.Option("--paper", help="Paper of the PDF.")] = Paper.A4,
        replace: Annotated[bool, typer.Option("--replace", help="Replace an earlier report.")] = False,
    ) -> int:
        """Write the submission document from a result folder: as PDF, and as one page that needs no network.

        What the rig is, its cases, elements weakest first, performers, plots, inputs, what to prove beforehand.
        """
        from sim.command.report import report_folder

        return report_folder(folder, out, Look(units, decimal, paper), replace)
