"""Which line types suit a scenario: each in the place of the lines chosen for, failed without a run or really run.

A run is the same study that `run` makes of the scenario with that type written in, so every figure is the same,
wherever and in which order the types are run.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from threading import Event

from sim.results.choice import Candidate, State
from sim.results.choice_journal import TYPE, ChoiceJournal, RunsOfOne
from sim.scenario import Scenario
from sim.strength.catalogue import own_files
from sim.studies.choose_entrants import Entrant
from sim.studies.choose_figures import figured
from sim.studies.compare import Tell, run_variant
from sim.studies.ends import AS_STATED
from sim.studies.many import Many, Workers, run_many
from sim.studies.prepared import made_ready
from sim.studies.scenario import compile_first, journal_key, made_with
from sim.version import source_mark

TRIED = "line types tried"


@dataclass(frozen=True)
class Trial:
    """One type to run: in which scenario, in the place of which lines."""

    scenario: Scenario
    lines: tuple[str, ...]
    entrant: Entrant


def _nobody(_candidate: Candidate) -> None: ...


@dataclass(frozen=True)
class Trying:
    """How types are tried. workers: see `sim.studies.many`; journal: where what is finished is kept, begun with
    `choice_key`; tell(what, done, total): who is told; each: given every candidate as soon as it is known."""

    workers: Workers = None
    journal: ChoiceJournal | None = None
    tell: Tell | None = None
    each: Callable[[Candidate], None] = field(default=_nobody)


def choose(
    scenario: Scenario, lines: Sequence[str], tried: Sequence[Entrant], how: Trying | None = None
) -> list[Candidate]:
    """Every entrant as a candidate, those that are out without a run first.

    One whose run fails keeps its cause and stops no other. A word to stop (KeyboardInterrupt) ends the runs under way;
    `how.each` has been given all that were finished.
    """
    how = how or Trying()
    known: dict[str, Candidate] = {}

    def found(candidate: Candidate) -> None:
        known[candidate.name] = candidate
        how.each(candidate)

    missing = []
    for entrant in tried:
        kept = how.journal.rows.get((TYPE, entry_name(lines, entrant))) if how.journal is not None else None
        if entrant.asked is None:
            found(_without(entrant, State.UNFIT, *(why.says for why in entrant.unfit)))
        elif isinstance(kept, Candidate):
            found(kept)
        else:
            missing.append(Trial(scenario, tuple(lines), entrant))
    _run(missing, how, found)
    return [known[entrant.name] for entrant in in_turn(tried)]


def in_turn(tried: Sequence[Entrant]) -> list[Entrant]:
    """Those that are out without a run first, else as they came."""
    return sorted(tried, key=lambda each: each.asked is not None)


def _run(trials: Sequence[Trial], how: Trying, found: Callable[[Candidate], None]) -> None:
    """Every trial on the workers; a single one tells of its own runs."""
    if not trials:
        return
    tell = how.tell or (lambda what, done, total: None)
    alone = tell if len(trials) == 1 else None
    compile_first(tell)
    told, stop = 0, Event()

    def one_more() -> None:
        nonlocal told
        told += 1
        if alone is None:
            tell(TRIED, told, len(trials))

    def done(batch: Sequence[Trial], candidates: Sequence[Candidate]) -> None:
        for trial, candidate in zip(batch, candidates, strict=True):
            if how.journal is not None and candidate.state is not State.NOT_RUN:
                how.journal.add({(TYPE, entry_name(trial.lines, trial.entrant)): candidate})
            found(candidate)
            one_more()

    def lost(trial: Trial, cause: str) -> None:
        found(not_run(trial.entrant, cause))
        one_more()

    if alone is None:
        tell(TRIED, 0, len(trials))
    here = _Here(how.journal, stop, alone)
    run_many(Many(here, done, lost, stopping=stop.set, largest_batch=1), trials, how.workers)


class _Here:
    """Tries types, keeping their runs and heeding a word to stop; a copy in another process does neither."""

    def __init__(self, journal: ChoiceJournal | None = None, stop: Event | None = None, tell: Tell | None = None):
        self._journal, self._stop, self._tell = journal, stop, tell

    def __reduce__(self) -> tuple[type[_Here], tuple[()]]:
        return _Here, ()

    def __call__(self, trials: Sequence[Trial]) -> list[Candidate]:
        return [self._one(trial) for trial in trials]

    def _one(self, trial: Trial) -> Candidate:
        asked = trial.entrant.asked
        assert asked is not None
        runs = RunsOfOne(self._journal) if self._journal is not None else None
        ran = run_variant(trial.scenario, asked, partial(self._heed, [False]), runs)
        if ran.result is None:
            return not_run(trial.entrant, ran.variant.cause)
        return figured(trial.scenario, trial.lines, trial.entrant, ran)

    def _heed(self, heeded: list[bool], what: str, done: int, total: int) -> None:
        """Told of every run: a word to stop is heeded here, once, so that what is finished can still be kept."""
        if self._stop is not None and self._stop.is_set() and not heeded[0]:
            heeded[0] = True
            raise KeyboardInterrupt
        if self._tell is not None:
            self._tell(what, done, total)


def entry_name(lines: Sequence[str], entrant: Entrant) -> str:
    """A type in its size with its ends in the place of these lines, as journals name it."""
    changes = entrant.asked.changes if entrant.asked is not None else {}
    size = entrant.size.written if entrant.size else ""
    return json.dumps([[*lines], entrant.name, size, changes, entrant.remarks], sort_keys=True, ensure_ascii=False)


def choice_key(scenario: Scenario, tried: Sequence[Entrant]) -> str:
    """A name for all that candidates depend on: what a run's rows depend on, this very program with its catalogue, and
    own records of the types tried. Raises RigError where the scenario cannot be built."""
    rig, _ = made_ready(scenario)
    mark = hashlib.sha256("\n".join([journal_key(scenario, {AS_STATED: rig}), source_mark(), made_with()]).encode())
    for content in own_files(each.type for each in tried if each.asked is not None and each.asked.changes).values():
        mark.update(content)
    return f"sha256 {mark.hexdigest()}"


def not_run(entrant: Entrant, cause: str) -> Candidate:
    """One whose run did not come about."""
    return _without(entrant, State.NOT_RUN, cause)


def _without(entrant: Entrant, state: State, *why: str) -> Candidate:
    """One without figures."""
    size = entrant.size
    return Candidate(
        name=entrant.name,
        type=entrant.type,
        size=size.written if size else "",
        state=state,
        why=why,
        diameter_m=size.diameter_m if size else None,
    )
