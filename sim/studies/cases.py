"""The cases of a rig: the planned move, and each stop at its instant."""

from __future__ import annotations

from dataclasses import replace

from profiles import Motion, hurried, restarted, stopped
from sim.results.model import STOP, Event
from sim.rig.brake import applied, capacity
from sim.rig.case import Case, PowerOff
from sim.rig.failure import Failure
from sim.rig.rig import Rig
from sim.rig.stop import StopOrder
from sim.studies.hands import called

PLANNED = "planned move"

# What the event list says of a failure at its instant.
HAPPENING = {
    "parted line": "line parts",
    "lost point": "comes away",
    "snag": "line catches",
    "overspeed": "control lost, speeds up",
    "let go": "hands let go",
}
# ... and of what people have done when they were called.
CALLED = {"hold": "hands close", "lock off": "tail made fast", "let go": "hands let go"}


def _last_action(rig: Rig, motions: dict, more: list[float]) -> float:
    ends = [m.end_s for m in motions.values() if m.moves]
    releases = [p.release_s for p in rig.points if p.start == "held" and p.release_s is not None]
    return max([*ends, *releases, *more], default=0.0)


def _releases(rig: Rig) -> list[Event]:
    return [
        Event(p.release_s, "let go", who.name)
        for who in rig.performers
        for p in [rig.point(who.suspension)]
        if p.start == "held" and p.release_s is not None
    ]


def _labels(name: str, motion) -> list[Event]:
    return [Event(float(t), text, name) for t, text in zip(motion.time_s, motion.label, strict=True) if text]


def planned_case(rig: Rig) -> Case:
    """Every drive does what it was asked to; nothing fails."""
    motions = {d.name: d.motion for d in rig.drives}
    known = [e for name, motion in motions.items() for e in _labels(name, motion)] + _releases(rig)
    return Case(
        name=PLANNED,
        kind="working",
        motions=motions,
        known=tuple(sorted(known, key=lambda e: e.time_s)),
        last_action_s=_last_action(rig, motions, []),
    )


def case_before(rig: Rig, stop: StopOrder) -> Case:
    """What is going on when a stop or failure comes: the planned move, or the stop that is under way already."""
    if stop.during is None:
        return planned_case(rig)
    assert stop.during.time_s is not None
    return stop_case(rig, stop.during, stop.during.time_s)


def stop_case(rig: Rig, stop: StopOrder, time_s: float, name: str | None = None) -> Case:
    """The stop, or the failure and the stop that follows, at one instant. Drives that do not stop go on moving.

    What a stop that is under way already has switched off stays so.
    """
    going_on = case_before(rig, stop)
    motions = dict(going_on.motions)
    power_off = {
        name: off for name, off in going_on.power_off.items() if off.time_s <= time_s or name not in stop.drives
    }
    stopping = [name for name in stop.drives if name not in power_off]
    failure = stop.failure if stop.failure is not None and stop.failure.happens else None
    if failure is not None and failure.kind == "overspeed" and motions[failure.of].moves:
        as_asked = motions[failure.of]
        motions[failure.of] = hurried(as_asked, time_s, failure.times_as_fast(as_asked.top_speed_m_s))
    known = [e for e in going_on.known if e.time_s < time_s] if stop.during is not None else _releases(rig)
    known += [Event(time_s, HAPPENING[failure.kind], _place(failure))] if failure else []
    for drive in stopping if stop.category is not None else ():
        brakes = rig.drive(drive).brakes
        if stop.category == 0:
            power_off[drive] = PowerOff(time_s, capacity(brakes, time_s))
        else:
            motions[drive] = _slowed(rig, stop, drive, motions[drive], time_s)
            at_rest = max(motions[drive].end_s, time_s)
            if stop.category == 1 and stop.restart_after_s is None:
                closed = at_rest + max((b.closed_s for b in brakes), default=0.0)
                power_off[drive] = PowerOff(closed, applied(brakes, closed))
    for drive in stopping if stop.hands is not None else ():
        motions[drive], off = called(rig.drive(drive), stop.hands or "hold", motions[drive], time_s)
        power_off |= {drive: off} if off is not None else {}
    if failure is not None and failure.kind == "let go":
        power_off[failure.of] = PowerOff(time_s, ((time_s, 0.0, 0.0),))
    for d in rig.drives:
        known += _drive_events(rig, stop, time_s, d.name, motions[d.name], power_off.get(d.name))
    return Case(
        name=name or stop.name,
        kind=stop.kind,
        motions=motions,
        power_off=power_off,
        stop_time_s=time_s,
        stopped_drives=stop.drives,
        known=tuple(sorted(dict.fromkeys(known), key=lambda e: e.time_s)),
        last_action_s=_last_action(
            rig,
            {n: m for n, m in motions.items() if n not in power_off or stop.category},
            [time_s, *_closed(power_off)],
        ),
        during=stop.during is not None,
        failure=failure,
    )


def _slowed(rig: Rig, stop: StopOrder, drive: str, motion: Motion, time_s: float) -> Motion:
    """A drive's motion with a controlled stop: its share of one along the path it flies, where asked for, or its own.

    A drive that has lost its control no longer flies the path, and stops for itself.
    """
    how = (time_s, stop.deceleration_m_s2 or 0.0, stop.jerk_m_s3)
    flight = next((f for f in rig.flights if drive in f.leads_from and f.under_way(time_s)), None)
    if not stop.along_path or flight is None or motion is not rig.drive(drive).motion:
        return _again(stop, stopped(motion, *how), motion)
    along = flight.stopped(*how)
    along = replace(along, progress=_again(stop, along.progress, flight.progress))
    return along.motion_stopped(drive, motion, time_s)


def _again(stop: StopOrder, slowed: Motion, planned: Motion) -> Motion:
    """The stop, and where that is asked for the start after it."""
    return slowed if stop.restart_after_s is None else restarted(slowed, planned, stop.restart_after_s)


def happening(stop: StopOrder) -> str:
    """What happens at the instant of a stop or failure, in words: what is wrong from the start is found by a stop."""
    failure = stop.failure
    return f"{_place(failure)}: {HAPPENING[failure.kind]}" if failure is not None and failure.happens else STOP


def _place(failure: Failure) -> str:
    return f"{failure.of} at {failure.at}" if failure.at else failure.of


def _closed(power_off: dict[str, PowerOff]) -> list[float]:
    return [off.brake[-1][0] for off in power_off.values()]


def _drive_events(rig: Rig, stop: StopOrder, time_s: float, name: str, motion, off: PowerOff | None) -> list[Event]:
    out = [e for e in _labels(name, motion) if off is None or e.time_s <= off.time_s + 1e-9]
    if name in stop.drives and stop.hands is not None:
        out.append(Event(time_s, f"called to {stop.hands}", name))
        return [*out, Event(off.brake[-1][0], CALLED[stop.hands], name)] if off is not None else out
    if name not in stop.drives or stop.category is None:
        return out
    if stop.category == 0 and off is not None:
        out.append(Event(time_s, "power off", name))
        for b in rig.drive(name).brakes:
            out += [
                Event(time_s + b.delay_s, "brake touches", name),
                Event(time_s + b.closed_s, "brake at full force", name, b.force_N, "N"),
            ]
    if stop.category == 1 and off is not None:
        out.append(Event(off.time_s, "brake closed, power off", name, off.brake[0][1], "N"))
    return out
