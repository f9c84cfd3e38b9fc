"""`stopload compare`: one scenario over its compare cases, line types, diameters or listed values of any key."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command.agreeing import agreeing
from sim.command.compare_summary import print_comparison
from sim.command.reading import ReadScenario, own_types, read_scenario
from sim.command.run import draw
from sim.command.screen import Tell, console, progress
from sim.command.status import Refused, Status
from sim.results.comparison import Comparison, Curves, Variant
from sim.results.comparison_folder import (
    comparison_folder,
    finish_comparison,
    refuse_comparison_early,
    variant_folders,
)
from sim.results.folder import Inputs, write_result
from sim.results.shown import Units
from sim.results.whole import refuse_unwritable

if TYPE_CHECKING:
    from sim.scenario import Scenario
    from sim.studies.compare import Asked, Axis, Ran

_MOST_AXES = 2


@dataclass(frozen=True)
class Over:
    """What to compare, as typed: types and diameters with commas, `KEY: VALUE, VALUE` for any other key."""

    types: str | None = None
    diameters: str | None = None
    values: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class Shown:
    """How it is shown; yes: run however long it takes."""

    units: Units = Units.SI
    png: bool = False
    quiet: bool = False
    yes: bool = False


def compare_file(file: Path, over: Over, out: Path | None, overwrite: bool, how: Shown) -> int:
    """Run every variant, write the comparison's folder, print what it says, give the worst exit status.

    Raises Refused where nothing can be run; a variant that cannot be run while others can keeps its cause in its row.
    """
    folder = out or Path("results") / f"{file.stem}-compared"
    read = read_scenario(file)
    axis = _axis(file, read.scenario, over)
    refuse_comparison_early(folder, overwrite)
    refuse_unwritable(folder)
    _tell_early(file, read.scenario, axis.variants)
    _agree(read.scenario, len(axis.variants), how.yes)
    from sim.studies.compared import comparison_of

    with progress() as tell, comparison_folder(folder, overwrite) as part:
        variants, curves, first = _run(part, read, axis.variants, how, tell)
        if tell is not None:
            tell("drawing and writing", 0, 1)
        result = first.result if first is not None else None
        comparison = comparison_of(read.scenario, axis.over, variants, curves, result)
        finish_comparison(part, comparison, read.inputs.scenario, partial(_draw, how=how))
    print_comparison(console(), comparison, how.units, folder, quiet=how.quiet)
    return comparison.exit_status


# --- what to compare ------------------------------------------------------------------------------------------------


def _axis(file: Path, scenario: Scenario, over: Over) -> Axis:
    """The variants asked for. Raises Refused where nothing, too much or nonsense is asked for."""
    from sim.scenario.refused import Refused as NotTaken
    from sim.studies.compare import MOST_VARIANTS, cases_of_file, grid

    try:
        axes = _axes(scenario, over)
    except NotTaken as wrong:
        raise Refused(f"{wrong}.") from wrong
    if not axes and not scenario.compare:
        raise Refused(
            f"{file} has no compare cases, and nothing else to compare was named. Name one of:",
            "  compare: in the file, case names with the keys they change",
            '  --types "HMPE 12-strand, 7x19 galvanised 5 mm"',
            '  --diameters "5 mm, 6 mm"',
            '  --over "drives / winch / moving_mass: 40 kg, 60 kg, 80 kg"',
        )
    if len(axes) > _MOST_AXES:
        raise Refused(f"{len(axes)} things to compare at once; at most two, as a grid.")
    axis = grid(axes) if axes else cases_of_file(scenario)
    if len(axis.variants) > MOST_VARIANTS:
        raise Refused(f"{len(axis.variants)} variants are more than {MOST_VARIANTS}; name fewer values.")
    return axis


def _axes(scenario: Scenario, over: Over) -> list[Axis]:
    from sim.scenario import find_key, split_values
    from sim.studies.compare import over_diameters, over_types, over_values

    lines = over.lines or tuple(scenario.lines)
    for name in lines:
        if name not in scenario.lines:
            raise Refused(f"There is no line '{name}'. There are: {', '.join(scenario.lines)}.")
    axes = []
    if over.types is not None:
        axes.append(over_types(split_values(over.types), lines))
    if over.diameters is not None:
        axes.append(over_diameters(split_values(over.diameters), lines))
    for each in over.values:
        key, colon, values = each.partition(":")
        if not colon or not key.strip():
            raise Refused(f'--over "{each}": write it as "KEY: VALUE, VALUE", such as "run / tolerance: 1e-6, 1e-7".')
        axes.append(over_values(find_key(scenario, key), split_values(values)))
    return axes


def _tell_early(file: Path, scenario: Scenario, variants: Sequence[Asked]) -> None:
    """Say before anything runs which variants cannot be; raise Refused where that is all of them."""
    from sim.studies.compare import causes

    found = causes(scenario, variants)
    if not found:
        return
    lines = [f"  {name}: {cause}" for name, cause in found.items()]
    if len(found) == len(variants):
        raise Refused(f"{file}: no variant can be run", *lines)
    print(f"{file}: {len(found)} of {len(variants)} variants cannot be run, the others are:", *lines,
          sep="\n", file=sys.stderr)  # fmt: skip


def _agree(scenario: Scenario, variants: int, yes: bool) -> None:
    """Tell how long all variants will take, by the scenario as written. Raises Refused where that has to be asked."""
    from sim.rig.rig import RigError
    from sim.studies.scenario import expected_of

    with suppress(RigError):  # variants may be right where the scenario as written is not
        agreeing(yes, variants)(expected_of(scenario, ranges=False))


# --- running and writing --------------------------------------------------------------------------------------------


def _run(
    part: Path, read: ReadScenario, asked: Sequence[Asked], how: Shown, tell: Tell | None
) -> tuple[tuple[Variant, ...], dict[str, Curves], Ran | None]:
    """Every variant run and written; the first with a result lends the comparison its limits and its floor.

    Stopped on the person's word, what is finished is kept and the rest says why it was not run.
    """
    from sim.studies.compare import run_variants

    folders = variant_folders([each.name for each in asked])
    variants: list[Variant] = []
    curves: dict[str, Curves] = {}
    first = None
    try:
        for ran in run_variants(read.scenario, asked, tell):
            variant = ran.variant
            if ran.result is not None and ran.scenario is not None:
                variant = replace(variant, folder=folders[variant.name])
                figures = partial(draw, units=how.units, png=how.png)
                write_result(part / variant.folder, ran.result, _inputs(read, ran.scenario), figures)
                curves[variant.name] = ran.curves
                first = first or replace(ran, result=replace(ran.result, traces={}))
            variants.append(variant)
    except KeyboardInterrupt:
        if not curves:
            raise
        rest = asked[len(variants) :]
        variants += [Variant(x.name, x.said, Status.UNFINISHED, "not run", "stopped on your word") for x in rest]
    return tuple(variants), curves, first


def _inputs(read: ReadScenario, scenario: Scenario) -> Inputs:
    """What a variant's folder keeps: as written where nothing is changed, else the changed scenario written out."""
    from sim.scenario import filled_in

    written = read.inputs.scenario if scenario is read.scenario else scenario.source_text.encode()
    return Inputs(written, filled_in(scenario), read.inputs.files, own_types(scenario))


def _draw(comparison: Comparison, folder: Path, how: Shown) -> None:
    from plots import write_comparison_plots

    write_comparison_plots(comparison, folder, units=how.units, png=how.png)
