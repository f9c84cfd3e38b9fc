"""All figures of a result as files. The same result gives the same bytes, whenever and wherever it is drawn."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from plots.compare import compare_figure, compared_sweeps
from plots.compare_history import compare_history_figure, compared_cases
from plots.differences import differences_figure
from plots.history import history_figure
from plots.overview import overview_figure
from plots.page import save
from plots.rig_drawing import rig_figure
from plots.sweep import sweep_figure
from sim.results.comparison import Comparison
from sim.results.drawn import Drawing
from sim.results.filenames import file_names
from sim.results.model import Result
from sim.results.shown import Units
from sim.results.two_results import Compared

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def write_plots(result: Result, folder: Path, units: Units | str = Units.SI, png: bool = False) -> list[Path]:
    """Write the rig drawing, the history of each case that has a trace, and each stop sweep into a folder.

    Args:
        result: what to draw.
        folder: made where it is missing; files of the same names are replaced.
        units: 'si' or 'us'.
        png: a PNG beside each SVG.

    Returns:
        The files written, the rig first.

    Raises:
        ValueError: for unknown units.
        OSError: when a file cannot be written.
    """
    return _write(_figures(result, Units(units)), folder, png)


def write_comparison_plots(
    comparison: Comparison, folder: Path, units: Units | str = Units.SI, png: bool = False
) -> list[Path]:
    """Write the overview of all variants and their curves over one another: each stop at every instant, each case.

    Args and errors as for `write_plots`; the comparison must hold the curves of its variants.
    """
    return _write(_compared(comparison, Units(units)), folder, png)


def write_difference_plots(
    compared: Compared, curves: Comparison | None, folder: Path, units: Units | str = Units.SI, png: bool = False
) -> list[Path]:
    """Write what differs between two results and, where both can be drawn, their curves over one another.

    Args and errors as for `write_plots`; curves: both results as the variants of a comparison, None without.
    """
    return _write(_differing(compared, curves, Units(units)), folder, png)


def write_rig_drawing(drawing: Drawing, path: Path, title: str, units: Units | str = Units.SI) -> None:
    """Write the drawing of a rig nothing has been simulated of, as the path's ending says: svg or png.

    Raises:
        ValueError: for unknown units or another ending.
        OSError: when the file cannot be written.
    """
    save(rig_figure(drawing, title=title, units=units), path, title)


def _write(figures: Iterator[tuple[str, str, Figure]], folder: Path, png: bool) -> list[Path]:
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for stem, title, figure in figures:
        for ending in (".svg", ".png") if png else (".svg",):
            path = folder / f"{stem}{ending}"
            save(figure, path, title)
            written.append(path)
        figure.clear()  # its parts know it, so it would stay in memory beside the next ones
    return written


def _compared(comparison: Comparison, units: Units) -> Iterator[tuple[str, str, Figure]]:
    yield "overview", f"{comparison.title}: variants compared", overview_figure(comparison, units)
    yield from _over_one_another(comparison, units)


def _over_one_another(comparison: Comparison, units: Units) -> Iterator[tuple[str, str, Figure]]:
    sweeps, cases = compared_sweeps(comparison), compared_cases(comparison)
    for name, stem in file_names([*sweeps, *cases], "", before="compared ").items():
        draw = compare_figure if name in sweeps else compare_history_figure
        yield stem, f"{comparison.title}: {name}, variants compared", draw(comparison, name, units)


def _differing(compared: Compared, curves: Comparison | None, units: Units) -> Iterator[tuple[str, str, Figure]]:
    title = f"{compared.first.name} against {compared.second.name}"
    yield "differences", title, differences_figure(compared, units)
    if curves is not None:
        yield from _over_one_another(curves, units)


def _figures(result: Result, units: Units) -> Iterator[tuple[str, str, Figure]]:
    """File name without ending, title and figure of each, one at a time so that only one is held."""
    yield "rig", f"{result.title}: rig", rig_figure(result.drawing, result, units=units)
    for name, stem in file_names((n for n in result.cases if n in result.traces), "", before="history ").items():
        yield stem, f"{result.title}: {name}", history_figure(result, name, units)
    for name, stem in file_names(result.sweeps, "", before="sweep ").items():
        yield stem, f"{result.title}: {name}, every instant", sweep_figure(result, name, units)
