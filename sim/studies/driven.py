"""What a driven winch did: read off the run, since its motor need not have done what its move asked."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.dynamics.run import REST_SPEED_M_S, Raw, Ready, run
from sim.results.model import SHORT_OF_MOVES, DriveResult
from sim.studies.cases import planned_case

PLANNED_SAMPLES_HZ = 1000.0
# Ending this much of its way off, a drive is said not to have done its moves.
SHORT_SHARE = 0.05


def driven_result(raw: Raw, d: int) -> DriveResult:
    """Figures of drive number d. Until its stop a run is the planned move; it stands below 0.02 m/s for good."""
    of, case = raw.ready, raw.case
    name, k = of.rig.drives[d].name, int(of.start.model.drives[d]["state"])
    seen = raw if len(raw.samples) else planned(of)
    speed = np.abs(_history(seen, f"line_speed_m_s:{name}"))
    top, final = float(speed.max()), float(raw.state[k])
    if case.stop_time_s is None or name not in case.stopped_drives:
        return DriveResult(paid_out_m=final, top_speed_m_s=top)
    if case.during and seen is not raw:
        return DriveResult(paid_out_m=final, top_speed_m_s=top)  # what went before is not the planned move
    before = raw if case.during else planned(of)
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


def short_of_moves(raw: Raw) -> list[str]:
    """What a motor or people have not done of what was asked, once the moves are over; nothing after a stop."""
    if raw.case.stop_time_s is not None:
        return []
    out = []
    for d, drive in enumerate(raw.ready.rig.drives):
        motion, k = raw.case.motions[drive.name], int(raw.ready.start.model.drives[d]["state"])
        off_m = abs(float(raw.state[k]) - motion.end_position_m)
        if drive.motor is not None and raw.end_s >= motion.end_s and off_m > SHORT_SHARE * motion.travelled_m:
            out.append(
                f"{drive.name} ends {off_m:.2f} m {SHORT_OF_MOVES}: "
                f"{'its people' if drive.hands is not None else 'its motor'} cannot give what they ask"
            )
    return out


@lru_cache(maxsize=16)
def planned(of: Ready) -> Raw:
    """The planned move, once for every rig."""
    return run(of, planned_case(of.rig), of.rig.timing.tolerance, PLANNED_SAMPLES_HZ)


def _history(raw: Raw, column: str) -> NDArray[np.float64]:
    return raw.samples[:, next(o for o, c in enumerate(raw.ready.columns) if c.column == column)]
