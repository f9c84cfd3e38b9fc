"""At which instants a stop is run: a plain grid and the corners of the moves first, then ever closer around the worst.

Between two instants nothing is known, so every local worst that may hide a greater one beside it is looked at again:
what a figure may gain beside a row is taken as what it loses from there to its neighbours, which bounds a smooth peak
eightfold and a kink once. Rows lie on one lattice, so nothing is run twice and every step divides the one before.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sim.results.model import Floats
from sim.rig.rig import Rig
from sim.rig.stop import StopOrder

GRID_S = 0.020
# The worst instant is bracketed to a millisecond by these two; ...
CLOSER_S = (0.005, 0.001)
# ... and closer yet where its figure still changes by more than a thousandth from one row to the next.
CLOSEST_S = (0.000_25, 0.000_05)
SETTLED = 1e-3
LATTICE_S = CLOSEST_S[-1]
_SAME_S = 1e-7


def first_instant(rig: Rig, stop: StopOrder) -> float:
    """When the first move starts, or the stop that is under way already (s)."""
    if stop.during is not None and stop.during.time_s is not None:
        return stop.during.time_s
    return min((d.motion.start_s for d in rig.drives if d.motion.moves), default=0.0)


def plain_instants(rig: Rig, first_s: float, end_s: float, step_s: float = GRID_S) -> Floats:
    """The instants (n,) that are run whatever comes: every step from the first instant until end_s, and every named
    discontinuity between: the corners of the moves and the releases of who is held."""
    first = first_s
    grid = _lattice(first, first, max(end_s, first), step_s)
    corners = [t for d in rig.drives for t, corner in zip(d.motion.time_s, d.motion.corner, strict=True) if corner]
    releases = [p.release_s for p in rig.points if p.start == "held" and p.release_s is not None]
    between = [float(t) for t in [*corners, *releases] if first < t < end_s]
    return merged(grid, between)


def merged(times_s: Floats, more_s: Sequence[float]) -> Floats:
    """The times and those of the others that are not among them, in order."""
    out = list(times_s)
    for t in sorted(more_s):
        if not out or np.min(np.abs(np.array(out) - t)) > _SAME_S:
            out.append(t)
    return np.array(sorted(out))


def closer(times_s: Floats, badness: Floats, step_s: float, first_s: float, least: float = 0.0) -> list[float]:
    """New instants, a step apart, beside every row that may have a worse one within its neighbours.

    badness: (n,) one figure, the greater the worse, -inf where there is none. least: a change too small to matter, in
    its unit; a change within a thousandth of the worst never matters. The worst row itself is always looked at.
    """
    worst = float(np.max(badness, initial=-np.inf))
    if not np.isfinite(worst):
        return []
    matters = max(SETTLED * abs(worst), least)
    new: list[float] = []
    for i in _local_worst(badness):
        loses = _loses(badness, i)
        is_worst = badness[i] == worst and loses > 0
        if is_worst or badness[i] + loses > worst + matters:
            before, after = times_s[max(i - 1, 0)], times_s[min(i + 1, len(times_s) - 1)]
            new += [t for t in _lattice(first_s, before, after, step_s) if before < t < after]
    known = times_s
    return [t for t in new if np.min(np.abs(known - t)) > _SAME_S]


def settled(badness: Floats, least: float = 0.0) -> bool:
    """Whether the worst figure changes to its neighbours by no more than a thousandth, or by what does not matter."""
    worst = float(np.max(badness, initial=-np.inf))
    if not np.isfinite(worst):
        return True
    at = int(np.argmax(badness))
    return _loses(badness, at) <= max(SETTLED * abs(worst), least)


def _local_worst(badness: Floats) -> list[int]:
    """Rows no better than their neighbours; of a flat stretch only its ends."""
    padded = np.concatenate(([-np.inf], badness, [-np.inf]))
    here, before, after = padded[1:-1], padded[:-2], padded[2:]
    tops = np.isfinite(here) & (here >= before) & (here >= after) & ((here > before) | (here > after))
    return [int(i) for i in np.nonzero(tops)[0]]


def _loses(badness: Floats, i: int) -> float:
    """How much less bad the row's neighbours are, the better of the two; rows without a figure do not count."""
    beside = [badness[k] for k in (i - 1, i + 1) if 0 <= k < len(badness) and np.isfinite(badness[k])]
    return max((float(badness[i] - b) for b in beside), default=0.0)


def _lattice(first_s: float, low_s: float, high_s: float, step_s: float) -> Floats:
    """All points of the lattice a step apart between two times, those included."""
    every = round(step_s / LATTICE_S)
    low = int(np.ceil((low_s - first_s) / step_s - 1e-6))
    high = int(np.floor((high_s - first_s) / step_s + 1e-6))
    return np.asarray(first_s + LATTICE_S * (every * np.arange(low, high + 1)), np.float64)
