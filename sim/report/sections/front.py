"""The first page: what this is, what it comes to, what is outside, the cautions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sim.report.blocks import Block, Bullets, Column, Paragraph, Table, Tone
from sim.report.sections.words import deciding, finding_in_words, findings_in_words, range_in_words, worst_place
from sim.report.sections.worst import worst_credible
from sim.report.source import Source
from sim.report.spans import Spans, Traced, say, spans
from sim.results.cautions import FULL
from sim.results.model import SHORT_OF_MOVES, Outcome
from sim.strength.words import DOUBTFUL


def front(source: Source) -> Iterator[Block]:
    """The blocks of the first page."""
    yield _identity(source)
    yield Paragraph(_verdict(source), Tone.VERDICT)
    for heading, items in (
        ("Outside a limit:", [*_outside(source)]),
        ("Outside where lines are stiffer, softer or less damped, as far as their data allow:", [*_turned(source)]),
        ("Not moved as planned:", [*_not_as_planned(source)]),
        ("Not judged:", [*_not_judged(source)]),
        ("Doubtful in what is stated:", [*_doubtful(source)]),
        ("Not finished, or not passed its audit:", [*_not_finished(source)]),
        ("Written in the scenario and not simulated:", [*_each(source, "not_simulated")]),
        ("Changed since the result was written:", [(spans(_file(source, name))) for name in source.changed]),
    ):
        if items:
            yield Paragraph(say(heading), Tone.LOUD)
            yield Bullets(tuple(items), Tone.LOUD)
    yield Paragraph(say("The worst credible case"), Tone.LEAD)
    yield Bullets(tuple(worst_credible(source)))
    yield Paragraph(say("Cautions"), Tone.LEAD)
    yield Bullets(tuple(spans(each) for each in FULL))


def _identity(source: Source) -> Table:
    rows: list[tuple[Spans, ...]] = [(say("Rig and use"), (source.words("title"),))]
    if source.result.revision:
        rows.append((say("Revision"), (source.words("revision"),)))
    if source.result.prepared_by:
        rows.append((say("Prepared by"), (source.words("prepared_by"),)))
    rows.append((say("Simulated with"), say("stopload {version}", version=source.words("stamp", "version"))))
    rows.append((say("Result"), say("SHA-256 {digest}", digest=result_hash(source))))
    for name in source.result.stamp.get("files", {}):  # pyright: ignore[reportAttributeAccessIssue, reportGeneralTypeIssues]
        row = say(
            "{name} ({hash})",
            name=source.key("stamp", "files", name),
            hash=source.words("stamp", "files", name),
        )
        rows.append((say("Input"), row))
    return Table((Column("", share=1.0), Column("", share=4.0)), tuple(rows))


def result_hash(source: Source) -> Traced:
    """The SHA-256 of result.json: it names the result a report belongs to."""
    return Traced(source.digest, (), how="hash")


def _verdict(source: Source) -> Spans:
    return say("Verdict: {verdict}.", verdict=source.words("verdict"))


def _outside(source: Source) -> Iterator[Spans]:
    for i, finding in enumerate(source.result.findings):
        if finding.within is False:
            yield finding_in_words(source, finding, "findings", i)
    told = {each.of for each in source.result.findings}
    for name, element in source.result.elements.items():
        if element.within is False and name not in told:
            place = worst_place(source, name, deciding(source, name))
            yield say("{name} is outside its limit: {place}.", name=source.key("elements", name), place=place)


def _turned(source: Source) -> Iterator[Spans]:
    for i, each in enumerate(source.result.ranges):
        if each.turned:
            yield range_in_words(source, i)


def _not_judged(source: Source) -> Iterator[Spans]:
    """Each finding that was not judged; those for the same reason, without a number, in one sentence."""
    alike: dict[tuple[str, str], list[int]] = {}
    for i, finding in enumerate(source.result.findings):
        if finding.within is None:
            reason = (finding.limit, finding.remark) if finding.found is None else ("", str(i))
            alike.setdefault(reason, []).append(i)
    for same in alike.values():
        yield findings_in_words(source, same)


def _not_finished(source: Source) -> Iterator[Spans]:
    for name, case in source.result.cases.items():
        key = source.key("cases", name)
        if case.outcome is Outcome.FAILED:
            why, remedy = source.words("cases", name, "reason"), source.words("cases", name, "remedy")
            yield say("{case}: {why}. {remedy}" if case.remedy else "{case}: {why}", case=key, why=why, remedy=remedy)
        elif case.audit is None:
            yield say("{case}: was not audited.", case=key)
        elif not case.audit.passed:
            yield say("{case}: {remark}", case=key, remark=source.words("cases", name, "audit", "remark"))


def _not_as_planned(source: Source) -> Iterator[Spans]:
    """Drives that cannot do what their moves ask: the figures are then of another move than the one planned."""
    for name, case in source.result.cases.items():
        for i, text in enumerate(case.remarks):
            if SHORT_OF_MOVES in text:
                remark = source.words("cases", name, "remarks", i)
                yield say("{case}: {remark}", case=source.key("cases", name), remark=remark)


def _doubtful(source: Source) -> Iterator[Spans]:
    """What the scenario states and its material and size hardly allow: a figure built on it may be wrong."""
    for i, assumed in enumerate(source.result.assumptions):
        if assumed.startswith(DOUBTFUL):
            said = source.words("assumptions", i)
            yield (replace(said, text=said.text.removeprefix(DOUBTFUL), how="end"),)


def _each(source: Source, field: str) -> Iterator[Spans]:
    for i in range(len(source.data[field])):
        yield (source.words(field, i),)


def _file(source: Source, name: str) -> Traced:
    return source.key("written", name)
