"""What is watched in a rig: one column for every height, speed, g, tension and force, by name."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.dynamics import tables as tb
from sim.dynamics.assemble import Layout
from sim.rig.rig import Rig

# Lines that together pull on a performer by less than this part of the weight bear nobody: our own choice. Slack line
# still pulls by its weight and by what sheaves weigh that it turns, a few newtons.
SLACK_SHARE = 0.05


@dataclass(frozen=True)
class Watched:
    """One column: its name, what it looks at, and whether its highest (+1) or lowest (-1) value is kept."""

    column: str
    kind: int
    index: int
    scale: float = 1.0
    shift: float = 0.0
    peak: int = 0
    mass_kg: float = 0.0
    """Of what is borne, where that is looked at."""


def watched(rig: Rig, lay: Layout) -> tuple[Watched, ...]:
    """All columns of a rig, in the order of its traces."""
    out: list[Watched] = []
    for p in rig.performers:
        out += _performer(rig, lay, p.name)
    for line in rig.lines:
        if not line.strap:
            for k, i in enumerate(lay.line_spans[line.name]):
                out.append(Watched(f"tension_N:{line.name}:{line.span_name(k)}", tb.OBS_SPAN, i, peak=1))
    for s in rig.sheaves:
        if s.name in lay.place_gate:
            out.append(Watched(f"force_N:{s.name}", tb.OBS_PIN, lay.place_gate[s.name], peak=1))
    for name in (*rig.anchors, *rig.junctions, *rig.counterweights):
        if name in lay.place_gate:
            kind = tb.OBS_JOINT if name in rig.junctions else tb.OBS_PIN
            out.append(Watched(f"force_N:{name}", kind, lay.place_gate[name], peak=1))
    for k, spring in enumerate(rig.springs):
        if spring.other is None:
            out.append(Watched(f"force_N:{spring.name}", tb.OBS_SPRING, k, peak=1))
    for d, drive in enumerate(rig.drives):
        out.append(Watched(f"force_N:{drive.name}", tb.OBS_DRIVE, d, peak=1))
    out += _hardware(rig, lay, out)
    for name in rig.counterweights:
        out.append(Watched(f"height_m:{name}", tb.OBS_Z, rig.index(name), peak=-1))
    for d, drive in enumerate(rig.drives):
        out.append(Watched(f"paid_out_m:{drive.name}", tb.OBS_PAID, d))
        out.append(Watched(f"line_speed_m_s:{drive.name}", tb.OBS_DRIVE_SPEED, d))
        if drive.hands is not None:
            out.append(Watched(f"hands_force_N:{drive.name}", tb.OBS_MOTOR, d))
        elif drive.motor is not None:
            out.append(Watched(f"motor_force_N:{drive.name}", tb.OBS_MOTOR, d))
        elif drive.grip_N is not None:
            out.append(Watched(f"grip_force_N:{drive.name}", tb.OBS_MOTOR, d))
    return tuple(out)


def _performer(rig: Rig, lay: Layout, name: str) -> list[Watched]:
    p = next(x for x in rig.performers if x.name == name)
    hook, body = rig.index(p.suspension), rig.index(p.body)
    out = [
        Watched(f"x_m:{name}", tb.OBS_X, hook),
        Watched(f"y_m:{name}", tb.OBS_Y, hook),
        Watched(f"height_m:{name}", tb.OBS_Z, hook, peak=-1),
        Watched(f"speed_m_s:{name}", tb.OBS_VZ, hook),
        Watched(f"total_speed_m_s:{name}", tb.OBS_SPEED, hook, peak=1),
        Watched(f"g:{name}", tb.OBS_G, body, scale=1.0 / rig.gravity_m_s2, peak=1),
        Watched(f"body_height_m:{name}", tb.OBS_Z, body, shift=-p.body_below_m, peak=-1),
    ]
    plain = name in lay.place_gate and all(
        place.point != p.suspension or place.name == name for line in rig.lines for place in line.route
    )
    if p.strap is None and plain:
        out.append(Watched(f"force_N:{name} harness", tb.OBS_PIN, lay.place_gate[name], peak=1))
    elif p.strap is None:
        torso_kg = p.body_mass_kg - sum(rig.point(s.point).mass_kg for s in rig.springs if s.other == p.body)
        out.append(Watched(f"force_N:{name} harness", tb.OBS_BORNE, body, mass_kg=torso_kg, peak=1))
    else:
        out.append(Watched(f"force_N:{name} harness", tb.OBS_ELEMENT, lay.elements_of(p.strap)[0], peak=1))
    if p.start in ("held", "standing"):
        what = "what holds" if p.start == "held" else "what carries"
        out.append(Watched(f"force_N:{what} {name}", tb.OBS_HELD, body, peak=1))
    for k, f in enumerate(rig.floors):
        if f.point == p.body:
            out.append(Watched(f"floor_force_N:{name}", tb.OBS_CONTACT, k, peak=1))
    for line in rig.lines:
        for place, gate in zip(line.route, lay.line_gates[line.name], strict=True):
            if place.kind == "tied" and place.point == p.suspension and place.name != name and not line.strap:
                out.append(Watched(f"force_N:{place.name}", tb.OBS_END, gate, peak=1))
    return out


def _hardware(rig: Rig, lay: Layout, known: list[Watched]) -> list[Watched]:
    """A fitting bears what it holds: a line's end tension, or the force on what it carries."""
    out = []
    for h in rig.hardware:
        if h.end is not None:
            line = rig.line(h.holds)
            k = next(i for i, p in enumerate(line.route) if p.name == h.end)
            out.append(Watched(f"force_N:{h.name}", tb.OBS_END, lay.line_gates[h.holds][k], peak=1))
            continue
        of = f"{h.holds} harness" if any(p.name == h.holds for p in rig.performers) else h.holds
        same = next((k for k, w in enumerate(known) if w.column == f"force_N:{of}"), None)
        if same is not None:
            out.append(Watched(f"force_N:{h.name}", tb.OBS_SAME, same, peak=1))
    return out


def bearers(rig: Rig, lay: Layout) -> NDArray:
    """The solver's table of the elements of line at every performer: where a line ends there, and both legs of one that
    turns on a block carried there."""
    rows = []
    for who, performer in enumerate(rig.performers):
        least_N = SLACK_SHARE * performer.weight_N
        for line in rig.lines:
            spans = [lay.model.spans[i] for i in lay.line_spans[line.name]]
            for k, place in enumerate(line.route):
                if line.strap or place.point != performer.suspension:
                    continue
                rows += [(who, int(spans[k - 1]["first"] + spans[k - 1]["count"]) - 1, least_N)] if k > 0 else []
                rows += [(who, int(spans[k]["first"]), least_N)] if k < len(spans) else []
    out = np.zeros(len(rows), tb.BEARER)
    for row, (who, element, least_N) in zip(out, rows, strict=True):
        row["who"], row["element"], row["least"] = who, element, least_N
    return out


def table(columns: tuple[Watched, ...]) -> NDArray:
    """The solver's table of them."""
    rows = np.zeros(len(columns), tb.OBSERVABLE)
    for row, c in zip(rows, columns, strict=True):
        row["kind"], row["index"], row["scale"], row["shift"], row["peak"] = c.kind, c.index, c.scale, c.shift, c.peak
        row["mass"] = c.mass_kg
    return rows
