"""What a choice shows of one type's study: whether it is out, margins, stretch at the hook, weight, ends, evidence."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from sim.results.choice import Candidate, State
from sim.results.finding import Finding, margin
from sim.results.model import ElementResult, Result
from sim.results.verdict import least_margin, not_judged
from sim.scenario import Scenario
from sim.scenario.water import is_wet
from sim.strength.bends import falls_short, life_share
from sim.strength.catalogue import find
from sim.strength.evidence import evidence_needed
from sim.strength.fitness import smallest_tread
from sim.strength.limits import NOT_FINISHED, NOT_JUDGED, unfinished
from sim.strength.making import hardest
from sim.strength.own import line_data
from sim.strength.words import NEEDS_EVIDENCE
from sim.studies.choose_entrants import Entrant
from sim.studies.choose_stretch import stretch_at_hook
from sim.studies.compare import Ran
from sim.studies.compare_left import certificates


def figured(scenario: Scenario, lines: Sequence[str], entrant: Entrant, ran: Ran) -> Candidate:
    """One type that was run, with all that is shown of it. scenario: as it was before that type was written in."""
    result, made = ran.result, ran.scenario
    assert result is not None
    assert made is not None
    outside = _outside(result)
    state, why = _state(result, outside)
    worst = min((result.elements[line] for line in lines), key=_of_line)
    first = made.lines[lines[0]]
    left_behind = certificates(scenario, made, result)  # said once for all types
    notes = [note for note in ran.variant.notes if note not in left_behind]
    ends = {at: word for line in lines for at, word in made.lines[line].terminations.items()}
    return Candidate(
        name=entrant.name,
        type=entrant.type,
        size=entrant.size.written if entrant.size else "",
        state=state,
        why=why,
        outside=outside,
        diameter_m=entrant.size.diameter_m if entrant.size else None,
        figures=ran.variant.figures,
        line=worst,
        line_margin=least_margin(worst),
        stretch=stretch_at_hook(made, result),
        mass_kg_per_m=result.lines[lines[0]].own_weight.mass_kg_per_m,
        mass_kg=sum(result.lines[line].own_weight.out_kg for line in lines),
        D_to_d=_ratio(made, lines),
        ends=ends,
        effort=hardest(ends.values()),
        visibility=find(first.type).visibility.says if isinstance(first.type, str) else "",
        evidence=tuple(dict.fromkeys(each for line in lines for each in evidence_needed(made, line))),
        remarks=(*entrant.remarks, *_remarks(made, lines), *notes),
    )


def _outside(result: Result) -> tuple[Finding, ...]:
    """What is outside its limit, once each, the least margin first."""
    found = [each for each in result.findings if each.within is False]
    return tuple(sorted(found, key=_margin))


def _margin(finding: Finding) -> float:
    """Available over required less one; -1 for what has no strength at all."""
    left = margin(finding)
    return -1.0 if left is None else left


def _of_line(element: ElementResult) -> float:
    left = least_margin(element)
    return math.inf if left is None else left


def _state(result: Result, outside: Sequence[Finding]) -> tuple[State, tuple[str, ...]]:
    if outside:
        return State.OUT, ()
    if result.verdict == NOT_FINISHED:
        return State.NOT_FINISHED, unfinished(result.cases, result.not_simulated)
    if result.verdict == NOT_JUDGED:
        return State.NOT_JUDGED, tuple(not_judged(result)) or ("no limit is asked for",)
    return State.REMAINS, ()


def _ratio(made: Scenario, lines: Sequence[str]) -> float | None:
    """The smallest tread over the line's diameter."""
    ratios = [
        tread.diameter_m / line.diameter.m
        for name in lines
        if (line := made.lines[name]).diameter and (tread := smallest_tread(made, line))
    ]
    return min(ratios, default=None)


def _remarks(made: Scenario, lines: Sequence[str]) -> Iterator[str]:
    """A tread that shortens its life, and what water does to it where there is water."""
    ratio, data = _ratio(made, lines), line_data(made.lines[lines[0]], lines[0])
    life = data.D_to_d_life
    if ratio is not None and life is not None and falls_short(ratio, life):
        weak = f" ({NEEDS_EVIDENCE})" if data.sources["D_to_d_life"].needs_evidence else ""
        share = life_share(ratio, data)
        lasts = f": it lasts about {share:.0%} of the bends" if share is not None else ""
        yield f"D:d is {ratio:.3g}, and {life:g} is wanted for a useful life in bending{weak}{lasts}."
    material = data.material
    if material is not None and any(is_wet(made, name) for name in lines):
        yield f"Wet: {material.wet.says}"
    if material is not None and made.environment.water is not None:
        yield "It floats." if material.floats else "It sinks."
