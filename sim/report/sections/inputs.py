"""Every input with its value, spread and origin, and a list of what was assumed."""

from __future__ import annotations

from collections.abc import Iterator

from sim.report.blocks import Block, Bullets, Column, Paragraph, Table
from sim.report.given import SCENARIO_FILE, Given, walk
from sim.report.source import Source
from sim.report.spans import Spans, Traced, say

_HEADS = ("title", "revision", "prepared_by")


def inputs(source: Source) -> Iterator[Block]:
    """One table for each section of the scenario; then what was assumed, by the author and by the program."""
    if source.scenario is None:
        yield Paragraph(say(
            "The scenario of this result cannot be read by this version: its inputs are not shown here. "

                            "They stand in the result folder."))  # fmt: skip
    else:
        yield Paragraph(
            say(
                "Values as written, where the file says so with spread and origin. “Assumed”: the author states no "
                "source."
            )
        )
        sections: dict[str, list[Given]] = {}
        for given in walk(source.scenario):
            if given.path[0] not in _HEADS:
                sections.setdefault(str(given.path[0]), []).append(given)
        for name, values in sections.items():
            yield _table(source, name, values)
        for note in source.scenario.notes:
            keys = " / ".join(str(step) for step in note.where)
            place = Traced(keys, note.where, how="keys", of=SCENARIO_FILE) if keys else "the whole"
            text = Traced(note.text, (*note.where, "notes"), of=SCENARIO_FILE)
            yield Paragraph(say("Note on {place}: {text}", place=place, text=text))
    if source.data["assumptions"]:
        yield Paragraph(say("Assumed or taken from the catalogue by the program, as the run wrote it down (in SI):"))
        count = len(source.data["assumptions"])
        yield Bullets(tuple((source.words("assumptions", i),) for i in range(count)))


def _table(source: Source, name: str, values: list[Given]) -> Table:
    units = "SI" if source.look.units == "si" else "US units"
    columns = (
        Column("key", share=2.4), Column("as written", share=2.4), Column(f"in {units}", share=1.2),
        Column("may be", share=1.6), Column("from", share=1.4),
    )  # fmt: skip
    rows = []
    for given in values:
        converted = given.converted(source.look)
        origin: Spans = say(given.origin) if given.is_assumed else ()
        if given.origin and not given.is_assumed:
            origin = (Traced(given.origin, given.path, how="origin", of=SCENARIO_FILE),)
        rows.append(
            (
                (Traced(_key(given), given.path, how="keys", of=SCENARIO_FILE),), (given.as_written(),),
                (converted,) if converted is not None else (), given.spread(source.look), origin,
            )
        )  # fmt: skip
    return Table(columns, tuple(rows), name.replace("_", " "))


def _key(given: Given) -> str:
    steps = given.path[1:] or given.path
    return " / ".join(str(step + 1) if isinstance(step, int) else str(step) for step in steps)
