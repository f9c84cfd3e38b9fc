"""Which numbers a line is simulated and judged by have no source, and want evidence before anyone relies on them."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scenario.model import Line, Scenario
from sim.scenario.water import is_wet
from sim.strength.fitness import smallest_tread
from sim.strength.lines import line_element
from sim.strength.own import line_data
from sim.strength.stated import asked_of, unproven


def evidence_needed(scenario: Scenario, name: str) -> tuple[str, ...]:
    """What wants evidence of one line as the scenario has it: its numbers in words, then its reductions.

    Only what counts here: no D:d where nothing bends it, no heat where no temperature is stated, no strength of the
    catalogue beside a certificate. A certificate that nobody gave a source for is itself in want of one.
    """
    line = scenario.lines[name]
    return tuple(dict.fromkeys((*_strength(line, name), *_numbers(scenario, name), *_reductions(scenario, name))))


def _strength(line: Line, name: str) -> Iterator[str]:
    for written in (line.breaking_strength, line.working_load_limit, line.allowed_force):
        if written is not None:
            if unproven(written):
                yield "breaking strength"
            return
    known = line_data(line, name).sources.get("breaking_strength_N")
    if known is None or known.needs_evidence:
        yield "breaking strength"


def _numbers(scenario: Scenario, name: str) -> Iterator[str]:
    line = scenario.lines[name]
    counted = {"stretch": "stretch", "mass_kg_per_m": "mass", "damping_ratio": "damping", "damping_limit": "damping"}
    sheaves = [sheave for at in line.route if (sheave := scenario.sheaves.get(at))]
    if any(sheave.turns and sheave.bending_loss is None for sheave in sheaves):
        counted["bending_loss"] = "loss in bending"
    if smallest_tread(scenario, line) is not None:
        counted["D_to_d_strength"] = "least D:d"
    data = line_data(line, name)
    for field, words in counted.items():
        if field in data.sources and data.sources[field].needs_evidence:
            yield words
    if is_wet(scenario, name) and (data.material is None or data.material.water_percent.sourced().needs_evidence):
        yield "water it holds"


def _reductions(scenario: Scenario, name: str) -> Iterator[str]:
    """Those of every place; none where an allowed force stands for itself."""
    element, _, _ = line_element(scenario, name, asked_of(None))
    for place in element.places if element else ():
        for each in place.reductions:
            if each.needs_evidence:
                yield each.what
