"""One attack on the reader: whatever the bytes, a scenario that builds, or every fault in words."""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from pathlib import Path

from sim.rig.rig import RigError
from sim.scenario import ScenarioErrors, filled_in, read_bytes, read_text
from sim.studies.checked import check_summary, checked_flights
from sim.studies.prepared import made_ready


def attack(content: bytes, path: Path) -> str:
    """What became of a file's bytes: 'refused', 'no rig' or 'a rig'. Anything else that happens is a finding.

    path: where the file would lie, for the files it names.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("error")  # an overflow or a division by zero on the way is a finding too
        try:
            scenario = read_bytes(content, path)
        except ScenarioErrors as errors:
            return _told([str(fault) for fault in errors.faults], "refused")
        again = read_text(filled_in(scenario))
        assert filled_in(again) == filled_in(scenario)
        try:
            rig, _ = made_ready(scenario)
        except RigError as wrong:
            return _told(wrong.sentences, "no rig")
        check_summary(scenario, rig)
        checked_flights(rig)
    return "a rig"


def _told(sentences: Sequence[str], outcome: str) -> str:
    """The outcome, if it was told in words that can be shown and are no accident of arithmetic."""
    assert sentences, f"{outcome} without a word"
    for sentence in sentences:
        assert sentence.isprintable(), sentence
        assert not {"nan", "inf", "-inf"} & set(sentence.split()), sentence
    return outcome
