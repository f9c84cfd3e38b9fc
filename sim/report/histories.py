"""The histories behind a page's figures, thinned out, so that the page can say values at its time cursor."""

from __future__ import annotations

import json
from typing import Any

import numpy as np

from sim.report.look import Look
from sim.results.model import Floats, Result, Trace
from sim.results.shown import ShownUnit, unit_shown

_SAMPLES = 600
_CURVES = 12
"""More values beside each other than these nobody reads."""
_TOLD = (
    ("height_m", "m", "height of"),
    ("speed_m_s", "m/s", "speed of"),
    ("g", "", "force over weight of"),
    ("tension_N", "N", ""),
)


def histories(result: Result, look: Look) -> str:
    """JSON for the page: the cases' times and curves in the report's units. It holds no `<`, so no markup can begin."""
    cases = {name: _case(trace, look) for name, trace in result.traces.items()}
    text = json.dumps({"mark": look.mark.value, "cases": cases}, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _case(trace: Trace, look: Look) -> dict[str, Any]:
    every = max(1, len(trace.time_s) // _SAMPLES)
    curves = [
        _curve(f"{words} {name}".strip(), values[::every], unit_shown(unit, look.units))
        for start, unit, words in _TOLD
        for quantity, _, name, values in ((*column.partition(":"), each) for column, each in trace.columns.items())
        if quantity == start
    ]
    return {"time_s": [round(t, 4) for t in trace.time_s[::every].tolist()], "curves": curves[:_CURVES]}


def _curve(name: str, values: Floats, how: ShownUnit) -> dict[str, Any]:
    numbers = [round(v, how.decimals + 1) if np.isfinite(v) else None for v in (values / how.size_si).tolist()]
    return {"name": name, "sign": how.sign, "decimals": how.decimals, "values": numbers}
