"""A choice as a file: all of it as JSON, or one row a type as CSV; plain SI with the unit in the name."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from typing import Any

from sim.results.choice import Candidate, Choice
from sim.results.model import Finding
from sim.results.plain import Notes, to_plain

FORMAT = "stopload choice 1"
ENDINGS = (".json", ".csv")

COLUMNS = (
    "lines", "type", "size", "diameter_m", "state", "why", "margin", "nearest_of", "nearest_limit", "line_margin",
    "peak_g", "peak_tension_N", "clearance_m", "strength_N", "stretch_hanging_m", "stretch_most_m",
    "mass_kg_per_m", "mass_kg", "D_to_d", "ends", "effort", "visibility", "evidence", "remarks",
)  # fmt: skip


def choice_text(choices: Sequence[Choice], ending: str) -> str:
    """The whole file for one of ENDINGS."""
    return _json(choices) if ending == ".json" else _csv(choices)


def _json(choices: Sequence[Choice]) -> str:
    notes: Notes = {}
    data: dict[str, Any] = {"format": FORMAT, "choices": to_plain(choices, "choices", notes)}
    for choice, plain in zip(choices, data["choices"], strict=True):
        for each, row in zip(choice.candidates, plain["candidates"], strict=True):
            row["margin"] = each.margin
    if notes:
        data["not_numbers"] = notes
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def _csv(choices: Sequence[Choice]) -> str:
    written = io.StringIO()
    table = csv.writer(written, lineterminator="\n")
    table.writerow(COLUMNS)
    for choice in choices:
        for each in choice.candidates:
            row = {"lines": "; ".join(choice.lines), **_row(each)}
            table.writerow([row[column] for column in COLUMNS])
    return written.getvalue()


def _row(each: Candidate) -> dict[str, object]:
    seen, least, stretch = each.figures, each.figures.least_margin, each.stretch
    return {
        "type": each.name,
        "size": each.size,
        "diameter_m": each.diameter_m,
        "state": str(each.state),
        "why": "; ".join((*each.why, *map(finding_in_words, each.outside))),
        "margin": each.margin,
        "nearest_of": least.of if least else "",
        "nearest_limit": least.limit if least else "",
        "line_margin": each.line_margin,
        "peak_g": seen.peak_g.value if seen.peak_g else None,
        "peak_tension_N": seen.peak_tension_N.value if seen.peak_tension_N else None,
        "clearance_m": seen.clearance_m.value if seen.clearance_m else None,
        "strength_N": each.line.strength_N if each.line else None,
        "stretch_hanging_m": stretch.hanging_m if stretch else None,
        "stretch_most_m": stretch.most_m if stretch else None,
        "mass_kg_per_m": each.mass_kg_per_m,
        "mass_kg": each.mass_kg,
        "D_to_d": each.D_to_d,
        "ends": "; ".join(f"{at}: {word}" for at, word in (each.ends or {}).items()),
        "effort": each.effort,
        "visibility": each.visibility,
        "evidence": "; ".join(each.evidence),
        "remarks": " ".join(each.remarks),
    }


def finding_in_words(finding: Finding) -> str:
    """A limit that is not held, in SI."""
    limit = finding.limit.replace("_", " ")
    if finding.found is None or finding.required is None:
        return f"{finding.of}: {finding.remark or limit}"
    return f"{finding.of}: {limit} {finding.found:.6g} {finding.unit}, asked {finding.required:.6g} {finding.unit}"
