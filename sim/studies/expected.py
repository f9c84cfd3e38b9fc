"""How long a scenario's runs will take, from a short piece of its planned move: told before they start.

A run's cost goes with the steps it needs, and they are short where the rig is stiff, light or damped hard. So a piece
of the planned move is run and timed; the rest is counted: cases, instants of stopping, ends of spreads.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from os import cpu_count

from sim.dynamics.case_tables import with_case
from sim.dynamics.orders import STATUS, TOO_MANY_STEPS
from sim.dynamics.run import LONGEST_AFTER_S, begin, new_record, new_room, orders_for, ready
from sim.dynamics.scales import event_rounding
from sim.dynamics.slices import integrate_in_slices
from sim.rig.case import Case
from sim.rig.rig import Rig
from sim.rig.stop import StopOrder
from sim.studies.cases import planned_case
from sim.studies.filters import CFC_RATE_HZ
from sim.studies.instants import GRID_S, first_instant
from sim.studies.one_stop import SWEEP_TOLERANCE

PROBE_STEPS = (1, 10_000, 20_000, 400_000)
"""Steps of the pieces that are timed: the first has the compiled code read in; most planned moves need no more than the
next and are run whole. What a second of the rig takes is read off the difference of the last two: a rig stands still
before its first move, and a stiff start may soften within a moment."""
PROBE_S = 0.5
"""A longer piece is taken only where the last has not taken so long."""
CLOSER_LOOKS = 1.5
"""All runs of a sweep over those of its plain grid: what looking closer around the worst adds, about."""
AS_MUCH_AS_A_PROBE = 4.0
"""A reported case, at its own tolerance and again at a tenth of it, over the same run at a sweep's tolerance, about."""
CASES_OF_A_SWEEP = 8
"""Reported cases that come out of a sweep, about."""
BYTES_OF_A_NUMBER = 8.0
HISTORIES_AT_ONCE = 2.0
"""Times a case's samples are held while its figures are made, about."""


@dataclass(frozen=True)
class Expected:
    """What is to come, about: runs, their time together (s, of the rig), how long it will take (s), memory (bytes)."""

    runs: int
    simulated_s: float
    takes_s: float
    memory_bytes: float

    @property
    def slower(self) -> float:
        """How many times slower than the rig itself one run is made, all workers together."""
        return self.takes_s / max(self.simulated_s, 1e-9)


@dataclass(frozen=True)
class _Probe:
    """A piece of the planned move: what a second of it takes (s), how long the whole goes on (s), numbers a sample."""

    takes: float
    end_s: float
    columns: int


def expected(rig: Rig, stops: Sequence[tuple[StopOrder, int]], planned_runs: int = 1, again: int = 0) -> Expected:
    """What the runs of a rig will take. stops: each with the number of ends of spreads it is run at. again: how often
    every reported case is run again within the ranges of the lines' data.

    Rough: a factor of two or three either way. Raises RigError where the rig cannot hang.
    """
    case = planned_case(rig)
    probe = _probe(rig, case)
    after_s = max(probe.end_s - case.last_action_s, 0.0)
    longest_s = probe.end_s
    cases, sweeps, sweep_s = planned_runs, 0.0, 0.0
    for stop, ends in stops:
        if stop.time_s is not None:
            cases += 1 + min(ends, CASES_OF_A_SWEEP)
            longest_s = max(longest_s, stop.time_s + after_s)
            continue
        over_s = max(probe.end_s - first_instant(rig, stop), 0.0)
        count = CLOSER_LOOKS * ends * (over_s / GRID_S + 1.0)
        cases += CASES_OF_A_SWEEP
        sweeps += count
        sweep_s += count * (0.5 * over_s + after_s)
    cases_s = cases * longest_s
    rate_Hz = max(rig.timing.sample_rate_Hz, CFC_RATE_HZ)
    return Expected(
        runs=round(cases * (1 + again) + sweeps),
        simulated_s=cases_s * (1 + again) + sweep_s,
        takes_s=probe.takes * (AS_MUCH_AS_A_PROBE * cases_s + (again * cases_s + sweep_s) / (cpu_count() or 1)),
        memory_bytes=HISTORIES_AT_ONCE * BYTES_OF_A_NUMBER * probe.columns * rate_Hz * longest_s,
    )


def _probe(rig: Rig, case: Case) -> _Probe:
    of = ready(rig)
    orders = orders_for(of, case, None, None)
    allowed, scale = event_rounding(of.start, SWEEP_TOLERANCE), 1.0 / (SWEEP_TOLERANCE * of.scale)
    pieces = [(0.0, 0.0)]
    for steps in PROBE_STEPS:
        m = with_case(of.start.model, rig, case)
        y, w = begin(rig, of.start, m)
        record, room = new_record(of, orders), new_room(of)
        begun = time.thread_time()  # what else the machine does at the moment says nothing of the next hours
        integrate_in_slices(y, scale, allowed, orders._replace(most_steps=steps), record, room, m, w)
        took_s, end_s = time.thread_time() - begun, float(record.audit[2])
        if record.counts[STATUS] != TOO_MANY_STEPS:
            return _Probe(took_s / max(end_s, 1e-9), end_s, len(of.columns))
        pieces.append((took_s if steps > 1 else 0.0, end_s))
        if pieces[-1][0] > PROBE_S and len(pieces) > 3:
            break
    (before_s, from_s), (took_s, end_s) = pieces[-2:]
    whole_s = rig.timing.duration_s or case.last_action_s + LONGEST_AFTER_S
    return _Probe(max(took_s - before_s, 1e-6) / max(end_s - from_s, 1e-9), whole_s, len(of.columns))
