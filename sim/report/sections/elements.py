"""Results per element, weakest first: forces, strength that is left, design factors; the chain of reductions."""

from __future__ import annotations

from collections.abc import Iterator

from sim.report.blocks import Block, Column, Paragraph, Table
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
                (source.number(*field, "strength_N", bare=True),),
                (source.number(*field, "design_factor", load),) if load else (),
                (source.number(*field, "required", load),) if load else (),
            )
        )
    return Table(columns, tuple(rows), "Elements, worst first, each under the load that decides", _loud(worst_first))


def _greatest(element: ElementResult) -> str:
    return max(LOADS, key=lambda load: getattr(element, f"{load}_N") or 0.0)


def _loads(source: Source, worst_first: list[ElementResult]) -> Table:
    force = source.look.sign("N")
    columns = [Column("element", share=2.0)]
    for load in LOADS:
        columns += [Column(f"{load} {force}", numbers=True), Column("factor (asked)", numbers=True)]
    rows = []
    for each in worst_first:
        row: list[Spans] = [(source.key("elements", each.name),)]
        for load in LOADS:
            row.append((source.number("elements", each.name, f"{load}_N", bare=True),))
            row.append(_factor(source, each, load))
        rows.append(tuple(row))
    return Table(tuple(columns), tuple(rows), "Static, working and emergency load of each element", _loud(worst_first))


def _factor(source: Source, element: ElementResult, load: str) -> Spans:
    factor, required = getattr(element.design_factor, load), getattr(element.required, load)
    if factor is None:
        return ()
    found = source.number("elements", element.name, "design_factor", load)
    if required is None:
        return (found,)
    return say("{found} ({asked})", found=found, asked=source.number("elements", element.name, "required", load))


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
