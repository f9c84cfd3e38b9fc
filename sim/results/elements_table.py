"""The elements as one table, weakest first, as CSV in SI: a row for each load, of a line for each of its places too."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from sim.results.model import ElementResult, Reduction, Result
from sim.results.verdict import LOADS, WITHIN_WORDS, deciding_load, elements_worst_first

COLUMNS = (
    "element", "kind", "within", "margin", "load", "force_N", "case", "time_s", "place", "strength_N", "design_factor",
    "required", "load_margin", "decides", "breaking_strength_N", "strength_origin", "reductions", "needs_evidence",
    "remark",
)  # fmt: skip


def write_elements(path: Path, result: Result) -> None:
    """Write the table. A margin is available over required less one, of the element the least of its loads'.

    reductions are those of the deciding load, or of the row's own place where no load decides. Raises OSError.
    """
    with path.open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(COLUMNS)
        for element in elements_worst_first(result):
            rows.writerows(_rows(element))


def _rows(element: ElementResult) -> Iterator[list[str]]:
    """Rows of the loads an element bears, then of each place of a line; one row without a load where it bears none."""
    yield from _loads(element, WITHIN_WORDS[element.within])
    for place in element.places:
        alone = replace(
            element, name=f"{element.name} at {place.name}", kind=place.kind, static_N=place.static_N,
            working_N=place.working_N, emergency_N=place.emergency_N, reductions=place.reductions, loads=place.loads,
            design_factor=place.design_factor, margin=place.margin, needs_evidence=place.needs_evidence,
            remark="",
        )  # fmt: skip
        yield from _loads(alone, "")  # it is the line that is within or not


def _loads(element: ElementResult, within: str) -> Iterator[list[str]]:
    deciding = deciding_load(element)
    for load in [each for each in LOADS if each in element.loads] or [""]:
        found = element.loads.get(load)
        decides = load == deciding
        taken = "; ".join(_words(each) for each in element.reductions) if decides else ""
        cells = (
            element.name, element.kind, within, element.margin,
            load, getattr(element, f"{load}_N", None), found and found.case, found and found.time_s,
            found and found.place, found and found.strength_N, getattr(element.design_factor, load, None),
            getattr(element.required, load, None), found and found.margin, "yes" if decides else "",
            element.breaking_strength_N, element.strength_origin, taken, "yes" if element.needs_evidence else "",
            " ".join(element.remark.splitlines()),
        )  # fmt: skip
        yield [_cell(cell) for cell in cells]


def _cell(value: str | float | None) -> str:
    """Empty where there is no number, as in every other table of the folder."""
    if isinstance(value, str):
        return value
    return repr(value) if value is not None and math.isfinite(value) else ""


def _words(reduction: Reduction) -> str:
    evidence = ", needs evidence" if reduction.needs_evidence else ""
    return f"{reduction.factor:g} {reduction.what} at {reduction.at} ({reduction.source}{evidence})"
