"""What to test before anyone flies, with what the simulation predicts and room for what is measured; signatures."""

from __future__ import annotations

from collections.abc import Iterator

from sim.report.blocks import BLANK, Block, Bullets, Column, Paragraph, Table
from sim.report.sections.words import ends_in_words
from sim.report.sections.worst import PLANNED
from sim.report.source import Source
from sim.report.spans import Spans, say
from sim.results.model import CaseResult, Outcome

_MEASURED = (Column("predicted", share=1.0), Column("measured", share=1.0), Column("by, date", share=1.0))


def proving(source: Source) -> Iterator[Block]:
    """Proof loads, unmanned runs of each case, brakes."""
    yield Paragraph(say(
        "None of this is replaced by the simulation. Which tests are due, with what loads and by whom, is "

                        "for the applicable standard, the local code and the competent person; fields are left for "
                        "both. "
                        "Where measured and predicted differ by more than the competent person accepts, the rig is "
                        "different from the one described here: find out why before going on."))  # fmt: skip
    yield _proof(source)
    yield from _unmanned(source)
    yield from _brakes(source)
    yield Bullets(tuple(_by_eye(source)))


def signing(source: Source) -> Iterator[Block]:
    """Who designed, checked and operates."""
    rows = tuple((say(who), BLANK, BLANK, BLANK) for who in ("Designer", "Checker (competent person)", "Operator"))
    columns = (Column("", share=1.4), Column("name", share=2.0), Column("signature", share=2.0), Column("date"))
    yield Table(columns, rows, to_fill_in=True)
    yield Paragraph(
        say("A signature answers for this rig as described in this document, in this revision, and for no other.")
    )


def _proof(source: Source) -> Table:
    rows = [
        ((source.key("elements", name),), (source.number("elements", name, "working_N"),),
         (source.number("elements", name, "emergency_N"),), BLANK, BLANK, BLANK)
        for name in source.result.elements
    ]  # fmt: skip
    columns = (
        Column("element", share=1.6), Column("working load", share=1.0), Column("emergency load", share=1.1),
        Column("proof load, by which standard", share=1.8), Column("result", share=1.0), Column("by, date", share=1.0),
    )  # fmt: skip
    return Table(columns, tuple(rows), "Static proof of each element, by the applicable standard", to_fill_in=True)


def _unmanned(source: Source) -> Iterator[Block]:
    rows = []
    for name, case in source.result.cases.items():
        if case.outcome is Outcome.FAILED:
            continue
        stops = case.stop_time_s is not None
        at = say("; stop or failure at {time}", time=source.number("cases", name, "stop_time_s")) if stops else ()
        ends = ends_in_words(source, name)
        which = say(
            "{case}{at}{ends}", case=source.key("cases", name), at=at, ends=say("; {e}", e=ends) if ends else ()
        )
        predicted = [*_predicted(source, name, case)]
        rows += [(which if i == 0 else (), *row) for i, row in enumerate(predicted)]
    if rows:
        columns = (Column("case", share=2.4), Column("quantity", share=2.2), *_MEASURED)
        caption = "Unmanned runs with a matching mass: predicted and measured"
        yield Table(columns, tuple(rows), caption, to_fill_in=True)


def _predicted(source: Source, name: str, case: CaseResult) -> Iterator[tuple[Spans, ...]]:
    """For each performer force and height, for each drive that stops its distance, for each line its peak."""
    for who in case.performers:
        field = ("cases", name, "performers", who)
        key = source.key(*field)
        figures: tuple[tuple[str, str, str | None], ...] = (
            ("greatest force over weight of {of}", "peak_g", ""),
            ("lowest height of the suspension point of {of}", "lowest_height_m", None),
        )
        for words, figure, unit in figures:
            yield say(words, of=key), (source.number(*field, figure, unit=unit),), BLANK, BLANK
    for drive, done in case.drives.items():
        field = ("cases", name, "drives", drive)
        key = source.key(*field)
        if done.stopping_distance_m is not None:
            how = "line let out or in by {of}, which runs on" if done.runs_on else "{of} stops in"
            yield say(how, of=key), (source.number(*field, "stopping_distance_m"),), BLANK, BLANK
        elif name == PLANNED:
            yield say("top speed of line at {of}", of=key), (source.number(*field, "top_speed_m_s"),), BLANK, BLANK
    lines = {line.name for line in source.result.drawing.lines}
    for element in case.peaks:
        if element in lines:
            field = ("cases", name, "peaks", element)
            yield say("peak tension of {of}", of=source.key(*field)), (source.number(*field, "force_N"),), BLANK, BLANK


def _brakes(source: Source) -> Iterator[Block]:
    if source.scenario is None:
        return
    rows = []
    for name, drive in source.scenario.drives.items():
        for i in range(len(getattr(drive, "brakes", ()) or ())):
            for key in ("force", "delay", "rise"):
                value = source.described("drives", name, "brakes", i, keys=(key,))
                if value:
                    rows.append(
                        (say("{of}: {key} of brake", of=source.given("drives", name), key=key), value, BLANK, BLANK)
                    )
    if rows:
        yield Table((Column("brake", share=2.0), Column("as simulated", share=1.4), *_MEASURED[1:]), tuple(rows),
                    "Brake test", to_fill_in=True)  # fmt: skip


def _by_eye(source: Source) -> Iterator[Spans]:
    kinds = {point.kind for point in source.result.drawing.points}
    yield say("Before each of these: every line, end and fitting looked at and felt over its whole length, and every "
              "fitting closed and secured.")  # fmt: skip
    if kinds & {"sheave", "bar"}:
        yield say(
            "While each runs: lines stay in their grooves, run clear of edges and of each other, and no slack gathers."
        )
    evidence = any(r.needs_evidence for each in source.result.elements.values() for r in each.reductions)
    if evidence:
        yield say(
            "Where a reduction “needs evidence”, break a sample made up as it is used, or take the maker's figure."
        )
