"""The event list of a run, in words."""

from __future__ import annotations

from sim.dynamics import modes as md
from sim.dynamics.run import Raw
from sim.results.model import Event

WORDS = {
    md.EV_SLACK: ("line goes slack", "m/s"),
    md.EV_TAUT: ("line comes taut", "m/s"),
    md.EV_LIMIT: ("line damping at its limit", "m/s"),
    md.EV_UNLIMIT: ("line damping below its limit", "m/s"),
    md.EV_STICK: ("sheave stands still", "N"),
    md.EV_SLIDE: ("sheave turns", "N"),
    md.EV_STAND: ("drum stands", "N"),
    md.EV_SLIP: ("drum slips", "N"),
    md.EV_CONTACT: ("touches the floor", "m/s"),
    md.EV_LIFT: ("leaves the floor", "m/s"),
    md.EV_PUSH_LIMIT: ("damping on the floor at its limit", "m/s"),
    md.EV_PUSH_UNLIMIT: ("damping on the floor below its limit", "m/s"),
    md.EV_OFF_PLATFORM: ("lifts off", None),
    md.EV_AT_FORCE: ("motor at its force limit", "N"),
    md.EV_AT_POWER: ("motor at its power limit", "N"),
    md.EV_WITHIN: ("motor within its limits", "N"),
    md.EV_GRIP_SLIPS: ("grip slips", "N"),
    md.EV_GRIP_HOLDS: ("grip holds again", "N"),
    md.EV_HANDS_SLIP: ("line slips through the hands", "N"),
    md.EV_GUARD: ("held by the guard against events without progress", None),
}

OF_PEOPLE = {
    md.EV_STAND: "line stands",
    md.EV_SLIP: "line slips",
    md.EV_AT_FORCE: "people at their limit",
    md.EV_AT_POWER: "people at what they give at this speed",
    md.EV_WITHIN: "people within their limits",
    md.EV_GRIP_SLIPS: "line slips through the hand",
    md.EV_GRIP_HOLDS: "hand holds again",
}
"""The same of drives that people move."""


def events(raw: Raw) -> tuple[Event, ...]:
    """Every discontinuity in order of time, in words."""
    out = [e for e in raw.case.known if e.time_s <= raw.end_s + 1e-9]
    for t, word, index, value in raw.log:
        text, unit = WORDS[int(word)]
        if int(word) in OF_PEOPLE and raw.ready.rig.drives[int(index)].hands is not None:
            text = "people give nothing" if word == md.EV_AT_FORCE and value == 0.0 else OF_PEOPLE[int(word)]
        out.append(Event(float(t), text, _where(raw, int(word), int(index)), float(value) if unit else None, unit))
    return tuple(sorted(out, key=lambda e: e.time_s))


def _where(raw: Raw, word: int, index: int) -> str:
    rig, lay = raw.ready.rig, raw.ready.start.layout
    if word in (md.EV_SLACK, md.EV_TAUT, md.EV_LIMIT, md.EV_UNLIMIT):
        span = int(lay.model.elements[index]["span"])
        for line in rig.lines:
            if span in lay.line_spans[line.name]:
                if line.strap:
                    return line.name
                return f"{line.name}: {line.span_name(lay.line_spans[line.name].index(span))}"
    if word in (md.EV_STICK, md.EV_SLIDE):
        return _sheave_of(raw, index)
    if word in (md.EV_STAND, md.EV_SLIP) or word >= md.EV_AT_FORCE:
        return rig.drives[index].name
    if word in (md.EV_CONTACT, md.EV_LIFT, md.EV_PUSH_LIMIT, md.EV_PUSH_UNLIMIT):
        return _person(raw, rig.floors[index].point)
    if word == md.EV_OFF_PLATFORM:
        return _person(raw, rig.points[index].name)
    return ""


def _person(raw: Raw, point: str) -> str:
    """A point in words: the performer for the body, the performer's hook for a suspension point of its own."""
    for who in raw.ready.rig.performers:
        if point == who.body:
            return who.name
        if point == who.suspension:
            return f"{who.name} hook"
    return point


def _sheave_of(raw: Raw, gate: int) -> str:
    lay = raw.ready.start.layout
    for line in raw.ready.rig.lines:
        if gate in lay.line_gates[line.name]:
            return line.route[lay.line_gates[line.name].index(gate)].name
    return ""
