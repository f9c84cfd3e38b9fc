"""`stopload run`: scenario in, result folder and summary out."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from sim.command.agreeing import agreeing
from sim.command.keeping import runs_kept
from sim.command.reading import ReadScenario, cannot_be_built, read_scenario
from sim.command.screen import console, progress
from sim.command.summary import print_summary, print_verdict
from sim.results.folder import refuse_early, write_result
from sim.results.journal import Journal
from sim.results.model import Result
from sim.results.shown import Units
from sim.results.whole import refuse_unwritable


def run_file(
    file: Path, out: Path | None, replace: bool, units: Units, png: bool, quiet: bool, yes: bool = False
) -> int:
    """Simulate the scenario in `file`, write its result folder, print what it says, give the exit status.

    yes: run it however long it takes. Whatever ends it early, finished runs of its sweeps are kept beside the folder,
    and the same command goes on there.
    """
    folder = out or Path("results") / file.stem
    read = read_scenario(file)
    refuse_early(folder, replace)
    refuse_unwritable(folder)
    journal = Journal.beside(folder)
    with runs_kept(journal):
        result = _run(file, read, journal, folder, replace, partial(draw, units=units, png=png), yes)
    if quiet:
        print_verdict(console(), result, folder, cautions=True)
    else:
        print_summary(console(), result, units, folder)
    return result.exit_status


def _run(
    file: Path, read: ReadScenario, journal: Journal, folder: Path, replace: bool, draw_all: partial, yes: bool
) -> Result:
    from sim.rig.rig import RigError
    from sim.studies.scenario import run_scenario

    with progress() as tell:
        try:
            result = run_scenario(read.scenario, progress=tell, journal=journal, agree=agreeing(yes))
        except RigError as error:
            raise cannot_be_built(file, error.sentences) from error
        if tell is not None:
            tell("drawing and writing", 0, 1)
        write_result(folder, result, read.inputs, draw_all, overwrite=replace)
    return result


def draw(result: Result, folder: Path, units: Units, png: bool) -> None:
    """Write every figure of a result into `folder`."""
    from plots import write_plots

    write_plots(result, folder, units=units, png=png)
