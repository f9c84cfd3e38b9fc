"""The flat tables the compiled solver reads, and the words for their kinds and modes. SI throughout, z up.

A rig is points joined by spans. A span is a chain of elements of line. Between and at the ends of elements are
*gates*, through which line may flow: a sheave, an interior gate of a span, a drive's end, or a tied end.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

FLOAT, INT, NUMBER = np.float64, np.int64, np.uint64

# Gate kinds.
TIED, SHEAVE, INTERIOR, DRIVE_END = 0, 1, 2, 3

# How an element's end moves: tied to its point, running over a sheave or a drum, or with the line inside a span.
ENDS_TIED, ENDS_RUNNING, ENDS_INSIDE = 0, 1, 2

# Modes of an element of line, and of the floor contact: each is one smooth law until its event. Parted line bears
# nothing for ever.
SLACK, TAUT, LIMIT_PLUS, LIMIT_MINUS, PARTED = 0, 1, 2, 3, 4

# Modes of anything with dry friction (sheave, brake): sliding either way, held, or without friction at all. Line that
# is locked at a gate never flows through it again, whatever pulls.
SLIDE_MINUS, STUCK, SLIDE_PLUS, FREE, LOCKED = -1, 0, 1, 2, 3

# Modes of a drive: follows its motion; without power is live, its moving mass under line and brake; is driven by its
# motor; or follows its motion through a grip that may slip. What limits a motor.
FOLLOWING, LIVE, DRIVEN, GRIPPED = 0, 1, 2, 3
WITHIN, AT_FORCE, AT_POWER, AT_GRIP = 0, 1, 2, 3

# Modes of a point.
FIXED, HELD, STANDING, MOVING = 0, 1, 2, 3

# What an event function belongs to.
ON_ELEMENT, ON_GATE, ON_CONTACT, ON_DRIVE, ON_POINT = range(5)

# Mass that swings with the sag of a span over its line's: the square of a parabola's mean.
SAG_INERTIA = 8.0 / 15.0

# Damping laws of an element.
DAMP_LIMITED, DAMP_PURE = 0, 1


def _record(*fields: str, whole: str = "", index: str = "") -> np.dtype:
    """A record of numbers: `whole` names the integers among its fields, `index` those that number something, always.

    Unsigned ones, so that the compiled code need not ask whether they count from the end.
    """
    integers, numbers = whole.split(), index.split()
    return np.dtype([(f, NUMBER if f in numbers else INT if f in integers else FLOAT) for f in fields], align=True)


# What does not change during a run. Of every event function the part knows the first of its own, -1 for none.

# (x, y, z): where it is before anything moves; state: first of x, y, z, vx, vy, vz in the state vector, -1 for a fixed
# point; mass (kg) without line; drag_area (m2) times drag coefficient; guided 1: moves along (gx, gy, gz) only.
POINT = _record(
    *("x", "y", "z", "state", "event", "mass", "drag_area", "guided", "gx", "gy", "gz"),
    whole="state event guided",
)

# From point a to point b; (ax, ay, az): where the line meets the point, from the point's own position (m); elements;
# still 1: both points are fixed; sag: state of the perpendicular sag and its rate, -1 for none; sag_damping in kg/s;
# least: chord (m) at which the ends of a taut one have met.
SPAN = _record(
    *("a", "b", "ax", "ay", "az", "bx", "by", "bz", "first", "count", "still", "sag", "sag_damping", "least"),
    whole="first count still sag",
    index="a b",
)

# state: of the unstretched length; share: fraction of the span's chord, centre: where along it its middle lies; rho in
# kg per unstretched metre; tau (s) damping time; limit: most that damping may be of the elastic force; end_a, end_b:
# how its ends move; moves_a, moves_b 1: on a point that does.
ELEMENT = _record(
    *("span", "gate_in", "gate_out", "state", "event", "curve", "law", "end_a", "end_b", "moves_a", "moves_b"),
    *("share", "centre", "rho", "tau", "limit"),
    whole="event law end_a end_b moves_a moves_b",
    index="span gate_in gate_out state curve",
)

# before, after: elements, -1 for none; state: of the line speed, -1 for none; span and fraction (of the chord) of an
# interior gate; sign +1: the drive is at the line's first end, -1: at its last; mass (kg): inertia over tread radius
# squared; bearing: friction torque over pin load and tread radius; bending: loss over the mean tension; bar: friction
# coefficient of a bar that does not turn; weight (N) of the sheave on its pin; wound: unstretched over real metres of
# the line on the drum, wound_energy (J per unstretched metre) in it; also: next gate on the same sheave or drive, -1:
# none.
GATE = _record(
    *("kind", "point", "span", "before", "after", "state", "event", "drive", "also"),
    *("sign", "fraction", "mass", "bearing", "bending", "bar", "weight", "wound", "wound_energy"),
    whole="kind before after state event also",
    index="point span drive",
)

# state: paid out, speed, and of a motor's speed loop the integral (N); gate: the first of its gates; its pieces of
# motion and brake: first to last - 1; the motor's gain (N per m/s; 0: no motor) and natural frequency of its loop
# (rad/s); the most it gives: force (N) up to the speed knee (m/s), beyond it power (W) / (speed + shift) - drop (N);
# pulls_only 1: of people, speed counts taking in, and nothing is given the other way. grip: force (N) at which it
# slips, 0: no grip; hands: force (N) at which line runs out through hands, 0: no hands, and loose (kg): what still
# moves with the line once nothing but a brake or a hand holds it.
DRIVE = _record(
    *("state", "event", "point", "gate", "mass", "motion_first", "motion_last", "brake_first", "brake_last"),
    *("gain", "natural", "force", "knee", "power", "shift", "drop", "pulls_only", "grip", "hands", "loose"),
    whole="state event gate motion_first motion_last brake_first brake_last pulls_only",
    index="point",
)

# Between a point and another, or the place (x, y, z) where other is -1; (px, py, pz): force on the point at no travel.
SPRING = _record(
    *("point", "other", "x", "y", "z", "stiffness", "damping", "px", "py", "pz"),
    whole="other",
    index="point",
)

CONTACT = _record("point", "event", "below", "level", "stiffness", "tau", "drag", whole="event", index="point")

# Per event function: what it belongs to, which one, and whether it is the second (1) or third (2) of its own.
EVENT = _record("on", "index", "second", whole="on second", index="index")

# One piece of a motion: from its start, metres paid out as a cubic; corner 1: the integrator has a boundary there.
MOTION = _record("start", "c0", "c1", "c2", "c3", "corner", whole="corner")

# One piece of a drive's brakes: from its start, force (N) and its rise (N/s).
BRAKE = _record("start", "force", "rise")

# One piece of a stretch curve: from a strain on, force (N) as a cubic, and the energy stored up to there (J/m).
CURVE = _record("strain", "c0", "c1", "c2", "c3", "energy")

# What changes: the scratch of one run. A mode stands beside the numbers it governs.

POINT_NOW = _record("mode", "x", "y", "z", "vx", "vy", "vz", "fx", "fy", "fz", "mass", whole="mode")

# Direction from a to b, chord (m) and its rate (m/s). Where it hangs: its line (m) and the rate of it (m/s), how deep
# its weight sinks (m), and how both change: per level way over that way (1/m), per height and per sag.
SPAN_NOW = _record(
    *("ux", "uy", "uz", "length", "rate", "line", "line_rate", "sink"),
    *("line_h", "line_v", "line_d", "sink_h", "sink_v", "sink_d"),
)

# inverse: one over the unstretched length (1/m); tension (N) of the middle; psi (N): what is conjugate to the flow;
# energy (J/m) stored; height (m) of the middle; (x, y, z): pull (N) of its first point towards its last; half (N) its
# weight, where it hangs; first and last (N): tension at the two ends.
ELEMENT_NOW = _record(
    *("mode", "inverse", "strain", "rate", "tension", "psi", "energy", "height"),
    *("x", "y", "z", "half", "first", "last"),
    whole="mode",
)

# flow (unstretched m/s) and speed (real m/s) of the line; relaxed: unstretched over real metres there; force (N) that
# drives the line, its mass (kg) and inflow (N) of momentum; friction capacity (N); held: factor on it while it is held.
GATE_NOW = _record(
    *("mode", "flow", "speed", "relaxed", "force", "mass", "inflow", "capacity", "held"),
    whole="mode",
)

# mode: of the drive; brake: SLIDE_MINUS, STUCK, SLIDE_PLUS, or FREE under power; its piece of motion, one past the last
# before the next corner, its piece of brake; what limits its motor, and sense +1 or -1: which way, also that of a grip
# that slips, 0 while it holds; pull (N) of its lines, capacity (N) of its brakes, factor on it or on a grip while held;
# motor: force (N) of motor or grip, positive paying out; kept: energy (J) of people who let the line go its own way.
DRIVE_NOW = _record(
    *("mode", "brake", "piece", "piece_end", "brake_piece", "limit", "sense", "pull", "capacity", "held", "motor"),
    "kept",
    whole="mode brake piece piece_end brake_piece limit sense",
)

CONTACT_NOW = _record("mode", whole="mode")

# Observables: what is sampled and whose peaks are kept.
(
    OBS_X,
    OBS_Y,
    OBS_Z,
    OBS_VZ,
    OBS_SPEED,
    OBS_G,
    OBS_SPAN,
    OBS_END,
    OBS_PIN,
    OBS_DRIVE,
    OBS_ELEMENT,
    OBS_SPRING,
    OBS_HELD,
    OBS_PAID,
    OBS_DRIVE_SPEED,
    OBS_BORNE,
    OBS_CONTACT,
    OBS_SAME,
    OBS_JOINT,
    OBS_MOTOR,
) = range(20)

OBSERVABLE = _record("kind", "index", "scale", "shift", "mass", "peak", whole="kind peak", index="index")

# Per performer the elements of line that end there. least: the pull (N) below which they bear nothing.
BEARER = _record("who", "element", "least", whole="who", index="element")

# Event functions are all in newtons: a strain times the line's first stiffness, a speed times this (N per m/s).
SPEED_AS_FORCE = 1000.0

# Powers the audit integrates.
P_DRIVE, P_VISCOUS, P_FRICTION, P_BRAKE, P_FLOOR, P_SPRING, P_DRAG, P_SAG = range(8)
POWERS = 8


class Model(NamedTuple):
    """Everything that does not change during a run."""

    points: NDArray
    spans: NDArray
    elements: NDArray
    gates: NDArray
    drives: NDArray
    springs: NDArray
    contacts: NDArray
    events: NDArray
    observables: NDArray
    bearers: NDArray
    curves: NDArray  # (curves, pieces); unused pieces start at an infinite strain
    motions: NDArray
    brakes: NDArray
    gravity: float
    air: float  # kg/m3


class Work(NamedTuple):
    """Scratch of one run and the modes it is in; never shared between runs."""

    points: NDArray
    spans: NDArray
    elements: NDArray
    gates: NDArray
    contacts: NDArray
    drives: NDArray
    power: NDArray[np.float64]
    g: NDArray[np.float64]  # (events,) event functions, N
    fall: NDArray[np.float64]  # (events,) how fast that of a slack line or a clear floor falls, N/s


def new_work(m: Model) -> Work:
    """Scratch for one run of a model: points fixed where they start, lines taut, gates without friction."""
    count = len(m.events)
    w = Work(
        points=np.zeros(len(m.points), POINT_NOW),
        spans=np.zeros(len(m.spans), SPAN_NOW),
        elements=np.zeros(len(m.elements), ELEMENT_NOW),
        gates=np.zeros(len(m.gates), GATE_NOW),
        contacts=np.zeros(len(m.contacts), CONTACT_NOW),
        drives=np.zeros(len(m.drives), DRIVE_NOW),
        power=np.zeros(POWERS),
        g=np.ones(count),
        fall=np.zeros(count),
    )
    w.points["mode"] = FIXED
    w.elements["mode"] = TAUT
    w.gates["mode"] = FREE
    w.gates["held"] = 1.0
    w.drives["held"] = 1.0
    for axis in "xyz":
        w.points[axis] = m.points[axis]
    _place_still(m, w)
    return w


def _place_still(m: Model, w: Work) -> None:
    """Chords between fixed points, and the height of the elements on them: these never change."""
    a, b = m.points[m.spans["a"]], m.points[m.spans["b"]]
    way = [b[x] + m.spans["b" + x] - a[x] - m.spans["a" + x] for x in "xyz"]
    length = np.sqrt(way[0] ** 2 + way[1] ** 2 + way[2] ** 2)
    still = (m.spans["still"] == 1) & (length > 0.0)
    for name, along in zip(("ux", "uy", "uz"), way, strict=True):
        w.spans[name][still] = along[still] / length[still]
    w.spans["length"][still] = length[still]
    span, phi = m.elements["span"], m.elements["centre"]
    low, high = (a["z"] + m.spans["az"])[span], (b["z"] + m.spans["bz"])[span]
    w.elements["height"] = (1.0 - phi) * low + phi * high


def still_motion() -> NDArray:
    """A motion that does nothing, for a model without a case."""
    row = np.zeros(1, MOTION)
    row["corner"] = 1
    return row
