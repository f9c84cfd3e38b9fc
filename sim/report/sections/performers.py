"""What each performer feels, how near the floor comes, how long it takes to stop."""

from __future__ import annotations

from collections.abc import Iterator

from sim.report.blocks import Block, Column, Paragraph, Table, Tone
from sim.report.source import Source
from sim.report.spans import Spans, joined, say
from sim.results.body import PUBLISHED
from sim.results.verdict import WITHIN_WORDS


def performers(source: Source) -> Iterator[Block]:
    """Limits, then tables of each case and performer, then what the body feels with what is published beside it."""
    if source.result.findings:
        yield from _limits(source)
    yield _cases(source)
    yield from _drives(source)
    yield from _body(source)


def _limits(source: Source) -> Iterator[Block]:
    rows, loud = [], set()
    for i, each in enumerate(source.result.findings):
        if each.limit.startswith("design_factor"):
            continue
        field = ("findings", i)
        if each.within is not True:
            loud.add(len(rows))
        rows.append(
            (
                say(WITHIN_WORDS[each.within]),
                say("{limit}", limit=_LIMITS.get(each.limit, each.limit.replace("_", " "))),
                (source.words(*field, "of"),),
                (source.words(*field, "case"),) if each.case else (),
                (source.number(*field, "found", unit=each.unit),),
                (source.number(*field, "required", unit=each.unit),),
                (source.words(*field, "remark"),) if each.remark else (),
            )
        )
    if rows:
        columns = (
            Column("", share=0.8), Column("limit", share=1.4), Column("of"), Column("case", share=1.6),
            Column("found", numbers=True), Column("limit is", numbers=True), Column("remark", share=1.5),
        )  # fmt: skip
        yield Table(columns, tuple(rows), "Limits set for people", frozenset(loud))
    else:
        yield Paragraph(say("No limit for a person is set in this scenario; nothing of the following is judged."))


_LIMITS = {
    "clearance": "least clearance",
    "g_load": "most force over weight",
    "landing_speed": "most speed at touch-down",
}


def _cases(source: Source) -> Table:
    length, speed = source.look.sign("m"), source.look.sign("m/s")
    columns = (
        Column("case", share=2.2), Column("performer", share=1.4),
        Column("force over weight", numbers=True), Column("same, CFC 60", numbers=True),
        Column("time of it s", numbers=True), Column(f"clearance {length}", numbers=True),
        Column(f"lowest point {length}", numbers=True), Column(f"top speed {speed}", numbers=True),
        Column("slack s", numbers=True),
    )  # fmt: skip
    rows = []
    for case, found in source.result.cases.items():
        for name in found.performers:
            field = ("cases", case, "performers", name)
            figures = (
                "peak_g", "peak_g_cfc60", "peak_g_time_s", "clearance_m", "lowest_height_m", "top_speed_m_s", "slack_s",
            )  # fmt: skip
            unit = {"peak_g": "", "peak_g_cfc60": ""}
            numbers = [(source.number(*field, each, unit=unit.get(each), bare=True),) for each in figures]
            rows.append(((source.key("cases", case),), (source.key(*field),), *numbers))
    return Table(columns, tuple(rows), "Performers in each case; the lowest point is of the suspension point")


def _drives(source: Source) -> Iterator[Block]:
    rows = []
    for case, found in source.result.cases.items():
        for name, drive in found.drives.items():
            if drive.stopping_distance_m is None:
                continue
            field = ("cases", case, "drives", name)
            figures = ("stopping_distance_m", "stopping_time_s", "brake_slip_m")
            numbers: list[Spans] = [(source.number(*field, each, bare=True),) for each in figures]
            if drive.runs_on:
                numbers[1] = say("runs on")
                numbers[0] = say("over {way}", way=numbers[0])
            at = (source.number("cases", case, "stop_time_s", bare=True),)
            rows.append(((source.key("cases", case),), (source.key(*field),), at, *numbers))
    if rows:
        length = source.look.sign("m")
        columns = (
            Column("case", share=2.2), Column("drive", share=1.4), Column("stop at s", numbers=True),
            Column(f"stops in {length}", numbers=True), Column("within s", numbers=True),
            Column(f"brake slips {length}", numbers=True),
        )  # fmt: skip
        yield Table(columns, tuple(rows), "Stopping distance and time, from the stop to standstill")


def _body(source: Source) -> Iterator[Block]:
    rows = []
    for case, found in source.result.cases.items():
        for name, seen in found.performers.items():
            if seen.body is None:
                continue
            field = ("cases", case, "performers", name, "body")
            figures = ("peak_g_cfc180", "peak_g_low_pass_5Hz", "peak_jerk_g_s", "dynamic_response_index")
            numbers = [(source.number(*field, each, unit=""),) for each in figures]
            above: list[Spans] = [
                say(
                    "{level}: {longest}",
                    level=source.number(*field, "above", i, "level_g"),
                    longest=source.number(*field, "above", i, "longest_s"),
                )
                for i in range(len(seen.body.above))
            ]
            rows.append(((source.key("cases", case),), (source.key("cases", case, "performers", name),), *numbers,
                         joined(above, "; ")))  # fmt: skip
    if not rows:
        return
    columns = (
        Column("case", share=1.8), Column("performer", share=1.2), Column("CFC 180", numbers=True),
        Column("5 Hz low-pass", numbers=True), Column("jerk g/s", numbers=True),
        Column("response index", numbers=True), Column("longest above a level", share=2.0),
    )  # fmt: skip
    caption = "What the body feels: figures, not judged here; force over weight filtered as named"
    yield Table(columns, tuple(rows), caption)
    yield Paragraph(say("Published values that stand beside such figures, each with its own scope:"), Tone.NOTE)
    yield Table(
        (
            Column("figure", share=1.2),
            Column("value", numbers=True),
            Column("scope", share=3.0),
            Column("read in", share=3.0),
        ),
        tuple(
            (say(each.figure), say(source.look.with_unit(each.value, each.unit)), say(each.scope), say(each.source))
            for each in PUBLISHED
        ),
    )
