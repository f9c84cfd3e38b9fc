"""One run: a rig at rest, a case's orders, the compiled loop, and plain numbers back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.dynamics import orders as od
from sim.dynamics import tables as tb
from sim.dynamics.case_tables import with_case
from sim.dynamics.rhs import rhs
from sim.dynamics.scales import event_rounding, state_scales
from sim.dynamics.slices import integrate_in_slices
from sim.dynamics.start import Start, start_at_rest
from sim.dynamics.watch import Watched, bearers, table, watched
from sim.rig.brake import at_most
from sim.rig.case import Case
from sim.rig.rig import Rig, RigError

LOG_LENGTH = 20000
MOST_STEPS = 20_000_000
# The energy error counts against what was turned over, and at rest against the heaviest weight moved by this.
LEAST_TURNED_M = 1e-3
# With no duration given a run ends when, for two blocks of half a second, no point moves faster than this, ...
REST_SPEED_M_S = 0.02
# ... or this long after the last thing that was done.
LONGEST_AFTER_S = 12.0


@dataclass(frozen=True, eq=False)
class Ready:
    """A rig ready to run any case: computed once, used by every run, never changed."""

    rig: Rig
    start: Start
    columns: tuple[Watched, ...]
    scale: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Raw:
    """What the loop left: samples (n, columns), peaks per column, event log, counts, audit."""

    ready: Ready
    case: Case
    time_s: NDArray[np.float64]
    samples: NDArray[np.float64]
    peak: NDArray[np.float64]
    peak_s: NDArray[np.float64]
    slack_s: NDArray[np.float64]
    log: NDArray[np.float64]
    log_total: int
    status: int
    end_s: float
    evaluations: int
    steps: int
    restarts: int
    events: int
    residual: float
    work_J: NDArray[np.float64]
    tolerance: float
    state: NDArray[np.float64]


@lru_cache(maxsize=16)
def ready(rig: Rig) -> Ready:
    """The rig at rest. Raises RigError where it cannot hang as described."""
    start = start_at_rest(rig)
    columns = watched(rig, start.layout)
    model = start.model._replace(observables=table(columns), bearers=bearers(rig, start.layout))
    _wind_drums(rig, model, start)
    _drives_hold(rig, model, start)
    start = Start(start.layout, model, start.state, start.mode_e, start.mode_g, start.reference_N, start.remarks)
    return Ready(rig, start, columns, state_scales(start))


def _wind_drums(rig: Rig, m: tb.Model, start: Start) -> None:
    """Line on a drum carries the strain it has where it leaves the drum at rest."""
    y, w = begin(rig, start, m)
    rhs(0.0, y, np.zeros(len(y)), m, w)
    for j, gate in enumerate(m.gates):
        if gate["kind"] == tb.DRIVE_END:
            e = int(gate["after"] if gate["after"] >= 0 else gate["before"])
            strain = max(float(w.elements[e]["strain"]), 0.0)
            m.gates[j]["wound"] = 1.0 / (1.0 + strain)
            m.gates[j]["wound_energy"] = float(w.elements[e]["energy"]) if strain > 0 else 0.0


def _drives_hold(rig: Rig, m: tb.Model, start: Start) -> None:
    """Raises RigError where a motor or a grip cannot hold at rest what hangs on it."""
    _, w = begin(rig, start, m)
    wrong = []
    for drive, now in zip(rig.drives, w.drives, strict=True):
        hangs = f"{drive.name}: {now['pull']:.0f} N hang on it at rest, and its"
        for most_N, gives in drive.holds:
            if abs(now["pull"]) > most_N:
                wrong.append(f"{hangs} {gives} {most_N:.0f} N.")
    if wrong:
        raise RigError(wrong)


def begin(rig: Rig, start: Start, m: tb.Model) -> tuple[NDArray, tb.Work]:
    """State and scratch of a run that begins at rest."""
    w = tb.new_work(m)
    w.elements["mode"] = start.mode_e
    w.gates["mode"] = start.mode_g
    w.points["mode"] = start.layout.start_modes
    w.drives["piece_end"] = 1
    y = start.state.copy()
    if np.any((m.drives["gain"] > 0.0) | (m.drives["grip"] > 0.0)):
        _take_up(m, y, w)
    return y, w


def _take_up(m: tb.Model, y: NDArray, w: tb.Work) -> None:
    """Motors and grips hold their loads at rest: the integral of a motor's speed loop starts with that force."""
    rhs(0.0, y, np.zeros(len(y)), m, w)
    for drive, now in zip(m.drives, w.drives, strict=True):
        driven, k = drive["gain"] > 0.0, int(drive["state"])
        if driven or drive["grip"] > 0.0:
            y[k] = m.motions[drive["motion_first"]]["c0"]
            now["mode"], now["brake"], now["motor"] = tb.DRIVEN if driven else tb.GRIPPED, tb.FREE, -now["pull"]
        if driven:
            y[k + 2] = -now["pull"]


def orders_for(of: Ready, case: Case, sample_rate_Hz: float | None, end_s: float | None) -> od.Orders:
    """The run's times and known discontinuities, in order."""
    rig = of.rig
    end = end_s or rig.timing.duration_s or case.last_action_s + LONGEST_AFTER_S
    rest_from = end if (rig.timing.duration_s or end_s) else case.last_action_s
    marks: list[tuple[float, int, int]] = []
    for d, drive in enumerate(rig.drives):
        motion = case.motions[drive.name]
        off = case.power_off.get(drive.name)
        marks.append((0.0, od.BOUNDARY_MOTION, d))
        for at, corner in zip(motion.time_s, motion.corner, strict=True):
            if corner and (off is None or at <= off.time_s):
                marks.append((float(at), od.BOUNDARY_MOTION, d))
        if off is not None:
            marks.append((off.time_s, od.BOUNDARY_LIVE, d))
            marks += [(at, od.BOUNDARY_BRAKE, d) for at, _, _ in at_most(off.brake, drive.brake_most_N)[1:]]
    for i, p in enumerate(rig.points):
        if p.start == "held" and p.release_s is not None:
            marks.append((p.release_s, od.BOUNDARY_RELEASE, i))
    marks += _failure_marks(of, case)
    marks = sorted(x for x in marks if x[0] <= end)
    return od.Orders(
        start_s=0.0,
        end_s=end,
        sample_step_s=0.0 if sample_rate_Hz is None else 1.0 / sample_rate_Hz,
        rest_from_s=rest_from,
        rest_speed_m_s=REST_SPEED_M_S,
        most_steps=MOST_STEPS,
        boundary_s=np.array([x[0] for x in marks], float),
        boundary_what=np.array([x[1] for x in marks], np.int64),
        boundary_index=np.array([x[2] for x in marks], np.int64),
    )


def _parted(of: Ready, line: str, at_s: float) -> list[tuple[float, int, int]]:
    lay = of.start.layout
    elements = lay.elements_of(line)
    gates = {int(lay.model.elements[e][side]) for e in elements for side in ("gate_in", "gate_out")}
    locked = [(at_s, od.BOUNDARY_LOCK, gate) for gate in sorted(gates)]
    return [*locked, *((at_s, od.BOUNDARY_PART, e) for e in elements)]


def _failure_marks(of: Ready, case: Case) -> list[tuple[float, int, int]]:
    """What a failure does at its instant: line locked at gates, elements that part, a point that comes away."""
    failure, at_s = case.failure, case.stop_time_s
    if failure is None or at_s is None:
        return []
    lay, what = of.start.layout, failure.kind
    places = {
        (line.name, place.name): (gate, place.point)
        for line in of.rig.lines
        for place, gate in zip(line.route, lay.line_gates[line.name], strict=True)
    }
    if what == "snag":
        return [(at_s, od.BOUNDARY_LOCK, places[failure.of, failure.at][0])]
    if what == "parted line":
        return _parted(of, failure.of, at_s)
    if what == "lost point":
        lost = {line: (gate, point) for (line, name), (gate, point) in places.items() if name == failure.of}
        point = next(iter(lost.values()))[1]
        if of.rig.point(point).start != "held":  # carried by what moves: its lines bear that no longer
            return [mark for line in lost for mark in _parted(of, line, at_s)]
        locked = [(at_s, od.BOUNDARY_LOCK, gate) for gate, _ in lost.values()]
        return [*locked, (at_s, od.BOUNDARY_RELEASE, of.rig.index(point))]
    return []


def run(of: Ready, case: Case, tolerance: float, sample_rate_Hz: float | None, end_s: float | None = None) -> Raw:
    """Integrate one case. tolerance: relative to what the reference weight does; sample_rate_Hz None: no samples."""
    m = with_case(of.start.model, of.rig, case)
    y, w = begin(of.rig, of.start, m)
    orders = orders_for(of, case, sample_rate_Hz, end_s)
    record, scratch = new_record(of, orders), new_room(of)
    scale, rounding = 1.0 / (tolerance * of.scale), event_rounding(of.start, tolerance)
    integrate_in_slices(y, scale, rounding, orders, record, scratch, m, w)
    return raw_of(of, case, tolerance, orders, record, m, w)


def new_record(of: Ready, orders: od.Orders) -> od.Record:
    """An empty record of a run."""
    rows = int(orders.end_s / orders.sample_step_s) + 2 if orders.sample_step_s > 0.0 else 0
    return od.Record(
        samples=np.zeros((rows, len(of.columns))),
        peak=np.array([-c.peak * np.inf if c.peak else 0.0 for c in of.columns]),
        peak_s=np.zeros(len(of.columns)),
        slack_s=np.zeros(len(of.rig.performers)),
        log=np.zeros((LOG_LENGTH, 4)),
        counts=np.zeros(8, np.int64),
        audit=np.zeros(3 + tb.POWERS),
        final=np.zeros(len(of.start.state)),
    )


def new_room(of: Ready) -> od.Scratch:
    """Room for a run of this rig."""
    return od.new_scratch(len(of.start.state), len(of.start.model.events), len(of.columns), len(of.rig.performers))


def raw_of(
    of: Ready, case: Case, tolerance: float, orders: od.Orders, record: od.Record, m: tb.Model, w: tb.Work
) -> Raw:
    """What the loop left, as plain numbers."""
    counts, audit = record.counts, record.audit
    if counts[od.STATUS] == od.NO_PROGRESS and _ends_meet(m, w):
        counts[od.STATUS] = od.LINE_RAN_OUT
    n = int(counts[od.SAMPLES])
    return Raw(
        ready=of,
        case=case,
        time_s=np.arange(n, dtype=np.float64) * orders.sample_step_s,
        samples=record.samples[:n],
        peak=record.peak,
        peak_s=record.peak_s,
        slack_s=record.slack_s,
        log=record.log[: min(int(counts[od.LOGGED]), LOG_LENGTH)],
        log_total=int(counts[od.LOGGED]),
        status=int(counts[od.STATUS]),
        end_s=float(audit[2]),
        evaluations=int(counts[od.EVALS]),
        steps=int(counts[od.STEPS]),
        restarts=int(counts[od.RESTARTS]),
        events=int(counts[od.EVENTS]),
        residual=float(audit[0]) / max(float(audit[1]), LEAST_TURNED_M * of.start.reference_N),
        work_J=audit[3:].copy(),
        tolerance=tolerance,
        state=record.final,
    )


def _ends_meet(m: tb.Model, w: tb.Work) -> bool:
    """Whether a span that moves has come to nothing: its direction then turns faster than any step can follow."""
    return bool(np.any((m.spans["still"] == 0) & (w.spans["length"] < 2.0 * m.spans["least"])))


def static_values(of: Ready) -> Mapping[str, float]:
    """Every watched column at rest before anything moves."""
    from sim.dynamics.observe import observe

    m, start = of.start.model, of.start
    m = m._replace(motions=tb.still_motion())
    y, w = begin(of.rig, start, m)
    dy, out = np.zeros(len(y)), np.zeros(len(of.columns))
    rhs(0.0, y, dy, m, w)
    observe(0.0, y, dy, out, m, w)
    return {c.column: float(v) for c, v in zip(of.columns, out, strict=True)}
