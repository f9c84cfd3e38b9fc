"""The figures of one run: every number a result has is defined here, once."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sim.dynamics import modes as md
from sim.dynamics import orders as od
from sim.dynamics.run import Raw, Ready, static_values
from sim.results.model import Audit, CaseResult, DriveResult, Peak, PerformerResult, Trace
from sim.rig.performer import Performer
from sim.studies.body import body_figures
from sim.studies.driven import driven_result, short_of_moves
from sim.studies.events import events
from sim.studies.filters import cfc_filtered
from sim.studies.outcomes import FAILURES, outcome
from sim.studies.places import taut_spans

# The audit passes below these: energy residual at tolerance 1e-6 (in proportion above it), change of any peak.
RESIDUAL_AT_1E6 = 1e-5
PEAK_CHANGE = 1e-3
STILL_MOVING_M_S = 0.05
# What a motion says where a move begins.
MOVE_STARTS = "move starts"
# Slower than this a drive stood when its power went; the solver has the same.
STANDING_M_S = 1e-9


@lru_cache(maxsize=16)
def element_columns(of: Ready) -> Mapping[str, list[tuple[int, str]]]:
    """Element name to its columns and the place each stands for: a line has one per span, the rest one."""
    out: dict[str, list[tuple[int, str]]] = {}
    for o, c in enumerate(of.columns):
        kind, _, rest = c.column.partition(":")
        if kind == "force_N":
            out[rest] = [(o, "")]
        elif kind == "tension_N":
            line, _, span = rest.partition(":")
            out.setdefault(line, []).append((o, span))
            out[f"{line}:{span}"] = [(o, span)]
    return out


def peaks(raw: Raw) -> dict[str, Peak]:
    """Largest force on every element, when and where; lines also per span as '<line>:<span>'."""
    out = {}
    for name, columns in element_columns(raw.ready).items():
        o, place = max(columns, key=lambda x: raw.peak[x[0]])
        out[name] = Peak(float(raw.peak[o]), float(raw.peak_s[o]), place)
    return out


def static_forces(raw: Raw) -> dict[str, float]:
    """Force on every element at rest before anything moves (N)."""
    values = static_values(raw.ready)
    columns = raw.ready.columns
    return {
        name: max(values[columns[o].column] for o, _ in group) for name, group in element_columns(raw.ready).items()
    }


@lru_cache(maxsize=16)
def _places(of: Ready) -> Mapping[str, int]:
    return {c.column: o for o, c in enumerate(of.columns)}


def _column(raw: Raw, name: str) -> int:
    return _places(raw.ready)[name]


def clearance(raw: Raw, who: Performer) -> float | None:
    """Least distance (m) from body to floor, or to water above it, between lift-off and a planned touch-down; or None.

    After a standing start judging begins at the top of the first rise to the clearance asked for; a stop that comes
    before it, and after which nothing lifts any more, has none, since nobody had got clear. A planned landing is judged
    by its landing speed from the top of the last descent on.
    """
    rig = raw.ready.rig
    levels = [level for level in (rig.floor_m, rig.water_m) if level is not None]
    if not levels:
        return None
    level = max(levels)
    o = _column(raw, f"body_height_m:{who.name}")
    if who.start != "standing" and not rig.lands:
        return float(raw.peak[o]) - level
    free = raw.samples[:, o] - level
    if who.start == "standing" and _stopped_lifting(raw, free >= (rig.clearance_m or 0.0)):
        return None
    return _between_tops(free, rig.clearance_m or 0.0, who.start == "standing", rig.lands)


def _stopped_lifting(raw: Raw, clear: NDArray) -> bool:
    """Whether a stop came before the body was clear (n,) for the first time, and no drive moves on after it."""
    case = raw.case
    if case.stop_time_s is None or np.any(clear & (raw.time_s <= case.stop_time_s)):
        return False
    for name, motion in case.motions.items():
        again = any(
            t > case.stop_time_s and what == MOVE_STARTS for t, what in zip(motion.time_s, motion.label, strict=True)
        )
        if name not in case.power_off and (
            again or (name not in case.stopped_drives and motion.end_s > case.stop_time_s)
        ):
            return False
    return True


def _between_tops(free: NDArray, asked: float, standing: bool, lands: bool) -> float:
    """Least distance (m) after the first rise of a standing start and before the last descent of a planned landing."""
    high = np.nonzero(free >= asked)[0]
    if len(high) == 0:
        return float(free.max())
    first, last = (int(high[0]) if standing else 0), (int(high[-1]) if lands else len(free) - 1)
    while standing and first < last and free[first + 1] >= free[first]:
        first += 1
    while lands and last > first and free[last - 1] >= free[last]:
        last -= 1
    return float(free[first : last + 1].min())


def _landing_speed(raw: Raw, who: Performer) -> float | None:
    """Downward speed of the body when it first touches the floor (m/s)."""
    for t, word, index, value in raw.log:
        if word == md.EV_CONTACT and raw.ready.rig.floors[int(index)].point == who.body and t > 0:
            return abs(float(value))
    return None


def performer_result(raw: Raw, who: Performer, g_fine: NDArray | None, rate_Hz: float) -> PerformerResult:
    """What one performer sees in one run."""
    g, low = _column(raw, f"g:{who.name}"), _column(raw, f"height_m:{who.name}")
    return PerformerResult(
        peak_g=float(raw.peak[g]),
        peak_g_time_s=float(raw.peak_s[g]),
        peak_g_cfc60=None if g_fine is None else float(cfc_filtered(g_fine, 60.0, rate_Hz).max()),
        lowest_height_m=float(raw.peak[low]),
        lowest_height_time_s=float(raw.peak_s[low]),
        clearance_m=clearance(raw, who),
        top_speed_m_s=float(raw.peak[_column(raw, f"total_speed_m_s:{who.name}")]),
        landing_speed_m_s=_landing_speed(raw, who),
        slack_s=float(raw.slack_s[raw.ready.rig.performers.index(who)]),
        body=None if g_fine is None else body_figures(g_fine, rate_Hz),
    )


def drive_result(raw: Raw, name: str) -> DriveResult:
    """What one drive did; stopping figures where it was stopped, its time where it came to stand within the run."""
    rig, case = raw.ready.rig, raw.case
    d = next(i for i, x in enumerate(rig.drives) if x.name == name)
    if rig.drives[d].motor is not None or rig.drives[d].grip_N is not None:
        return driven_result(raw, d)
    motion, off = case.motions[name], case.power_off.get(name)
    k = int(raw.ready.start.model.drives[d]["state"])
    live = off is not None and raw.end_s >= off.time_s
    final = float(raw.state[k]) if live else motion.position_m(raw.end_s)
    top = _top_speed(raw, name) if live else motion.top_speed_m_s
    if case.stop_time_s is None or name not in case.stopped_drives:
        return DriveResult(paid_out_m=final, top_speed_m_s=top)
    if off is not None and off.time_s < case.stop_time_s:
        return DriveResult(paid_out_m=final, top_speed_m_s=top)  # switched off by an earlier stop
    at_rest = _stands_from(raw, d, off.time_s) if off is not None and live else motion.end_s
    return DriveResult(
        paid_out_m=final,
        top_speed_m_s=top,
        stopping_distance_m=abs(final - motion.position_m(case.stop_time_s)),
        stopping_time_s=None if at_rest is None else max(at_rest - case.stop_time_s, 0.0),
    )


def _top_speed(raw: Raw, name: str) -> float:
    """Of a drive without power (m/s): what hangs on it can make it faster than its move did, and a move cut off may
    never have reached its speed. A run without samples knows the move's alone."""
    if not len(raw.samples):
        return raw.case.motions[name].top_speed_m_s
    return float(np.abs(raw.samples[:, _column(raw, f"line_speed_m_s:{name}")]).max())


def _stands_from(raw: Raw, d: int, off_s: float) -> float | None:
    """Since when a drive without power from off_s on stands (s); None where it still moves when the run ends."""
    words = [(float(t), word) for t, word, index, _ in raw.log if word in (md.EV_STAND, md.EV_SLIP) and index == d]
    if words:
        last_s, word = words[-1]
        return last_s if word == md.EV_STAND else None
    motion = raw.case.motions[raw.ready.rig.drives[d].name]
    stood = off_s >= motion.end_s or abs(motion.speed_m_s(off_s)) < STANDING_M_S
    return min(motion.end_s, off_s) if stood else None


def audit(raw: Raw, finer: Raw | None) -> Audit:
    """Energy residual, and the largest change of any peak at a tenth of the tolerance. A failed run never passes."""
    limit = RESIDUAL_AT_1E6 * max(raw.tolerance / 1e-6, 1.0)
    remarks = []
    if raw.status in FAILURES:
        remarks.append("the run failed, so none of its figures can be relied on")
    repeated = finer is not None and finer.status not in FAILURES
    if finer is not None and not repeated and raw.status not in FAILURES:
        remarks.append("the repeat at a tenth of the tolerance failed, so its peaks could not be compared")
    change = peak_change(raw, finer) if finer is not None and repeated else None
    if not raw.residual <= limit:
        remarks.append(f"energy does not close: {raw.residual:.1e} of what was turned over, above {limit:.0e}")
    if change is not None and not change <= PEAK_CHANGE:
        remarks.append(f"a peak moves by {change:.1e} of itself at a tenth of the tolerance, above {PEAK_CHANGE:.0e}")
    return Audit(
        energy_residual=raw.residual,
        peak_change=change,
        tolerance=raw.tolerance,
        evaluations=raw.evaluations,
        steps=raw.steps,
        restarts=raw.restarts,
        passed=not remarks,
        remark="; ".join(remarks),
    )


def peak_change(raw: Raw, finer: Raw) -> float:
    """Largest relative change of any peak; heights and speeds below 1 count against 1 (m, m/s)."""
    worst = 0.0
    for o, c in enumerate(raw.ready.columns):
        if c.peak:
            least = (
                1.0
                if not c.column.startswith(("force_N", "tension_N", "floor_force_N"))
                else 0.01 * raw.ready.start.reference_N
            )
            worst = max(worst, abs(float(finer.peak[o] - raw.peak[o])) / max(abs(float(finer.peak[o])), least))
    return worst


def _remarks(raw: Raw) -> list[str]:
    out = list(raw.ready.start.remarks)
    moving = (
        max(
            (abs(float(raw.samples[-1, _column(raw, f"total_speed_m_s:{p.name}")])) for p in raw.ready.rig.performers),
            default=0.0,
        )
        if len(raw.samples)
        else 0.0
    )
    if raw.status == od.END_OF_TIME and moving > STILL_MOVING_M_S:
        out.append(f"at the end of the run, {raw.end_s:.1f} s, something still moves at {moving:.2f} m/s")
    guards = sum(1 for row in raw.log if row[1] == md.EV_GUARD)
    if guards:
        out.append(f"{guards} times friction was held by the guard against events without progress")
    out += short_of_moves(raw)
    if raw.log_total > len(raw.log):
        out.append(f"{raw.log_total} events happened; the list keeps the first {len(raw.log)}")
    return out


def case_result(raw: Raw, finer: Raw | None, g_fine: Mapping[str, NDArray], rate_Hz: float) -> CaseResult:
    """All figures of one run. finer: the same at a tenth of the tolerance; g_fine: g histories at rate_Hz."""
    how, why, remedy = outcome(raw)
    rig = raw.ready.rig
    return CaseResult(
        name=raw.case.name,
        kind=raw.case.kind,
        outcome=how,
        reason=why,
        remedy=remedy,
        stop_time_s=raw.case.stop_time_s,
        duration_s=raw.end_s,
        performers={p.name: performer_result(raw, p, g_fine.get(p.name), rate_Hz) for p in rig.performers},
        drives={d.name: drive_result(raw, d.name) for d in rig.drives},
        peaks=peaks(raw),
        static_N=static_forces(raw),
        events=events(raw),
        audit=audit(raw, finer),
        remarks=tuple(_remarks(raw)),
    )


def trace(raw: Raw, every: int, g_fine: Mapping[str, NDArray], rate_Hz: float) -> Trace:
    """The sampled history, every so manieth sample; with g filtered by CFC 60 and 180 beside the raw one."""
    columns = {c.column: np.ascontiguousarray(raw.samples[::every, o]) for o, c in enumerate(raw.ready.columns)}
    for name, values in g_fine.items():
        for cfc in (60, 180):
            columns[f"g_cfc{cfc}:{name}"] = cfc_filtered(values, float(cfc), rate_Hz)[::every].copy()
    columns |= {name: values[::every].copy() for name, values in taut_spans(raw).items()}  # not all of it kept alive
    return Trace(time_s=raw.time_s[::every].copy(), columns=columns)
