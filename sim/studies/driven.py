"""What a driven winch did: read off the run, since its motor need not have done what its move asked."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.dynamics.run import REST_SPEED_M_S, Raw, Ready, run
from sim.results.model import DriveResult
from sim.studies.cases import planned_case

PLANNED_SAMPLES_HZ = 1000.0


def driven_result(raw: Raw, d: int) -> DriveResult:
    """Figures of drive number d. Until its stop a run is the planned move; it stands below 0.02 m/s for good."""
    of, case = raw.ready, raw.case
    name, k = of.rig.drives[d].name, int(of.start.model.drives[d]["state"])
    seen = raw if len(raw.samples) else planned(of)
    speed = np.abs(_history(seen, f"line_speed_m_s:{name}"))
    top, final = float(speed.max()), float(raw.state[k])
    if case.stop_time_s is None or name not in case.stopped_drives:
        return DriveResult(paid_out_m=final, top_speed_m_s=top)
    before = planned(of)
    at = float(np.interp(case.stop_time_s, before.time_s, _history(before, f"paid_out_m:{name}")))
    moving = np.flatnonzero(speed > REST_SPEED_M_S)
    stands_s = float(seen.time_s[moving[-1]]) if len(moving) else case.stop_time_s
    stopped = seen is raw and stands_s < raw.time_s[-1]
    return DriveResult(
        paid_out_m=final,
        top_speed_m_s=top,
        stopping_distance_m=abs(final - at),
        stopping_time_s=max(stands_s - case.stop_time_s, 0.0) if stopped else None,
    )


@lru_cache(maxsize=16)
def planned(of: Ready) -> Raw:
    """The planned move, once for every rig."""
    return run(of, planned_case(of.rig), of.rig.timing.tolerance, PLANNED_SAMPLES_HZ)


def _history(raw: Raw, column: str) -> NDArray[np.float64]:
    return raw.samples[:, next(o for o, c in enumerate(raw.ready.columns) if c.column == column)]
