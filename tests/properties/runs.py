"""Runs of random rigs: every case of a rig, columns by kind, and how far a run can be told from its image."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

import sim
from sim.dynamics.run import Raw, Ready, run
from sim.dynamics.run import ready as at_rest
from sim.rig.case import Case
from sim.rig.rig import Rig
from tests.properties.random_rigs import PERFORMER

PLANNED = 3
"""The planned move's number among the cases of a random rig; its stops are 0, 1 and 2, as their categories."""
SAMPLE_RATE_HZ = 1000.0
# A turn of the force in the harness counts from this share of the weight on, up and down.
TURN = 0.1
LATEST_TURN_S = 0.8


def built(text: str) -> Rig:
    """The rig of a scenario text."""
    return sim.build_rig(sim.read_text(text, "random rig"))


def ready(rig: Rig) -> Ready:
    """The rig at rest. None is refused: of 3,000 with slack line and 3,000 of every kind none was."""
    return at_rest(rig)


def case_of(rig: Rig, number: int) -> Case:
    """A stop by its number, or the planned move."""
    if number == PLANNED:
        return sim.planned_case(rig)
    stop = rig.stops[number]
    assert stop.time_s is not None
    return sim.stop_case(rig, stop, stop.time_s)


def columns(of: Ready, *kinds: str) -> list[int]:
    """Numbers of the columns of these kinds, such as force_N."""
    return [i for i, c in enumerate(of.columns) if c.column.partition(":")[0] in kinds]


def column(of: Ready, name: str) -> int:
    """The number of a column."""
    return [c.column for c in of.columns].index(name)


def history(raw: Raw, name: str) -> NDArray[np.float64]:
    """A column's samples."""
    return raw.samples[:, column(raw.ready, name)]


def force_peaks(raw: Raw) -> NDArray[np.float64]:
    """Highest force of every element and span (N)."""
    return raw.peak[columns(raw.ready, "force_N", "tension_N")]


def floored(raw: Raw) -> NDArray[np.float64]:
    """What a difference of each peak counts against (N): the peak, or a tenth of the heaviest weight if that is more.

    The state of rest that a run starts from is found to 1e-7 of the weight, so smaller forces are no better known.
    """
    return np.maximum(force_peaks(raw), 0.1 * raw.ready.start.reference_N)


def begins_s(rig: Rig, case: Case) -> float:
    """The stop, or where there is none the start; or the moment something held is let go, if that comes later."""
    releases = [p.release_s for p in rig.points if p.release_s is not None]
    return max([case.stop_time_s or 0.0, *releases])


def first_peak_s(rig: Rig, case: Case) -> float:
    """When the force in the harness has risen to its first peak after the stop, the release or the start, and left it.

    A rise and a fall count from a tenth of the weight on. Without both, a while after.
    """
    begin = begins_s(rig, case)
    raw = run(ready(rig), case, 1e-6, SAMPLE_RATE_HZ, begin + LATEST_TURN_S)
    force, step = history(raw, f"force_N:{PERFORMER} harness"), TURN * rig.performers[0].weight_N
    low, high = np.inf, -np.inf
    for time_s, now in zip(raw.time_s, force, strict=True):
        if time_s < begin:
            continue
        if high < low + step:
            low, high = min(low, now), now
        else:
            high = max(high, now)
            if now < high - step:
                return float(time_s)
    return raw.end_s


def end_state(raw: Raw, point: str) -> NDArray[np.float64]:
    """Position (m) and velocity (m/s) of a point at the run's end: x, y, z, vx, vy, vz."""
    k = int(raw.ready.start.model.points[raw.ready.rig.index(point)]["state"])
    return raw.state[k : k + 6]
