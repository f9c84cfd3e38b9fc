"""What a result comes to, read off its own fields: worst first, what is missing, the verdict as one sentence.

Shared by the terminal, the report and notebooks, so that all of them put the same element first and say the same.
"""

from __future__ import annotations

from collections.abc import Iterable

from sim.results.model import SHORT_OF_MOVES, ElementResult, Factors, Finding, Outcome, RangeFinding, Result

LOADS = ("static", "working", "emergency")
WITHIN_WORDS = {True: "within", False: "OUTSIDE", None: "not judged"}
"""How a judgement is written: the one that matters stands out without any colour."""

_OUTSIDE_FIRST = {False: 0, None: 1, True: 2}
_FACTOR = "design_factor"


def verdict_sentence(result: Result) -> str:
    """What the result comes to, with the counts that make it so and the weakest element."""
    judged = [each.within for each in (*beside_elements(result), *result.elements.values())]
    outside, unjudged = judged.count(False), judged.count(None)
    parts = [f"{judged.count(True)} within"]
    parts += [f"{outside} outside"] if outside else []
    parts += [f"{unjudged} not judged"] if unjudged else []
    failed = len(unfinished(result))
    parts += [f"{failed} not finished"] if failed else []
    parts += [f"{len(result.not_simulated)} not simulated"] if result.not_simulated else []
    weakest = f" Weakest element: {result.weakest}." if result.weakest else ""
    helps = f" {result.helps[:1].upper()}{result.helps[1:]}" if result.helps else ""
    turned = sum(1 for each in result.ranges if each.turned)
    of_those = f"{turned} of those within" if turned > 1 else "One of those within"
    but = f" {of_those} would be outside with lines stiffer or softer, as far as their data allow." if turned else ""
    return f"Verdict: {result.verdict} ({', '.join(parts)}).{but}{weakest}{helps}"


def deciding_load(element: ElementResult) -> str | None:
    """The load whose design factor leaves the least margin over what is required; None where none can be compared."""
    margins = load_margins(element.design_factor, element.required)
    return min(margins, key=lambda load: margins[load], default=None)


def load_margins(found: Factors, required: Factors) -> dict[str, float]:
    """Margin of each load that has a design factor and a requirement: available over required, less one."""
    return {
        load: factor / asked - 1.0
        for load in LOADS
        if (factor := getattr(found, load)) is not None and (asked := getattr(required, load))
    }


def least_margin(element: ElementResult) -> float | None:
    """The margin of the deciding load; below 0 is outside. None where no load can be compared."""
    return min(load_margins(element.design_factor, element.required).values(), default=None)


def deciding_force_N(element: ElementResult) -> float | None:
    """The force of the deciding load; where none decides, the largest."""
    load = deciding_load(element)
    forces = {each: getattr(element, f"{each}_N") for each in LOADS}
    if load is not None:
        return forces[load]
    return max((force for force in forces.values() if force is not None), default=None)


def elements_worst_first(result: Result) -> list[ElementResult]:
    """All elements: outside, then not judged, then within, each by the margin that is left."""
    return sorted(result.elements.values(), key=_worst_first)


def _worst_first(element: ElementResult) -> tuple[int, float]:
    margin = least_margin(element)
    return _OUTSIDE_FIRST[element.within], -1.0 if margin is None else margin


def findings_worst_first(result: Result) -> list[Finding]:
    """The findings beside those of elements: outside, then not judged, then within."""
    return sorted(beside_elements(result), key=lambda finding: _OUTSIDE_FIRST[finding.within])


def ranges_that_matter(result: Result) -> list[RangeFinding]:
    """What the ranges of the lines' data leave open, in short: what is outside there, people, the weakest element."""
    return [
        each
        for each in result.ranges
        if each.turned or each.finding.of == result.weakest or each.finding.of not in result.elements
    ]


def beside_elements(result: Result) -> list[Finding]:
    """The findings that the elements' table does not hold already."""
    return [each for each in result.findings if not (each.limit.startswith(_FACTOR) and each.of in result.elements)]


def unfinished(result: Result) -> list[str]:
    """What was not run to its end, and why."""
    failed = [
        f"{case.name}: {case.reason}" + (f" ({case.remedy})" if case.remedy else "")
        for case in result.cases.values()
        if case.outcome is Outcome.FAILED
    ]
    rows = sum(1 for sweep in result.sweeps.values() for cause in sweep.causes if cause)
    instants = "one instant" if rows == 1 else f"{rows} instants"
    return failed + ([f"{instants} of a stop sweep; sweep.csv says why"] if rows else [])


def not_judged(result: Result) -> list[str]:
    """What could not be judged, and why: all that has the same reason together."""
    judged: Iterable[ElementResult | Finding] = (*result.elements.values(), *beside_elements(result))
    why: dict[str, list[str]] = {}
    for each in judged:
        if each.within is None and each.remark:
            of = each.name if isinstance(each, ElementResult) else f"{each.limit.replace('_', ' ')} of {each.of}"
            why.setdefault(each.remark, []).append(of)
    return [f"{', '.join(dict.fromkeys(names))}: {remark}" for remark, names in why.items()]


def not_as_planned(result: Result) -> list[str]:
    """The remarks on drives that did not do what their moves ask, each once, with the cases."""
    return [text for text in remarks(result) if SHORT_OF_MOVES in text]


def remarks(result: Result) -> list[str]:
    """Each remark once, with the cases it was made in; their names have commas of their own."""
    cases: dict[str, list[str]] = {}
    for case in result.cases.values():
        for remark in case.remarks:
            cases.setdefault(remark, []).append(case.name)
    everywhere = len(result.cases)
    return [text if len(names) == everywhere else f"{text} ({'; '.join(names)})" for text, names in cases.items()]
