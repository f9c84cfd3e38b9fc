"""Results and comparisons as they show themselves in a notebook: tables, what is missing, figures, cautions."""

from __future__ import annotations

import base64
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from plots import page
from plots.history import history_figure
from plots.overview import overview_figure
from plots.rig_drawing import rig_figure
from plots.sweep import sweep_figure
from plots.template import template
from sim.results.cautions import FULL
from sim.results.comparison import Comparison, Variant, worst_first
from sim.results.model import Result
from sim.results.notebook import shows
from sim.results.shown import Units, bare, shown, unit_shown
from sim.results.verdict import (
    WITHIN_WORDS,
    deciding_force_N,
    deciding_load,
    elements_worst_first,
    findings_worst_first,
    not_judged,
    unfinished,
    verdict_sentence,
)

if TYPE_CHECKING:
    from jinja2 import Template
    from matplotlib.figure import Figure

_LENGTH, _FORCE = (unit_shown(unit, Units.SI).sign for unit in ("m", "N"))


@dataclass(frozen=True)
class _Table:
    """Rows of text; the first `words` columns are words, the others numbers."""

    caption: str
    words: int
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class _Picture:
    """A figure in text, and as the bytes of an SVG."""

    alt: str
    data: str


def result_page(result: Result) -> str:
    """A result as HTML: what the terminal says first, the rig, the case worst for the weakest element, sweeps."""
    pictures = [_picture(rig_figure(result.drawing, result), f"{result.title}: the rig to scale")]
    pictures += [
        _picture(history_figure(result, name), f"{result.title}: history of {name}") for name in _histories(result)
    ]
    pictures += [
        _picture(sweep_figure(result, name), f"{result.title}: {name}, at every instant") for name in result.sweeps
    ]
    under = [f"revision {result.revision}" if result.revision else "", result.prepared_by]
    return _template().render(
        title=result.title,
        under=", ".join(each for each in under if each),
        verdict=verdict_sentence(result),
        tables=(_elements(result), _performers(result), _findings(result)),
        lists=(
            ("Not finished", unfinished(result)),
            ("Not simulated", result.not_simulated),
            ("Not judged", not_judged(result)),
            ("Assumed", result.assumptions),
        ),
        figures=pictures,
        cautions=FULL,
        source=page.source_line(result.stamp),
    )


def comparison_page(comparison: Comparison) -> str:
    """A comparison as HTML: all variants worst first, what changes most and why, the overview."""
    return _template().render(
        title=comparison.title,
        under=f"compared over {comparison.over}",
        verdict="; ".join(f"{v.name}: {v.verdict}" for v in worst_first(comparison.variants)),
        tables=(_variants(comparison),),
        lists=(
            ("What changes most, and why", comparison.words),
            ("Not run", [f"{v.name}: {v.cause}" for v in comparison.variants if v.cause]),
            ("To know", [f"{v.name}: {note}" for v in comparison.variants for note in v.notes]),
        ),
        figures=(_picture(overview_figure(comparison), f"{comparison.title}: the variants compared"),),
        cautions=FULL,
        source=page.source_line(comparison.stamp),
    )


def _histories(result: Result) -> list[str]:
    """The case that is worst for the weakest element; where none is weakest, the first."""
    weakest = result.elements.get(result.weakest or "")
    wanted = [weakest.worst_case] if weakest is not None else []
    return [name for name in (*wanted, *result.traces) if name in result.traces][:1]


def _elements(result: Result) -> _Table:
    heads = ("", "element", "worst case", f"force {_FORCE}", f"strength {_FORCE}", "design factor", "required")
    rows = []
    for each in elements_worst_first(result):
        load = deciding_load(each)
        factors = (
            (bare(getattr(each.design_factor, load), ""), f"{getattr(each.required, load):g}") if load else ("–", "–")
        )
        force, strength = bare(deciding_force_N(each), "N"), bare(each.strength_N, "N")
        case = "at rest" if load == "static" else each.worst_case
        rows.append((WITHIN_WORDS[each.within], each.name, case, force, strength, *factors))
    return _Table("Elements, worst first", 3, heads, tuple(rows))


def _performers(result: Result) -> _Table:
    heads = ("case", "performer", "peak g", f"clearance {_LENGTH}", f"lowest {_LENGTH}")
    rows = [
        (case.name, who, bare(seen.peak_g, "g"), bare(seen.clearance_m, "m"), bare(seen.lowest_height_m, "m"))
        for case in result.cases.values()
        for who, seen in case.performers.items()
    ]
    return _Table("Performers", 2, heads, tuple(rows))


def _findings(result: Result) -> _Table:
    rows = [
        (
            WITHIN_WORDS[each.within], each.limit.replace("_", " "), each.of, each.case,
            shown(each.found, each.unit), shown(each.required, each.unit),
        )
        for each in findings_worst_first(result)
    ]  # fmt: skip
    return _Table("Limits, worst first", 4, ("", "limit", "of", "case", "found", "limit is"), tuple(rows))


def _variants(comparison: Comparison) -> _Table:
    heads = ("variant", "", "peak g", f"tension {_FORCE}", f"clearance {_LENGTH}", f"stops in {_LENGTH}", "margin")
    rows = tuple(_variant(each) for each in worst_first(comparison.variants))
    return _Table("Variants, worst first", 2, heads, rows)


def _variant(each: Variant) -> tuple[str, ...]:
    seen = each.figures
    worst = ((seen.peak_g, "g"), (seen.peak_tension_N, "N"), (seen.clearance_m, "m"), (seen.stopping_distance_m, "m"))
    margin = bare(seen.least_margin.margin, "") if seen.least_margin else "–"
    return (each.name, each.verdict, *(bare(w.value if w else None, unit) for w, unit in worst), margin)


def _picture(figure: Figure, alt: str) -> _Picture:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "figure.svg"
        page.save(figure, path, alt)
        return _Picture(alt, base64.b64encode(path.read_bytes()).decode("ascii"))


def _template() -> Template:
    return template("notebook.html.j2")


shows(Result, result_page)
shows(Comparison, comparison_page)
