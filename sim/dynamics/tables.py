"""The flat tables the compiled solver reads, and the words for their kinds and modes. SI throughout, z up.

A rig is points joined by spans. A span is a chain of elements of line. Between and at the ends of elements are
*gates*, through which line may flow: a sheave, an interior gate of a span, a drive's end, or a tied end.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

FLOAT, INT = np.float64, np.int64

# Gate kinds.
TIED, SHEAVE, INTERIOR, DRIVE_END = 0, 1, 2, 3

# Modes of an element of line, and of the floor contact: each is one smooth law until its event.
SLACK, TAUT, LIMIT_PLUS, LIMIT_MINUS = 0, 1, 2, 3

# Modes of anything with dry friction (sheave, brake): sliding either way, held, or without friction at all.
SLIDE_MINUS, STUCK, SLIDE_PLUS, FREE = -1, 0, 1, 2

# Modes of a drive: follows its motion, or is live: its moving mass under line and brake.
FOLLOWING, LIVE = 0, 1

# Modes of a point.
FIXED, HELD, STANDING, MOVING = 0, 1, 2, 3

# Damping laws of an element.
DAMP_LIMITED, DAMP_PURE = 0, 1

POINT = np.dtype(
    [
        ("state", INT),  # first of x, y, z, vx, vy, vz in the state vector; -1 for a fixed point
        ("mass", FLOAT),  # kg, without line
        ("drag_area", FLOAT),  # m2, drag coefficient times area
        ("guided", INT),  # 1: moves along (gx, gy, gz) only
        ("gx", FLOAT),
        ("gy", FLOAT),
        ("gz", FLOAT),
    ],
    align=True,
)

SPAN = np.dtype(
    [
        ("a", INT),
        ("b", INT),
        ("ax", FLOAT),  # where the line meets the point, from the point's own position
        ("ay", FLOAT),
        ("az", FLOAT),
        ("bx", FLOAT),
        ("by", FLOAT),
        ("bz", FLOAT),
        ("first", INT),  # first element
        ("count", INT),  # number of elements
        ("sag", INT),  # state index of the perpendicular sag and its rate; -1: not sagging
        ("sag_damping", FLOAT),  # kg/s
    ],
    align=True,
)

ELEMENT = np.dtype(
    [
        ("span", INT),
        ("gate_in", INT),
        ("gate_out", INT),
        ("state", INT),  # state index of the unstretched length
        ("curve", INT),
        ("law", INT),
        ("share", FLOAT),  # fraction of the span's chord
        ("centre", FLOAT),  # chord fraction of the element's middle
        ("rho", FLOAT),  # kg per unstretched metre
        ("tau", FLOAT),  # s, damping time
    ],
    align=True,
)

GATE = np.dtype(
    [
        ("kind", INT),
        ("point", INT),
        ("span", INT),  # the span of an interior gate
        ("before", INT),  # element before, -1 none
        ("after", INT),  # element after, -1 none
        ("state", INT),  # state index of the line speed; -1 none
        ("drive", INT),
        ("sign", FLOAT),  # +1 the drive is at the line's first end, -1 at its last
        ("fraction", FLOAT),  # chord fraction of an interior gate
        ("mass", FLOAT),  # kg, inertia / tread radius squared
        ("bearing", FLOAT),  # friction torque over pin load and tread radius
        ("bending", FLOAT),  # fraction of the mean tension
        ("bar", FLOAT),  # friction coefficient of a bar that does not turn
        ("weight", FLOAT),  # N, the sheave's own weight, on its pin
        ("wound_strain", FLOAT),  # strain of the line on the drum
        ("wound_energy", FLOAT),  # J per unstretched metre on the drum
        ("also", INT),  # next gate on the same sheave or drive, -1 none
    ],
    align=True,
)

DRIVE = np.dtype(
    [
        ("state", INT),  # paid out, speed
        ("point", INT),
        ("gate", INT),  # first gate
        ("mass", FLOAT),
        ("motion_first", INT),
        ("motion_last", INT),  # pieces motion_first .. motion_last - 1
        ("brake_first", INT),
        ("brake_last", INT),
    ],
    align=True,
)

SPRING = np.dtype(
    [
        ("point", INT),
        ("other", INT),  # a point, or -1: the place (x, y, z)
        ("x", FLOAT),
        ("y", FLOAT),
        ("z", FLOAT),
        ("stiffness", FLOAT),
        ("damping", FLOAT),
        ("px", FLOAT),  # force on the point at zero travel
        ("py", FLOAT),
        ("pz", FLOAT),
    ],
    align=True,
)

CONTACT = np.dtype(
    [("point", INT), ("below", FLOAT), ("level", FLOAT), ("stiffness", FLOAT), ("tau", FLOAT), ("drag", FLOAT)],
    align=True,
)

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
    OBS_FELT,
    OBS_CONTACT,
    OBS_SAME,
) = range(18)

OBSERVABLE = np.dtype([("kind", INT), ("index", INT), ("scale", FLOAT), ("shift", FLOAT), ("peak", INT)], align=True)

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
    observables: NDArray
    curve_x: NDArray[np.float64]  # (curves, pieces + 1) strains; unused ones are inf
    curve_c: NDArray[np.float64]  # (curves, pieces, 5): c0..c3 of the force in N, energy at the piece's start in J/m
    motion_t: NDArray[np.float64]
    motion_c: NDArray[np.float64]  # (pieces, 4)
    motion_corner: NDArray[np.int64]  # (pieces,) 1 where the integrator has a boundary at the piece's start
    brake_t: NDArray[np.float64]
    brake_c: NDArray[np.float64]  # (pieces, 2): N, N/s
    gravity: float
    air: float  # kg/m3


class Work(NamedTuple):
    """Scratch of one run and the modes it is in; never shared between runs."""

    pos: NDArray[np.float64]
    vel: NDArray[np.float64]
    frc: NDArray[np.float64]
    mass: NDArray[np.float64]
    unit: NDArray[np.float64]
    chord: NDArray[np.float64]  # (spans, 4): length, rate, cosine of slope, length with sag over chord derivative
    flow: NDArray[np.float64]  # (gates, 2): unstretched flow, line speed
    strain: NDArray[np.float64]  # (elements, 2): strain, rate
    ten: NDArray[np.float64]  # (elements, 7): see forces.tensions
    node: NDArray[np.float64]  # (gates + drives, 4): driving force, friction capacity, mass, momentum flow
    power: NDArray[np.float64]
    g: NDArray[np.float64]
    fall: NDArray[np.float64]  # (events,) how fast the event function of a slack line or a clear floor falls, N/s
    mode_e: NDArray[np.int64]
    mode_g: NDArray[np.int64]
    mode_c: NDArray[np.int64]
    mode_d: NDArray[np.int64]  # FOLLOWING or LIVE
    mode_b: NDArray[np.int64]  # brake: SLIDE_MINUS, STUCK, SLIDE_PLUS
    mode_p: NDArray[np.int64]
    piece: NDArray[np.int64]  # (drives, 3): motion piece, one past the last before the next corner, brake piece
    held: NDArray[np.float64]  # (gates + drives,) factor on the friction capacity of a held gate


def new_work(m: Model) -> Work:
    """Scratch for one run of a model."""
    n_p, n_s, n_e, n_g = len(m.points), len(m.spans), len(m.elements), len(m.gates)
    n_d, n_c = len(m.drives), len(m.contacts)
    z = np.zeros
    return Work(
        pos=z((n_p, 3)),
        vel=z((n_p, 3)),
        frc=z((n_p, 3)),
        mass=z(n_p),
        unit=z((n_s, 3)),
        chord=z((n_s, 4)),
        flow=z((n_g, 2)),
        strain=z((n_e, 2)),
        ten=z((n_e, 7)),
        node=z((n_g + n_d, 4)),
        power=z(POWERS),
        g=np.ones(event_count(m)),
        fall=z(event_count(m)),
        mode_e=np.full(n_e, TAUT, INT),
        mode_g=np.full(n_g, FREE, INT),
        mode_c=np.zeros(n_c, INT),
        mode_d=np.zeros(n_d, INT),
        mode_b=np.zeros(n_d, INT),
        mode_p=np.full(n_p, FIXED, INT),
        piece=z((n_d, 3), INT),
        held=np.ones(n_g + n_d),
    )


def event_count(m: Model) -> int:
    """Number of event functions: two for every element, gate, contact and drive, one for every point."""
    return 2 * (len(m.elements) + len(m.gates) + len(m.contacts) + len(m.drives)) + len(m.points)
