"""One case of a rig, run and audited."""

from __future__ import annotations

import math

from sim.dynamics.run import Raw, ready, run
from sim.results.model import Run
from sim.rig.case import Case
from sim.rig.rig import Rig
from sim.studies.figures import case_result, trace
from sim.studies.filters import CFC_RATE_HZ
from sim.studies.places import watched_everywhere


def simulate(
    rig: Rig, case: Case, sample_rate_Hz: float | None = None, tolerance: float | None = None, *, audited: bool = True
) -> Run:
    """Run one case. A pure function of the rig and the case.

    sample_rate_Hz, tolerance: left out, the rig's own. audited: run it once more at a tenth of the tolerance.
    The loop samples at a multiple of the trace's rate, at 10 kHz or above, so that g can be filtered (SAE J211-1).
    """
    rate = sample_rate_Hz or rig.timing.sample_rate_Hz
    tol = tolerance or rig.timing.tolerance
    every = max(1, math.ceil(CFC_RATE_HZ / rate - 1e-9))
    raw = run(watched_everywhere(ready(rig)), case, tol, rate * every)
    finer = run(ready(rig), case, 0.1 * tol, None, end_s=max(raw.end_s, 1e-6)) if audited else None
    fine = {p.name: _g_history(raw, p.name) for p in rig.performers}
    return Run(case=case_result(raw, finer, fine, rate * every), trace=trace(raw, every, fine, rate * every))


def _g_history(raw: Raw, name: str):
    o = next(i for i, c in enumerate(raw.ready.columns) if c.column == f"g:{name}")
    return raw.samples[:, o]
