"""The load cases: what was run, with which ends of spreads, and how each ended; the planned move in its steps."""

from __future__ import annotations

from collections.abc import Iterator

from sim.report.blocks import Block, Column, Paragraph, Table
from sim.report.sections.words import ends_in_words
from sim.report.sections.worst import PLANNED
from sim.report.source import Source
from sim.report.spans import Spans, say
from sim.results.model import Outcome


def move(source: Source) -> Iterator[Block]:
    """The move as asked for and as it came out."""
    scenario = source.scenario
    if scenario is not None and scenario.moves:
        rows = [(say(str(i + 1)), source.described("moves", i)) for i in range(len(scenario.moves))]
        yield Table((Column("", share=0.2), Column("move as asked for", share=6.0)), tuple(rows))
    elif scenario is not None:
        yield Paragraph(say("No drive is asked to move."))
    case = source.result.cases.get(PLANNED)
    if case is None:
        return
    rows = []
    for name in case.drives:
        field = ("cases", PLANNED, "drives", name)
        paid, speed = source.number(*field, "paid_out_m", bare=True), source.number(*field, "top_speed_m_s", bare=True)
        rows.append(((source.key(*field),), (paid,), (speed,)))
    if rows:
        length, speed = source.look.sign("m"), source.look.sign("m/s")
        heads = (
            Column("drive"),
            Column(f"line paid out {length}", numbers=True),
            Column(f"top speed {speed}", numbers=True),
        )
        yield Table(heads, tuple(rows), "What the drives did in the planned move")
    yield from _steps(source)


def _steps(source: Source) -> Iterator[Block]:
    """The events of the planned move that are a drive's own."""
    case = source.result.cases[PLANNED]
    rows = []
    for i, event in enumerate(case.events):
        if event.where in case.drives:
            field = ("cases", PLANNED, "events", i)
            time = (source.number(*field, "time_s", bare=True),)
            rows.append((time, (source.words(*field, "what"),), (source.words(*field, "where"),)))
    if rows:
        yield Table((Column("time s", numbers=True), Column("what"), Column("where")), tuple(rows), "Its steps in time")


def cases(source: Source) -> Iterator[Block]:
    """Normal operation, stops and failures, and each case that was run."""
    scenario = source.scenario
    if scenario is not None:
        asked = (
            ("stops", "stop", ("name",), len(scenario.stops)),
            ("faults", "failure", _FAILURE_SAYS, len(scenario.faults)),
        )
        for section, head, what, number in asked:
            rows = [(_which(source, section, i, what), _how(source, section, i, what)) for i in range(number)]
            if rows:
                yield Table((Column(head, share=2.0), Column("as asked for", share=4.0)), tuple(rows))
        if not scenario.stops:
            yield Paragraph(say("The scenario says that no stop is looked at."))
    columns = (
        Column("case", share=2.0), Column("load"), Column("at s", numbers=True), Column("runs s", numbers=True),
        Column("at ends of spreads", share=3.0), Column("ended", share=1.4),
    )  # fmt: skip
    rows, loud = [], set()
    for name, case in source.result.cases.items():
        field = ("cases", name)
        if case.outcome is Outcome.FAILED:
            loud.add(len(rows))
        ended: Spans = (source.words(*field, "outcome"),)
        if case.reason:
            ended = (*ended, *say(": {why}", why=source.words(*field, "reason")))
        rows.append(
            (
                (source.key(*field),),
                (source.words(*field, "kind"),),
                (source.number(*field, "stop_time_s", bare=True),),
                (source.number(*field, "duration_s", bare=True),),
                ends_in_words(source, name) or say("as stated"),
                ended,
            )
        )
    yield Table(columns, tuple(rows), "Cases run; a working case is judged as working load", frozenset(loud))
    yield from _sweeps(source)


_FAILURE_SAYS = ("when", "then")
"""What of a failure tells when, not which."""


def _which(source: Source, section: str, i: int, what: tuple[str, ...]) -> Spans:
    if section == "stops":
        return source.described(section, i, keys=what)
    return source.described(section, i, leave=what)


def _how(source: Source, section: str, i: int, what: tuple[str, ...]) -> Spans:
    if section == "stops":
        return source.described(section, i, leave=what)
    return source.described(section, i, keys=what)


def _sweeps(source: Source) -> Iterator[Block]:
    for name, sweep in source.result.sweeps.items():
        failed = sum(1 for cause in sweep.causes if cause)
        words: Spans = say(
            "“{name}” was run at every instant a stop can come; the worst of them stand in the table as cases.",
            name=source.key("sweeps", name),
        )
        yield Paragraph(words)
        if failed:
            yield Paragraph(say("Some of its instants have no result; the sweep's file says why."))
