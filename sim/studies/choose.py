"""Which line types suit a scenario: each in the place of the lines chosen for, failed without a run or really run.

A run is the same study that `run` makes of the scenario with that type written in, so every figure is the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sim.results.choice import Candidate, State
from sim.scenario import Scenario
from sim.studies.choose_entrants import Entrant
from sim.studies.choose_figures import figured
from sim.studies.compare import Tell, run_variants


def choose(
    scenario: Scenario, lines: Sequence[str], tried: Sequence[Entrant], progress: Tell | None = None
) -> Iterator[Candidate]:
    """Every entrant as a candidate, as soon as it is known: those that are out without a run first, then the runs.

    progress(what, done, total) is told of every run of every type.
    """
    runs = [each for each in tried if each.asked is not None]
    yield from (_without(each, State.UNFIT, *(why.says for why in each.unfit)) for each in tried if each.asked is None)
    asked = [each.asked for each in runs if each.asked is not None]
    for each, ran in zip(runs, run_variants(scenario, asked, progress), strict=True):
        yield figured(scenario, lines, each, ran) if ran.result else not_run(each, ran.variant.cause)


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
