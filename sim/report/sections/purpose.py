"""What this document is for and what it covers."""

from __future__ import annotations

from collections.abc import Iterator

from sim.report.blocks import Block, Bullets, Paragraph
from sim.report.sections.words import ground
from sim.report.source import Source
from sim.report.spans import Spans, joined, say
from sim.results.model import Outcome


def purpose(source: Source) -> Iterator[Block]:
    """Purpose, then scope in a few sentences that are true of this rig."""
    who: list[Spans] = [
        (source.given("performers", name),) for name in (source.scenario.performers if source.scenario else ())
    ]
    flown = say(" for {who}", who=joined(who, last=" and ")) if who else ()
    yield Paragraph(
        say(
            "This document states what a simulation gives for the rig “{title}”{flown}: the force on every element "
            "at rest, "
            "in working use and in emergencies, what the performers feel, how near the {ground} they come, and the "
            "strength "
            "that stands against it. It is one part of a submission; the risk assessment, the inspection and the "
            "approval "
            "are others, made by people.",
            title=source.words("title"),
            flown=flown,
            ground=ground(source),
        )
    )
    yield Bullets(tuple(_scope(source)))


def _scope(source: Source) -> Iterator[Spans]:
    yield say("{n} cases were run; {m} elements are judged or listed as not judged.",
              n=source.count("cases"), m=source.count("elements"))  # fmt: skip
    scenario = source.scenario
    if scenario is not None:
        names = [source.described("stops", i, keys=("name",)) for i in range(len(scenario.stops))]
        yield say("Stops looked at: {names}.", names=joined(names)) if names else say("No stop is looked at.")
        names = [source.described("faults", i, leave=("when", "then")) for i in range(len(scenario.faults))]
        if names:
            yield say("Failures looked at: {names}.", names=joined(names))
        else:
            yield say("No failure of a part is looked at.")
    if any(case.outcome is Outcome.FAILED for case in source.result.cases.values()):
        yield say("Some cases could not be run to their end; the first page says which.")
    if source.result.not_simulated:
        yield say("Parts of the scenario are not simulated; the first page says which.")
