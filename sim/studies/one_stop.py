"""Stops of one rig at given instants, made where the work is done: in this thread, another one or another process."""

from __future__ import annotations

import hashlib
import pickle
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from sim.dynamics.moments import moments, run_on
from sim.dynamics.run import Raw, Ready, ready, run
from sim.results.journal import Row
from sim.results.model import Outcome
from sim.rig.case import Case
from sim.rig.rig import Rig
from sim.rig.stop import StopOrder
from sim.studies.cases import planned_case, stop_case
from sim.studies.figures import drive_result, outcome, peaks, performer_result

# Sweeps look for the worst instant; what is reported is run again, at the full tolerance and with its audit.
SWEEP_TOLERANCE = 1e-5
SWEEP_SAMPLES_HZ = 1000.0
SAME_INSTANT_S = 1e-9


@dataclass(frozen=True, eq=False)
class StopWork:
    """What a worker needs to make stops of one rig. key: the same for the same rig, stop and tolerance."""

    rig: Rig
    stop: StopOrder
    tolerance: float
    key: str


Stop = tuple[StopWork, float]
"""One stop to make: of which rig and how, and at which instant (s)."""


def stop_work(rig: Rig, stop: StopOrder, tolerance: float = SWEEP_TOLERANCE) -> StopWork:
    """Work that can be handed to any worker."""
    mark = hashlib.sha256(pickle.dumps((rig, stop, tolerance)))
    return StopWork(rig, stop, tolerance, mark.hexdigest())


def sweep_rate_Hz(rig: Rig) -> float | None:
    """How often a run of which only the figures are wanted is sampled: not at all, but for who lands or stands."""
    return SWEEP_SAMPLES_HZ if rig.lands or any(p.start == "standing" for p in rig.performers) else None


def run_stops(of: Ready, stop: StopOrder, times_s: Sequence[float], tolerance: float) -> list[Raw]:
    """The stop at each of these instants: the one place where a sweep's runs are made."""
    rig = of.rig
    if (rate_Hz := sweep_rate_Hz(rig)) is not None:
        return [run(of, stop_case(rig, stop, t), tolerance, rate_Hz) for t in times_s]
    known = moments(of, under_way(of, stop.during), tolerance, last_instant_s(of, stop.during, tolerance))
    out = []
    for t in times_s:
        before = [x for x in known if x.time_s < t - SAME_INSTANT_S]
        case = stop_case(rig, stop, t)
        out.append(run_on(of, case, tolerance, before[-1]) if before else run(of, case, tolerance, None))
    return out


@lru_cache(maxsize=16)
def under_way(of: Ready, during: StopOrder | None) -> Case:
    """The planned move of a rig, or the stop that is under way already; the same object each time."""
    return planned_case(of.rig) if during is None else stop_case(of.rig, during, during.time_s or 0.0)


@lru_cache(maxsize=16)
def last_instant_s(of: Ready, during: StopOrder | None, tolerance: float) -> float:
    """When that has died down (s)."""
    return run(of, under_way(of, during), tolerance, None).end_s


def stop_rows(stops: Sequence[Stop]) -> list[Row]:
    """A row for each stop, in order. A run that cannot be made keeps its cause in its row and stops no other."""
    rows: list[Row] = []
    for work, times in _by_work(stops):
        try:
            rows += _rows(work, times)
        except Exception:  # noqa: BLE001  (one failed run never stops the rest)
            rows += [_row_or_cause(work, time_s) for time_s in times]
    return rows


def _by_work(stops: Sequence[Stop]) -> list[tuple[StopWork, list[float]]]:
    """Neighbouring stops of the same work together."""
    out: list[tuple[StopWork, list[float]]] = []
    for work, time_s in stops:
        if out and out[-1][0].key == work.key:
            out[-1][1].append(time_s)
        else:
            out.append((_here(work), [time_s]))
    return out


_KNOWN: dict[str, StopWork] = {}
_MOST_KNOWN = 16


def _here(work: StopWork) -> StopWork:
    """The first copy of this work that came to this process: its rig has been made ready already.

    Every task that comes from another process brings a copy of its own; making each ready would cost more than a run.
    """
    if work.key not in _KNOWN:
        while len(_KNOWN) >= _MOST_KNOWN:
            _KNOWN.pop(next(iter(_KNOWN)), None)
        _KNOWN[work.key] = work
    return _KNOWN.get(work.key, work)


def _rows(work: StopWork, times_s: Sequence[float]) -> list[Row]:
    of = ready(work.rig)
    return [row_of(raw, work.stop) for raw in run_stops(of, work.stop, times_s, work.tolerance)]


def _row_or_cause(work: StopWork, time_s: float) -> Row:
    try:
        return _rows(work, [time_s])[0]
    except Exception as wrong:  # noqa: BLE001  (its cause is kept)
        return Row({}, f"The run could not be made ({type(wrong).__name__}: {wrong}).")


def row_of(raw: Raw, stop: StopOrder) -> Row:
    """The figures a sweep keeps of a run, and why it did not finish, if it did not."""
    how, why, _ = outcome(raw)
    values: dict[str, float | None] = {}
    for who in raw.ready.rig.performers:
        p = performer_result(raw, who, None, 0.0)
        values[f"peak_g:{who.name}"] = p.peak_g
        values[f"lowest_height_m:{who.name}"] = p.lowest_height_m
        if p.clearance_m is not None:
            values[f"clearance_m:{who.name}"] = p.clearance_m
        values[f"slack_s:{who.name}"] = p.slack_s
    values |= {f"force_N:{name}": peak.force_N for name, peak in peaks(raw).items()}
    for drive in stop.drives:
        values[f"stopping_distance_m:{drive}"] = drive_result(raw, drive).stopping_distance_m
    known = {name: float("nan") if value is None else value for name, value in values.items()}
    return Row(known, "" if how == Outcome.FINISHED else why)
