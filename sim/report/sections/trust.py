"""The model, what it leaves out, and how far each run can be trusted."""

from __future__ import annotations

from collections.abc import Iterator

from sim.report.blocks import Block, Bullets, Column, Paragraph, Table, Tone
from sim.report.sections.words import range_in_words
from sim.report.source import Source
from sim.report.spans import Spans, say


def trust(source: Source) -> Iterator[Block]:
    """What was computed and what not, then the audit of each case."""
    yield Paragraph(say("How it is computed"), Tone.LEAD)
    yield Bullets(tuple(_model(source)))
    yield Paragraph(say("What the model leaves out"), Tone.LEAD)
    yield Bullets(tuple(_left_out(source)))
    ranges = [i for i, each in enumerate(source.result.ranges) if not each.turned]
    if ranges:
        yield Paragraph(say("Lines stiffer, softer or less damped, as their data allow"), Tone.LEAD)
        yield Paragraph(
            say(
                "The reported cases were run again in steps through the ranges of the lines' stretch, with the least "
                "damping, at the same instants. Beside what the first page names, these get worse:"
            )
        )
        yield Bullets(tuple(range_in_words(source, i) for i in ranges))
    remarks = list(dict.fromkeys(text for case in source.result.cases.values() for text in case.remarks))
    if remarks:
        yield Paragraph(say("Remarks of the runs"), Tone.LEAD)
        yield Bullets(tuple(_remarks(source)))
    yield from _audits(source)


def _kinds(source: Source) -> set[str]:
    return {point.kind for point in source.result.drawing.points}


def _model(source: Source) -> Iterator[Spans]:
    kinds = _kinds(source)
    yield say("Performers and other moving parts are masses joined by elastic lines; the equations of motion are "
              "integrated in time, and begun anew at every discontinuity, each of which is in the list of "
              "events.")  # fmt: skip
    yield say(
        "A line follows the stretch curve of its type, bears no push, and loses energy in itself; line is neither "

              "made nor lost where it runs over a sheave.")  # fmt: skip
    if kinds & {"sheave", "bar"}:
        yield say("Where a line runs over a sheave or a bar, friction holds it until the difference of the tensions is "
                  "greater than what friction can hold; sheaves that turn have inertia.")  # fmt: skip
    if "drive" in kinds:
        yield say("Drives follow their moves within what they can give; a brake begins after its delay, rises to its "
                  "force, and slips above it.")  # fmt: skip
    if source.result.sweeps:
        yield say("A stop “at every instant” was run on a grid of times and closer around every local worst.")
    yield say("Peaks are taken from the course between the steps of the integration, not from samples.")
    also = "; lines also in the ranges of their data, see below" if source.result.ranges else ""
    yield say("The worst of the stated spreads was looked for at their ends, for masses and brakes{also}; other inputs "
              "were run as stated.", also=also)  # fmt: skip


def _left_out(source: Source) -> Iterator[Spans]:
    kinds = _kinds(source)
    yield say("The structure above: what anchors, grids, trusses and the building can bear, beyond the strengths and "
              "stiffnesses written in the scenario.")  # fmt: skip
    yield say(
        "The body of a person as more than one or two masses: limbs, posture, rotation, and what a person can bear."
    )
    if kinds & {"sheave", "bar"}:
        yield say(
            "The size of sheaves in the geometry: lines run straight between their middles. A line that jumps out "

                  "of its groove or rubs at a cheek is not found.")  # fmt: skip
    yield say("Ageing, wear, light, chemicals and past overload of lines and parts, beyond the reductions listed.")
    yield say("Wind, and persons or scenery in the way.")
    yield say("Electrical and software behaviour of drives, beyond the delays and failures written in the scenario.")
    if not source.result.sweeps and not _has_stop(source):
        yield say("Stops: the scenario names none.")
    if source.scenario is not None and not source.scenario.faults:
        yield say("Failures of parts: the scenario names none.")


def _has_stop(source: Source) -> bool:
    return source.scenario is None or bool(source.scenario.stops)


def _remarks(source: Source) -> Iterator[Spans]:
    told: set[str] = set()
    for name, case in source.result.cases.items():
        for i, text in enumerate(case.remarks):
            if text not in told:
                told.add(text)
                yield (source.words("cases", name, "remarks", i),)


def _audits(source: Source) -> Iterator[Block]:
    rows, loud = [], set()
    for name, case in source.result.cases.items():
        field = ("cases", name, "audit")
        if case.audit is None or not case.audit.passed:
            loud.add(len(rows))
        if case.audit is None:
            rows.append(((source.key("cases", name),), say("no audit"), (), (), ()))
            continue
        rows.append(
            (
                (source.key("cases", name),), say("passed" if case.audit.passed else "NOT PASSED"),
                (source.small(*field, "energy_residual"),), (source.small(*field, "peak_change"),),
                (source.words(*field, "remark"),) if case.audit.remark else (),
            )
        )  # fmt: skip
    columns = (
        Column("case", share=2.0), Column("audit"), Column("energy out by", numbers=True),
        Column("peaks change by", numbers=True), Column("remark", share=2.0),
    )  # fmt: skip
    caption = (
        "Audit: energy that went in against energy that came out, over the energy turned over; and the largest "
        "change of "
        "any peak when the run is repeated at a tenth of the tolerance"
    )
    yield Table(columns, tuple(rows), caption, frozenset(loud))
