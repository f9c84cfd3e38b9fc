"""A scenario made ready: its rig, hanging as described, and what will be judged of it. Needs no compiled solver."""

from __future__ import annotations

from collections.abc import Iterable

from sim.build import build_rig
from sim.dynamics.cutting import balance, start_positions
from sim.rig.rig import Rig, RigError
from sim.scenario.model import Scenario
from sim.strength.prepare import Prepared, StrengthError, prepare
from sim.studies.ends import AS_STATED, Ends, scenario_at
from sim.studies.failures import rig_failing


def made_ready(scenario: Scenario) -> tuple[Rig, Prepared]:
    """The rig and its strengths. Raises RigError with all that is wrong with either, at once."""
    sentences: list[str] = []
    rig, prepared = None, None
    try:
        prepared = prepare(scenario)
    except StrengthError as wrong:
        sentences += wrong.sentences
    try:
        rig = build_rig(scenario)
        balance(rig, start_positions(rig))
    except RigError as wrong:
        sentences += [sentence for sentence in wrong.sentences if sentence not in sentences]
    if rig is None or prepared is None or sentences:
        raise RigError(sentences)
    return rig, prepared


def made_at_ends(
    scenario: Scenario, every: Iterable[Ends], lost: dict[Ends, RigError] | None = None
) -> dict[Ends, Rig]:
    """The rig at ends of its spreads. Raises RigError, saying at which, where one cannot be built or cannot hang.

    lost: takes up those that a failure is why of, instead; the others can be run without them.
    """
    rigs: dict[Ends, Rig] = {}
    sentences: list[str] = []
    for ends in every:
        try:
            rigs[ends] = rig = rig_failing(build_rig(scenario_at(scenario, ends)), ends.failure)
            balance(rig, start_positions(rig))
        except RigError as wrong:
            if lost is None or ends.failure is None:
                sentences += at_ends(ends, wrong)
            else:
                lost[ends] = wrong
    if sentences:
        raise RigError(sentences)
    return rigs


def at_ends(ends: Ends, wrong: RigError) -> list[str]:
    """What is wrong with a rig at ends of its spreads, saying so."""
    if ends == AS_STATED:
        return wrong.sentences
    of = f"With {ends.failure.kind}, {ends.failure.of}" if ends.failure is not None else "At the ends of its spreads"
    return [f"{of} ({ends}): {sentence}" for sentence in wrong.sentences]
