"""The verdict on a scenario: every element and every limit against what the runs gave."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sim.results.model import CaseResult, ElementResult, Finding
from sim.scenario.model import Scenario
from sim.strength.elements import judge_element, weakest
from sim.strength.limits import element_findings, performer_findings, unfinished, verdict
from sim.strength.prepare import Prepared, prepare


@dataclass(frozen=True)
class Judgement:
    """What the runs mean for a scenario, in the fields a Result takes over.

    unfinished: why the exit status is 3, one sentence each. limits: those asked for, by the keys plots draw them under.
    """

    elements: Mapping[str, ElementResult]
    findings: tuple[Finding, ...]
    weakest: str | None
    verdict: str
    exit_status: int
    assumptions: tuple[str, ...]
    limits: Mapping[str, float]
    unfinished: tuple[str, ...]


def judge(
    scenario: Scenario,
    cases: Mapping[str, CaseResult],
    not_simulated: Sequence[str] = (),
    prepared: Prepared | None = None,
) -> Judgement:
    """Judge the cases of a scenario. Raises StrengthError as `prepare` does, unless `prepared` is given.

    cases: by name; their `peaks` and `static_N` (N) have a key for each element (harness: '<performer> harness') and,
    for each span of a line, '<line>:<from> -> <to>'. Without span keys the line's own force stands at all its places.
    A fitting is looked up by its own name, then by what it holds. exit_status: 0 within, 1 outside or not judged,
    3 where something failed, failed its audit, was not audited or could not be simulated.
    """
    ready = prepared or prepare(scenario)
    elements = {element.name: judge_element(element, cases) for element in ready.elements}
    findings = (
        *performer_findings(ready.limits, ready.performers, cases),
        *element_findings(elements),
    )
    open_ends = unfinished(cases, not_simulated)
    word, exit_status = verdict(findings, elements, open_ends)
    return Judgement(
        elements=elements,
        findings=findings,
        weakest=weakest(elements),
        verdict=word,
        exit_status=exit_status,
        assumptions=(*ready.assumptions, *_holding(ready, cases)),
        limits=ready.limits.drawn,
        unfinished=open_ends,
    )


def _holding(ready: Prepared, cases: Mapping[str, CaseResult]) -> list[str]:
    """What holds a performer before release bears a force too, and the file has no strength for it."""
    sentences = []
    for name in ready.held:
        forces = [each.static_N[key] for each in cases.values() if (key := f"what holds {name}") in each.static_N]
        size = f" {max(forces):.0f} N" if forces else " a force"
        sentences.append(f"What holds {name} until the release bears{size}; its strength was not judged.")
    return sentences
