"""Moments of a run, from which other runs that are the same up to there go on.

A stop at every instant is hundreds of runs that all begin with the planned move. The planned move is run once, left at
moments on a fixed grid, and every stop goes on from the last moment before it. The grid is the same whatever is asked
later, so a stop's figures hang neither on which others are made nor on where.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.dynamics import orders as od
from sim.dynamics import tables as tb
from sim.dynamics.boundary import SAME_TIME_S
from sim.dynamics.case_tables import with_case
from sim.dynamics.run import Raw, Ready, begin, new_record, new_room, orders_for, raw_of
from sim.dynamics.scales import event_rounding
from sim.dynamics.slices import integrate_in_slices
from sim.rig.case import Case

MOMENTS_S = 0.1
_FOUND_ANEW = (od.BOUNDARY_MOTION, od.BOUNDARY_BRAKE)


@dataclass(frozen=True, eq=False)
class Moment:
    """A run left at a time: its state, the scratch with its modes, its books, and what it has recorded so far."""

    time_s: float
    state: NDArray[np.float64]
    work: tb.Work
    books: tuple[NDArray[np.float64], NDArray[np.float64]]
    record: od.Record


def _copied(record: od.Record) -> od.Record:
    """A copy whose log is no longer than what stands in it."""
    log = record.log[: min(int(record.counts[od.LOGGED]), len(record.log))]
    return od.Record._make(a.copy() for a in record._replace(log=log))


def _from(orders: od.Orders, start_s: float, drives: int) -> od.Orders:
    """The orders of a run that goes on at start_s: what lies before has happened, motions and brakes are found anew."""
    later = orders.boundary_s > start_s + SAME_TIME_S

    return orders._replace(
        start_s=start_s,
        boundary_s=np.concatenate([np.full(2 * drives, start_s), orders.boundary_s[later]]),
        boundary_what=np.concatenate([np.repeat(_FOUND_ANEW, drives), orders.boundary_what[later]]),
        boundary_index=np.concatenate([np.tile(np.arange(drives), 2), orders.boundary_index[later]]),
    )


@lru_cache(maxsize=8)
def moments(of: Ready, case: Case, tolerance: float, end_s: float) -> Sequence[Moment]:
    """The case left every MOMENTS_S until end_s, or until it failed."""
    m = with_case(of.start.model, of.rig, case)
    y, w = begin(of.rig, of.start, m)
    scale, rounding = 1.0 / (tolerance * of.scale), event_rounding(of.start, tolerance)
    orders = orders_for(of, case, None, end_s)
    record, room = new_record(of, orders), new_room(of)
    out: list[Moment] = []
    for k in range(int(end_s / MOMENTS_S)):
        part = orders if k == 0 else _from(orders, k * MOMENTS_S, len(of.rig.drives))
        part = part._replace(end_s=(k + 1) * MOMENTS_S, rest_from_s=end_s)
        integrate_in_slices(y, scale, rounding, part, record, room, m, w)
        if record.counts[od.STATUS] != od.END_OF_TIME:
            break
        work = tb.Work._make(a.copy() for a in w)
        out.append(Moment(part.end_s, y.copy(), work, (room.now.copy(), room.work.copy()), _copied(record)))
    return tuple(out)


def run_on(of: Ready, case: Case, tolerance: float, moment: Moment) -> Raw:
    """Integrate a case that is the moment's own up to there. No samples; peaks, log and books are of the whole run."""
    m = with_case(of.start.model, of.rig, case)
    orders = _from(orders_for(of, case, None, None), moment.time_s, len(of.rig.drives))
    record, room = new_record(of, orders), new_room(of)
    for mine, theirs in zip(record, moment.record, strict=True):
        mine[: len(theirs)] = theirs
    room.now[:], room.work[:] = moment.books
    y, w = moment.state.copy(), tb.Work._make(a.copy() for a in moment.work)
    scale, rounding = 1.0 / (tolerance * of.scale), event_rounding(of.start, tolerance)
    integrate_in_slices(y, scale, rounding, orders, record, room, m, w)
    return raw_of(of, case, tolerance, orders, record, m, w)
