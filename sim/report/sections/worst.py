"""The worst credible case, in words: the highest force, the hardest moment for a person, the least clearance."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from sim.report.sections.words import deciding, ends_in_words, ground
from sim.report.source import Source
from sim.report.spans import Spans, say
from sim.results.model import Outcome, PerformerResult
from sim.results.on_floor import on_floor

PLANNED = "planned move"


def worst_credible(source: Source) -> Iterator[Spans]:
    """One sentence each for the weakest element, and for each performer's hardest moment and least clearance."""
    yield from _weakest(source)
    for name in dict.fromkeys(n for case in source.result.cases.values() for n in case.performers):
        yield from _hardest(source, name)
        yield from _lowest(source, name)


def telling_cases(source: Source) -> list[str]:
    """The cases that these sentences are about, and the planned move: those worth seeing move. Each once."""
    names = [PLANNED]
    weakest = source.result.elements.get(source.result.weakest or "")
    if weakest is not None:
        names.append(weakest.worst_case)
    for who in dict.fromkeys(n for case in source.result.cases.values() for n in case.performers):
        hardest = _extreme(source, who, lambda seen: seen.peak_g, max)
        lowest = _extreme(source, who, lambda seen: seen.clearance_m, min)
        names += [name for name in (hardest, lowest) if name is not None]
    return [name for name in dict.fromkeys(names) if name in source.result.cases]


def _weakest(source: Source) -> Iterator[Spans]:
    name = source.result.weakest
    if name is None or name not in source.result.elements:
        return
    element = source.result.elements[name]
    load = deciding(source, name)
    if load is None:
        return
    yield say(
        "The weakest element is {name}: {force} on it {when}, against a strength of {strength}, which is a design "
        "factor of {factor} where {required} is asked for.",
        name=source.key("elements", name),
        force=source.number("elements", name, f"{load}_N"),
        when=say("at rest") if load == "static" else _in_case(source, element.worst_case),
        strength=source.number("elements", name, "strength_N"),
        factor=source.number("elements", name, "design_factor", load),
        required=source.number("elements", name, "required", load),
    )
    if source.result.helps:
        yield say("What would help: {helps}", helps=source.words("helps"))


def _hardest(source: Source, performer: str) -> Iterator[Spans]:
    case = _extreme(source, performer, lambda seen: seen.peak_g, max)
    if case is not None:
        field = ("cases", case, "performers", performer)
        yield say(
            "{name} feels most {when}: {g} times its weight, {time} into the run{floor}.",
            name=source.key(*field),
            when=_in_case(source, case),
            g=source.number(*field, "peak_g", unit=""),
            time=source.number(*field, "peak_g_time_s"),
            floor=", on the floor, not on a line" if _on_floor(source, case, performer) else "",
        )


def _on_floor(source: Source, case: str, performer: str) -> bool:
    return case in source.result.traces and on_floor(source.result, source.result.cases[case], performer)


def _lowest(source: Source, performer: str) -> Iterator[Spans]:
    case = _extreme(source, performer, lambda seen: seen.clearance_m, min)
    if case is not None:
        field = ("cases", case, "performers", performer)
        clearance_m = source.result.cases[case].performers[performer].clearance_m
        reaches = clearance_m is not None and clearance_m <= 0.0
        yield say(
            "{name} reaches the {ground} {when}: a clearance of {clearance}, {time} into the run."
            if reaches
            else "{name} comes nearest to the {ground} {when}: a clearance of {clearance}, {time} into the run.",
            name=source.key(*field),
            ground=ground(source),
            when=_in_case(source, case),
            clearance=source.number(*field, "clearance_m"),
            time=source.number(*field, "lowest_height_time_s"),
        )


def _in_case(source: Source, case: str) -> Spans:
    """`in the case “power loss, worst g” (at 2.45 s; lamplighter mass 81 kg (lightest))`."""
    found = source.result.cases.get(case)
    if found is None:
        return ()
    moment = say("at {time}", time=source.number("cases", case, "stop_time_s")) if found.stop_time_s is not None else ()
    ends = ends_in_words(source, case)
    more = (*moment, *(say("; ") if moment and ends else ()), *ends)
    brackets = say(" ({more})", more=more) if more else ()
    return say("in the case “{case}”{brackets}", case=source.key("cases", case), brackets=brackets)


def _extreme(
    source: Source, performer: str, of: Callable[[PerformerResult], float | None], choose: Callable[..., str]
) -> str | None:
    """The finished case in which a performer's figure is extreme."""
    found = {
        name: value
        for name, case in source.result.cases.items()
        if case.outcome is not Outcome.FAILED
        and performer in case.performers
        and (value := of(case.performers[performer])) is not None
    }
    return choose(found, key=lambda name: found[name]) if found else None
