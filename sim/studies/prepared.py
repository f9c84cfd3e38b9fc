"""A scenario made ready: its rig, hanging as described, and what will be judged of it. Needs no compiled solver."""

from __future__ import annotations

from sim.build import build_rig
from sim.dynamics.cutting import balance, start_positions
from sim.rig.rig import Rig, RigError
from sim.scenario.model import Scenario
from sim.strength.prepare import Prepared, StrengthError, prepare


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
