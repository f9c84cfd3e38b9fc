"""Whether a performer's largest g is the floor's: a strike, whose force depends on how the floor gives."""

from __future__ import annotations

import numpy as np

from sim.results.model import CaseResult, Result

_NEAR_PEAK_S = 0.005


def on_floor(result: Result, case: CaseResult, performer: str) -> bool:
    """Whether the floor bears the performer when the case's largest g is felt."""
    trace, peak_s = result.traces[case.name], case.performers[performer].peak_g_time_s
    force = trace.columns.get(f"floor_force_N:{performer}")
    if force is None:
        return False
    return bool(np.any(force[np.abs(trace.time_s - peak_s) <= _NEAR_PEAK_S] > 0.0))


def felt_on_floor(result: Result) -> list[str]:
    """Where a performer's largest g is the floor's and not a line's, in sentences."""
    notes = []
    for name in next(iter(result.cases.values())).performers if result.cases else ():
        felt = [case for case in result.cases.values() if name in case.performers and case.name in result.traces]
        worst = max(felt, key=lambda case: case.performers[name].peak_g, default=None)
        if worst is not None and on_floor(result, worst, name):
            peak = worst.performers[name].peak_g
            notes.append(f"{name}: the largest g, {peak:.2f} ({worst.name}), is felt on the floor, not on a line.")
    return notes
