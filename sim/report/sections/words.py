"""Sentences that several sections need: a limit and what was found, a case's ends of spreads."""

from __future__ import annotations

from collections.abc import Sequence

from sim.report.source import Source
from sim.report.spans import Spans, joined, say
from sim.results.model import Finding
from sim.results.verdict import deciding_load

_IN_WORDS = {
    "clearance": "The clearance of {of} is {found} in the case “{case}”; at least {required} is asked for.",
    "g_load": "{of} feels {found} times its weight in the case “{case}”; at most {required} is asked for.",
    "landing_speed": "{of} touches down at {found} in the case “{case}”; at most {required} is asked for.",
    "design_factor": "{of} has a design factor of {found} on the {load} load in the case “{case}”; "
    "at least {required} is asked for.",
}
_STRIKES = (
    "{of} reaches the {ground} in the case “{case}”, with a clearance of {found}; at least {required} is asked for."
)
_NO_LIMIT = {
    "landing_speed": "{of} comes down on the floor at {found} in the case “{case}”, and no landing_speed is stated "
    "among the limits.",
}
_OTHER = "{limit} of {of}: {found} in the case “{case}”; the limit is {required}."


def finding_in_words(source: Source, finding: Finding, *field: str | int) -> Spans:
    """One finding, under its field of the result, as a sentence that a person outside the trade can read."""
    of = source.words(*field, "of")
    if finding.found is None:
        remark = source.words(*field, "remark")
        return say(
            "{kind} of {of}: {remark}", kind=finding.limit.partition(" ")[0].replace("_", " "), of=of, remark=remark
        )
    kind, _, load = finding.limit.partition(" ")
    sentence = _IN_WORDS.get(kind, _OTHER)
    if kind == "clearance" and finding.found <= 0.0:
        sentence = _STRIKES
    if finding.required is None:
        sentence = _NO_LIMIT.get(kind, "{limit} of {of}: {found} in the case “{case}”, and no limit is stated.")
    return say(
        sentence,
        of=of,
        ground=ground(source),
        limit=source.words(*field, "limit"),
        load=load,
        found=source.number(*field, "found", unit=finding.unit),
        required=source.number(*field, "required", unit=finding.unit),
        case=source.words(*field, "case"),
    )


def findings_in_words(source: Source, same: Sequence[int]) -> Spans:
    """Findings by their numbers as one sentence: those without a number that have the same limit and remark."""
    first = source.result.findings[same[0]]
    if len(same) == 1:
        return finding_in_words(source, first, "findings", same[0])
    return say(
        "{kind} of {names}: {remark}",
        kind=first.limit.partition(" ")[0].replace("_", " "),
        names=joined([(source.words("findings", i, "of"),) for i in same]),
        remark=source.words("findings", same[0], "remark"),
    )


def ground(source: Source) -> str:
    """What clearance is measured from: the floor, or the water where that is higher."""
    drawing = source.result.drawing
    if drawing is None or drawing.water_m is None:
        return "floor"
    return "floor" if drawing.floor_m is not None and drawing.floor_m >= drawing.water_m else "water"


def range_in_words(source: Source, index: int) -> Spans:
    """What a limit comes to elsewhere in the ranges of the lines' data, beside what it is as stated."""
    each = source.result.ranges[index]
    lines = [
        say(
            "{name} has {factor} times its stretch",
            name=source.key("ranges", index, "stretch", name),
            factor=source.number("ranges", index, "stretch", name, unit=""),
        )
        for name in each.stretch
    ]
    return say(
        "{finding} As stated it is {stated}; here {lines}.",
        finding=finding_in_words(source, each.finding, "ranges", index, "finding"),
        stated=source.number("ranges", index, "stated", unit=each.finding.unit),
        lines=joined(lines, ", "),
    )


def ends_in_words(source: Source, case: str) -> Spans:
    """What a case takes at an end of its stated spread: `lamplighter mass 87.0 kg (heaviest)`."""
    pieces = []
    for i, end in enumerate(source.result.cases[case].ends):
        field = ("cases", case, "ends", i)
        pieces.append(
            say(
                "{of} {what} {value} ({end})",
                of=source.words(*field, "of"),
                what=source.words(*field, "what"),
                value=source.number(*field, "value", unit=end.unit),
                end=source.words(*field, "end"),
            )
        )
    return joined(pieces, "; ")


def deciding(source: Source, element: str) -> str | None:
    """The load that decides about an element: static, working or emergency."""
    return deciding_load(source.result.elements[element])


def worst_place(source: Source, element: str, load: str | None) -> Spans:
    """In which case, under which load and where an element is worst off."""
    each = source.result.elements[element]
    case: Spans = say("at rest") if load == "static" else (source.words("elements", element, "worst_case"),)
    kind = say(" ({load})", load=load) if load in ("working", "emergency") else ()
    has_place = each.worst_place not in ("", element)
    where = say(", {place}", place=source.words("elements", element, "worst_place")) if has_place else ()
    return (*case, *kind, *where)
