"""The rig: its drawing and the bill of its elements, with where every strength comes from."""

from __future__ import annotations

from collections.abc import Iterator

from sim.report.blocks import Block, Column, Paragraph, Table
from sim.report.source import Source
from sim.report.spans import Spans, say
from sim.scenario.model import Winch

_TELLING = {
    "lines": ("type", "diameter", "route"),
    "sheaves": ("tread_diameter", "kind", "bearing"),
    "hardware": ("holds", "end", "legs", "angle_between_legs"),
    "drives": ("kind", "control", "people"),
    "anchors": ("at",),
    "mounts": ("at",),
    "junctions": ("at",),
    "counterweights": ("mass",),
    "performers": ("mass", "body_below", "start"),
}
"""Which keys of a part say what it is; those that it has are shown."""


def rig(source: Source, drawing: Block) -> Iterator[Block]:
    """The drawing, the performers, the bill of elements."""
    yield drawing
    scenario = source.scenario
    if scenario is not None:
        rows = [
            ((source.given("performers", name),), source.described("performers", name, keys=_TELLING["performers"]))
            for name in scenario.performers
        ]
        yield Table((Column("performer"), Column("as stated", share=4.0)), tuple(rows), "Who is flown")
    yield _bill(source)
    missing = [name for name, each in source.result.elements.items() if each.breaking_strength_N is None]
    if missing:
        yield Paragraph(
            say("Elements without a strength were not judged: state one for each before relying on the rig.")
        )


def _bill(source: Source) -> Table:
    force = source.look.sign("N")
    columns = (
        Column("element", share=1.6), Column("kind"), Column("what it is", share=3.0),
        Column(f"strength {force}", numbers=True), Column("source of the strength", share=2.0),
    )  # fmt: skip
    rows, loud = [], set()
    for name, element in source.result.elements.items():
        field = ("elements", name)
        if element.breaking_strength_N is None:
            loud.add(len(rows))
        origin: Spans = (source.words(*field, "strength_origin"),) if element.strength_origin else say("not stated")
        rows.append(
            (
                (source.key(*field),), (source.words(*field, "kind"),), _what(source, name),
                (source.number(*field, "breaking_strength_N", bare=True),), origin,
            )
        )  # fmt: skip
    return Table(columns, tuple(rows), "Bill of elements; strengths as stated, before anything is taken from them",
                 frozenset(loud))  # fmt: skip


def _what(source: Source, name: str) -> Spans:
    if source.scenario is None:
        return ()
    for section, keys in _TELLING.items():
        if section != "performers" and name in getattr(source.scenario, section):
            return source.described(section, name, keys=keys)
    for who in source.scenario.performers:
        if name == f"{who} harness":
            return source.described("performers", who, "harness", keys=("stiffness", "damping_ratio"))
    for drive, each in source.scenario.drives.items():
        brakes = each.brakes if isinstance(each, Winch) else ()
        if name.startswith(f"{drive} brake") and brakes:
            return source.described("drives", drive, "brakes", *([0] if len(brakes) == 1 else []))
    return ()
