"""`stopload lines --for FILE`: which line types suit a scenario, every one that is not out already really run."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command.agreeing import agreeing
from sim.command.choose_summary import print_choice
from sim.command.keeping import runs_kept
from sim.command.reading import cannot_be_built, read_scenario
from sim.command.screen import Tell, console, progress
from sim.command.status import Refused, Status
from sim.command.summary import print_list
from sim.results.cautions import FULL
from sim.results.choice import Candidate, Choice, State
from sim.results.choice_file import ENDINGS, choice_text
from sim.results.shown import Units
from sim.results.sorted_by import SortedBy

if TYPE_CHECKING:
    from sim.results.choice_journal import ChoiceJournal
    from sim.scenario import Scenario
    from sim.strength.sizes import Size
    from sim.studies.choose_entrants import Entrant


@dataclass(frozen=True)
class Wanted:
    """What was asked for: types to try (none: all), the diameter bound as written, the lines to choose for (none: all).

    own: folder of own records; None: the environment's. yes: try them however long it takes.
    """

    types: Sequence[str] = ()
    diameter: str | None = None
    lines: Sequence[str] = ()
    own: Path | None = None
    by: SortedBy = SortedBy.MARGIN
    units: Units = Units.SI
    yes: bool = False


@dataclass(frozen=True)
class _Group:
    """Lines that are chosen for together, the diameter bound, and what is tried in their place."""

    lines: tuple[str, ...]
    asked: tuple[str, ...]
    tried: tuple[Entrant, ...]


def choose_file(file: Path, wanted: Wanted, export: Path | None) -> int:
    """Try every type, print what is out and what remains, write the export, give the exit status.

    0: a type remains for every group of lines; 1: for some none does; 3: some could not be run to the end. Whatever
    ends it early, what is finished is kept in the cache, and the same command goes on there.
    """
    from contextlib import nullcontext

    from sim.cache import cache_base
    from sim.results.choice_journal import ChoiceJournal
    from sim.strength.catalogue import own_records_from

    with nullcontext() if wanted.own is None else own_records_from(wanted.own):
        scenario = _scenario(file)
        grouped = _plan(file, scenario, wanted, export)
        _agree(scenario, grouped, wanted.yes)
        journal = ChoiceJournal.of(file, cache_base() / "choices")
        with runs_kept(journal):
            choices, stopped = _tried(scenario, grouped, journal)
            screen = console()
            for choice in choices:
                print_choice(screen, choice, wanted.by, wanted.units)
            print_list(screen, "Cautions", FULL)
            if export is not None:
                _export(export, choices, stopped)
            if stopped:
                raise KeyboardInterrupt  # only now: all that is known has been shown
    return _status(choices)


# --- what to try ----------------------------------------------------------------------------------------------------


def _scenario(file: Path) -> Scenario:
    """The scenario, which must stand as it is written before its lines are changed."""
    from sim.rig.rig import RigError
    from sim.studies.prepared import made_ready

    scenario = read_scenario(file).scenario
    try:
        made_ready(scenario)
    except RigError as wrong:
        raise cannot_be_built(file, wrong.sentences) from wrong
    return scenario


def _agree(scenario: Scenario, grouped: Sequence[_Group], yes: bool) -> None:
    """Tell how long all that is run will take, by the scenario as written. Raises Refused where that must be asked."""
    from sim.studies.scenario import expected_of

    runs = sum(1 for group in grouped for entrant in group.tried if entrant.asked is not None)
    if runs:
        agreeing(yes, runs)(expected_of(scenario, ranges=False))


def _plan(file: Path, scenario: Scenario, wanted: Wanted, export: Path | None) -> list[_Group]:
    """Raises Refused with all that is wrong with what was asked for, at once."""
    from sim.strength.catalogue import OwnRecordError, names
    from sim.studies.choose_entrants import entrants, groups, own_size

    try:
        types = tuple(wanted.types) or names()
    except OwnRecordError as wrong:
        raise Refused(f"{wrong}.") from wrong
    faults = [*_faults_of_types(wanted.types), *_faults_of_lines(scenario, wanted.lines), *_faults_of(export)]
    bound = None
    try:
        bound = _bound(wanted.diameter)
    except Refused as wrong:
        faults.append(str(wrong))
    known = [name for name in wanted.lines if name in scenario.lines]
    found = []
    for lines in groups(scenario, known):
        most = bound or own_size(scenario, lines)
        if most is not None:
            asked = tuple(_asked(scenario, lines, most, own=bound is None))
            found.append((lines, asked, most))
        elif wanted.diameter is None:
            faults.append(f"{' and '.join(lines)}: no diameter is written; say how thick a line may be by --diameter.")
    if faults:
        raise Refused(f"{file}: nothing was run", *(f"  {each}" for each in faults))
    return [_Group(lines, asked, tuple(entrants(scenario, lines, types, most))) for lines, asked, most in found]


def _faults_of_types(types: Sequence[str]) -> Iterator[str]:
    from sim.strength.catalogue import UnknownLineType, find

    for name in types:
        try:
            find(name)
        except UnknownLineType as unknown:
            yield f"{unknown}. `stopload lines` lists all types."


def _faults_of_lines(scenario: Scenario, lines: Sequence[str]) -> Iterator[str]:
    for name in lines:
        if name not in scenario.lines:
            yield f"There is no line '{name}'. There are: {', '.join(scenario.lines)}."


def _faults_of(export: Path | None) -> Iterator[str]:
    """Whatever would keep the file from being written after all the runs."""
    if export is None:
        return
    if export.suffix.lower() not in ENDINGS:
        yield f"{export}: a choice is exported as {' or '.join(ENDINGS)}; give the file such an ending."
    if export.exists():
        yield f"{export} exists already and is left as it is."
    elif not export.parent.is_dir():
        yield f"{export} cannot be written: there is no folder {export.parent}."


def _bound(written: str | None) -> Size | None:
    from sim.command.lines import read_diameter_m
    from sim.strength.sizes import Size

    size_m = read_diameter_m(written)
    return Size(size_m, written) if size_m is not None and written is not None else None


def _asked(scenario: Scenario, lines: Sequence[str], bound: Size, own: bool) -> Iterator[str]:
    """What heat, water, sheaves and the diameter bound ask of a line, in sentences."""
    from sim.scenario.water import is_wet
    from sim.strength.fitness import smallest_tread
    from sim.strength.stated import asked_of, stated

    around = scenario.environment
    hot = f"{around.temperature.text}" if around.temperature.origin != "default" else "temperature not stated"
    local = {at: each.text for name in lines for at, each in scenario.lines[name].temperature_at.items()}
    places = "".join(f", {degrees} at {at}" for at, degrees in local.items())
    water = "wet" if any(is_wet(scenario, name) for name in lines) else "dry"
    under = f", open water at {around.water.level.text}" if around.water else ""
    yield f"Heat and water: {hot}{places}; {water}{under}."
    treads = [tread for name in lines if (tread := smallest_tread(scenario, scenario.lines[name]))]
    tread = min(treads, key=lambda each: each.diameter_m, default=None)
    if tread is None:
        yield "Sheaves: none whose tread is stated, so D:d is not judged."
    else:
        yield f"Sheaves: the smallest tread is {tread.written}, at {tread.at}."
    whose = "the line's own; --diameter sets another" if own else "by --diameter"
    yield (
        f"Diameter: {bound.written} at the most ({whose}). Each type is taken in the thickest size up to that which "
        "its least D:d allows over the smallest tread."
    )
    for name in lines:
        strength = stated(scenario.lines[name], asked_of(None))
        if strength is not None:
            yield (
                f"Strength: what is written for {name} ({strength.origin}) holds for it as written alone; every other "
                "type is judged on the catalogue's."
            )


# --- trying it ------------------------------------------------------------------------------------------------------


def _tried(scenario: Scenario, grouped: Sequence[_Group], journal: ChoiceJournal) -> tuple[list[Choice], bool]:
    """Every group's types tried; stopped on the person's word, the rest is said not to have been run."""
    from sim.studies.choose import choice_key

    choices, stopped = [], False
    journal.begin(choice_key(scenario, [each for group in grouped for each in group.tried]))
    with progress() as tell:
        for group in grouped:
            told = _of(group, tell, several=len(grouped) > 1)
            choice, stopped = _one(scenario, group, journal, told, stopped)
            choices.append(choice)
    return choices, stopped


def _of(group: _Group, tell: Tell | None, several: bool) -> Tell | None:
    if tell is None or not several:
        return tell
    return lambda what, done, total: tell(f"{' and '.join(group.lines)}: {what}", done, total)


def _one(
    scenario: Scenario, group: _Group, journal: ChoiceJournal, tell: Tell | None, stopped: bool
) -> tuple[Choice, bool]:
    from sim.studies.choose import Trying, choose, in_turn, not_run

    known: dict[str, Candidate] = {}
    how = Trying(journal=journal, tell=tell, each=lambda found: known.update({found.name: found}))
    out = [each for each in group.tried if each.asked is None]
    try:
        choose(scenario, group.lines, out if stopped else group.tried, how)
    except KeyboardInterrupt:
        stopped = True
    found = [known.get(each.name) or not_run(each, "stopped on your word") for each in in_turn(group.tried)]
    return Choice(scenario.title, group.lines, group.asked, tuple(found)), stopped


def _status(choices: Sequence[Choice]) -> Status:
    states = {each.state for choice in choices for each in choice.candidates}
    if states & {State.NOT_RUN, State.NOT_FINISHED}:
        return Status.UNFINISHED
    return Status.WITHIN if all(choice.remaining for choice in choices) else Status.OUTSIDE


def _export(file: Path, choices: Sequence[Choice], stopped: bool) -> None:
    from sim.command.new import write_new

    if stopped:
        print(f"{file} is not written, since not all was run.", file=sys.stderr)
        return
    write_new(file, choice_text(choices, file.suffix.lower()).encode("utf-8"))
    print(f"{file} is written, in SI.")
