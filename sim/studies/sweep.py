"""A stop at every instant: one run for each, from the first move's start until the motion has died down."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from os import cpu_count

import numpy as np

from sim.dynamics.run import Raw, Ready, ready, run
from sim.results.model import Outcome, SweepTable
from sim.rig.rig import Rig
from sim.rig.stop import StopOrder
from sim.studies.cases import planned_case, stop_case
from sim.studies.figures import drive_result, outcome, peaks, performer_result

STEP_S = 0.020
# Sweeps look for the worst instant; what is reported is run again, at the full tolerance and with its audit.
SWEEP_TOLERANCE = 1e-5
SWEEP_SAMPLES_HZ = 1000.0

Tell = Callable[[str, int, int], None]


@dataclass(frozen=True)
class Sweep:
    """The table of a sweep and the worst instants found in it: what is worst to when (s)."""

    table: SweepTable
    worst: Mapping[str, float]


def instants(rig: Rig, planned_end_s: float) -> np.ndarray:
    """The stop instants (n,): every 20 ms from the first move's start until the planned motion has died down."""
    starts = [d.motion.start_s for d in rig.drives if d.motion.moves]
    first = min(starts, default=0.0)
    return first + STEP_S * np.arange(int(max(planned_end_s - first, 0.0) / STEP_S) + 1)


def sweep(rig: Rig, stop: StopOrder, strength_N: Mapping[str, float] | None = None, tell: Tell | None = None) -> Sweep:
    """Stop the rig at every instant of its planned move.

    strength_N: breaking strengths by element; the worst instant for force is the one with the largest force over
    strength, or the largest force of any line where no strength is known. One failed run keeps its cause in its row.
    """
    of = ready(rig)
    planned = run(of, planned_case(rig), SWEEP_TOLERANCE, None)
    times = instants(rig, planned.end_s)
    samples = SWEEP_SAMPLES_HZ if rig.lands or any(p.start == "standing" for p in rig.performers) else None

    def one(time_s: float) -> Raw:
        return run(of, stop_case(rig, stop, float(time_s)), SWEEP_TOLERANCE, samples)

    rows: list[Raw] = []
    with ThreadPoolExecutor(max_workers=cpu_count() or 1) as pool:
        for raw in pool.map(one, times):
            rows.append(raw)
            if tell is not None:
                tell(f"{stop.name}, every instant", len(rows), len(times))
    table = SweepTable(stop.name, times, _columns(of, stop, rows), tuple(_cause(raw) for raw in rows))
    return Sweep(table, worst_instants(table, strength_N or {}))


def _cause(raw: Raw) -> str:
    how, why, _ = outcome(raw)
    return "" if how == Outcome.FINISHED else f"{how}: {why}"


def _columns(of: Ready, stop: StopOrder, rows: list[Raw]) -> dict[str, np.ndarray]:
    columns: dict[str, list[float]] = {}

    def put(name: str, value: float | None) -> None:
        columns.setdefault(name, []).append(np.nan if value is None else value)

    for raw in rows:
        for who in of.rig.performers:
            p = performer_result(raw, who, None, 0.0)
            put(f"peak_g:{who.name}", p.peak_g)
            put(f"lowest_height_m:{who.name}", p.lowest_height_m)
            if p.clearance_m is not None:
                put(f"clearance_m:{who.name}", p.clearance_m)
            put(f"slack_s:{who.name}", p.slack_s)
        for name, peak in peaks(raw).items():
            put(f"force_N:{name}", peak.force_N)
        for drive in stop.drives:
            put(f"stopping_distance_m:{drive}", drive_result(raw, drive).stopping_distance_m)
    return {name: np.array(values) for name, values in columns.items()}


def worst_instants(table: SweepTable, strength_N: Mapping[str, float]) -> dict[str, float]:
    """The instants to report: worst force, worst g, worst clearance, worst slack; and, where an element sees clearly
    more at another instant than in any of those, worst for that element."""
    good = np.array([not cause for cause in table.causes])
    if not good.any():
        return {}
    column = {k: np.where(good & np.isfinite(v), v, -np.inf) for k, v in table.columns.items()}
    force = {k.removeprefix("force_N:"): v for k, v in column.items() if k.startswith("force_N:")}
    use = {n: f / strength_N[n] for n, f in force.items() if n in strength_N and strength_N[n] > 0}
    if not use:
        use = {n: f for n, f in force.items() if ":" in n} or force
    picked: dict[str, int] = {"worst force": _highest(list(use.values()))}
    picked["worst g"] = _highest([v for k, v in column.items() if k.startswith("peak_g:")])
    clear = [np.where(good, -v, -np.inf) for k, v in table.columns.items() if k.startswith("clearance_m:")]
    if clear:
        picked["worst clearance"] = _highest(clear)
    slack = [v for k, v in column.items() if k.startswith("slack_s:")]
    if slack and np.max(slack) > 0:
        picked["worst slack"] = _highest(slack)
    for name, values in sorted(force.items(), key=lambda x: -x[1].max()):
        if values.max() > 1.01 * max(values[i] for i in picked.values()) and ":" not in name:
            picked[f"worst for {name}"] = int(values.argmax())
    return {what: float(table.stop_time_s[i]) for what, i in picked.items()}


def _highest(columns: list[np.ndarray]) -> int:
    """Row of the largest value in any of the columns."""
    return int(np.max(np.array(columns), axis=0).argmax())
