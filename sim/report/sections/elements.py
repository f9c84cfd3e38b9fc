"""Results per element, weakest first: forces, strength that is left, design factors; the chain of reductions."""

from __future__ import annotations

from collections.abc import Iterator

from sim.report.blocks import Block, Column, Paragraph, Table, Tone
from sim.report.sections.words import deciding, worst_place
from sim.report.source import Source
from sim.report.spans import Spans, say
from sim.results.model import ElementResult
from sim.results.verdict import LOADS, WITHIN_WORDS, elements_worst_first


def elements(source: Source) -> Iterator[Block]:
    """Three tables: the worst of each element, its three loads, what is taken from its strength."""
    worst_first = elements_worst_first(source.result)
    if not worst_first:
        yield Paragraph(say("No element of this rig is judged."))
        return
    yield _worst(source, worst_first)
    if any(each.needs_evidence for each in worst_first):
        words = "* needs evidence: no source stands behind the strength, or behind what is taken from it."
        yield Paragraph(say(words), Tone.NOTE)
    if source.result.helps:
        yield Paragraph(say("What would help the weakest element most: {helps}", helps=source.words("helps")))
    yield _loads(source, worst_first)
    if any(each.reductions for each in worst_first):
        yield _reductions(source, worst_first)
    else:
        yield Paragraph(say("Nothing is taken from any stated strength."))
    remarks = [each for each in worst_first if each.remark]
    if remarks:
        yield Table(
            (Column("element"), Column("remark", share=3.0)),
            tuple(
                ((source.key("elements", each.name),), (source.words("elements", each.name, "remark"),))
                for each in remarks
            ),
            "Remarks on elements",
        )


def _loud(elements: list[ElementResult]) -> frozenset[int]:
    return frozenset(i for i, each in enumerate(elements) if each.within is not True)


def _worst(source: Source, worst_first: list[ElementResult]) -> Table:
    force = source.look.sign("N")
    columns = (
        Column("", share=0.8),
        Column("element", share=1.6),
        Column("worst case", share=3.0),
        Column(f"force {force}", numbers=True),
        Column(f"strength left {force}", numbers=True),
        Column("design factor", numbers=True),
        Column("asked for", numbers=True),
        Column("margin", numbers=True),
    )
    rows = []
    for each in worst_first:
        load = deciding(source, each.name)
        at = load or _greatest(each)
        field = ("elements", each.name)
        rows.append(
            (
                say(WITHIN_WORDS[each.within]),
                (source.key(*field),),
                worst_place(source, each.name, load),
                (source.number(*field, f"{at}_N", bare=True),),
                (source.number(*field, "strength_N", bare=True), *(say(" *") if each.needs_evidence else ())),
                (source.number(*field, "design_factor", load),) if load else (),
                (source.number(*field, "required", load),) if load else (),
                (source.number(*field, "margin"),),
            )
        )
    return Table(columns, tuple(rows), "Elements, worst first, each under the load that decides", _loud(worst_first))


def _greatest(element: ElementResult) -> str:
    return max(LOADS, key=lambda load: getattr(element, f"{load}_N") or 0.0)


def _loads(source: Source, worst_first: list[ElementResult]) -> Table:
    """A row for each load of each element: what bears on it, when, and what stands against it."""
    force = source.look.sign("N")
    columns = (
        Column("element", share=1.4),
        Column("load", share=0.9),
        Column("case and instant", share=2.4),
        Column(f"force {force}", numbers=True),
        Column(f"strength left {force}", numbers=True),
        Column("design factor", numbers=True),
        Column("asked for", numbers=True),
        Column("margin", numbers=True),
    )
    rows, loud = [], set()
    for each in worst_first:
        field = ("elements", each.name)
        for load in LOADS:
            if getattr(each, f"{load}_N") is None:
                continue
            found = each.loads.get(load)
            margin = found.margin if found is not None else None
            if margin is not None and margin < 0:
                loud.add(len(rows))
            rows.append(
                (
                    (source.key(*field),),
                    say(load),
                    _when(source, each, load),
                    (source.number(*field, f"{load}_N", bare=True),),
                    (source.number(*field, "loads", load, "strength_N", bare=True),) if found is not None else (),
                    (source.number(*field, "design_factor", load),),
                    (source.number(*field, "required", load),),
                    (source.number(*field, "loads", load, "margin"),) if found is not None else (),
                )
            )
    caption = (
        "Static, working and emergency load of each element; margin: design factor over what is asked for, less one"
    )
    return Table(columns, tuple(rows), caption, frozenset(loud))


def _when(source: Source, element: ElementResult, load: str) -> Spans:
    found = element.loads.get(load)
    if found is None:
        return ()
    field = ("elements", element.name, "loads", load)
    if load == "static":
        return say("at rest")
    place = say(", {place}", place=source.words(*field, "place")) if found.place not in ("", element.name) else ()
    time = source.number(*field, "time_s")
    return say("{case}, at {time}{place}", case=source.words(*field, "case"), time=time, place=place)


def _reductions(source: Source, worst_first: list[ElementResult]) -> Table:
    force = source.look.sign("N")
    columns = (
        Column("element", share=1.4),
        Column(f"stated {force}", numbers=True),
        Column("what is taken, and where", share=2.2),
        Column("factor", numbers=True),
        Column("source", share=3.0),
        Column(f"left {force}", numbers=True),
    )
    rows, loud = [], set()
    for each in worst_first:
        for i, reduction in enumerate(each.reductions):
            field = ("elements", each.name, "reductions", i)
            first, last = i == 0, i == len(each.reductions) - 1
            evidence = say(" – needs evidence") if reduction.needs_evidence else ()
            if reduction.needs_evidence:
                loud.add(len(rows))
            rows.append(
                (
                    (source.key("elements", each.name),),
                    (source.number("elements", each.name, "breaking_strength_N", bare=True),) if first else (),
                    say("{what}, {at}", what=source.words(*field, "what"), at=source.words(*field, "at")),
                    (source.number(*field, "factor", unit=""),),
                    (source.words(*field, "source"), *evidence),
                    (source.number("elements", each.name, "strength_N", bare=True),) if last else (),
                )
            )
    caption = "From the strength stated to the strength left: each factor multiplies once, at the element's worst place"
    return Table(columns, tuple(rows), caption, frozenset(loud))
