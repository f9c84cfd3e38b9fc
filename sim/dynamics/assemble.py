"""From the rig's parts by name to the solver's flat tables by number."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.dynamics import tables as tb
from sim.dynamics.curve import curve_table
from sim.rig.curve import curve_pieces
from sim.rig.line import Place
from sim.rig.rig import Rig
from sim.rig.sheave import bending_loss

# Places that a taut line has drawn closer than this (or than half of what they began with, where that is less) have
# met: rims of sheaves touch long before, and forces that turn with a chord of no length mean nothing.
ENDS_MEET_M = 0.01


@dataclass(frozen=True, eq=False)
class Layout:
    """Where everything of a rig stands in the tables."""

    model: tb.Model
    states: int
    line_spans: Mapping[str, tuple[int, ...]]
    line_gates: Mapping[str, tuple[int, ...]]
    """Per line, its gates at the places of its route, in order."""
    place_gate: Mapping[str, int]
    """First gate of every sheave, drive and tied place, by the place's name."""
    curves: Mapping[str, int]
    start_modes: NDArray[np.int64]

    def elements_of(self, line: str) -> list[int]:
        """Numbers of a line's elements from its first end to its last."""
        spans = self.model.spans
        return [
            e for i in self.line_spans[line] for e in range(spans[i]["first"], spans[i]["first"] + spans[i]["count"])
        ]


class _Builder:
    """Collects rows while the lines are walked along; used once and thrown away."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.states = 0
        self.gates: list[np.ndarray] = []
        self.spans: list[np.ndarray] = []
        self.elements: list[np.ndarray] = []
        self.curve_list: list[tuple[NDArray, NDArray]] = []
        self.curves: dict[str, int] = {}
        self.line_spans: dict[str, tuple[int, ...]] = {}
        self.line_gates: dict[str, tuple[int, ...]] = {}
        self.last_at: dict[str, int] = {}
        self.first_at: dict[str, int] = {}
        self.points = self._points()
        self.drives = self._drives()

    def take(self, count: int) -> int:
        """Reserve states; returns the first."""
        first = self.states
        self.states += count
        return first

    def _points(self) -> NDArray:
        rows = np.zeros(len(self.rig.points), tb.POINT)
        for row, p in zip(rows, self.rig.points, strict=True):
            row["state"], row["event"] = (-1 if p.start == "fixed" else self.take(6)), -1
            row["x"], row["y"], row["z"] = p.position_m
            row["mass"], row["drag_area"] = p.mass_kg, p.drag_area_m2
            if p.guide is not None:
                row["guided"] = 1
                row["gx"], row["gy"], row["gz"] = p.guide
        return rows

    def _drives(self) -> NDArray:
        rows = np.zeros(len(self.rig.drives), tb.DRIVE)
        for row, d in zip(rows, self.rig.drives, strict=True):
            row["state"], row["point"], row["gate"] = self.take(2), self.rig.index(d.point), -1
            row["mass"], row["loose"], row["grip"] = d.moving_mass_kg, d.loose_kg, d.grip_N or 0.0
            if d.motor is not None:
                self.take(1)
                most = d.most
                row["grip"] = 0.0 if d.grip_N is None or most.force_N < d.grip_N else d.grip_N
                row["force"], row["knee"], row["power"] = most.force_N, most.knee_m_s, most.power_W
                row["shift"], row["drop"], row["pulls_only"] = most.shift_m_s, most.drop_N, int(most.pulls_only)
                row["hands"] = d.hands.grip_N if d.hands is not None else 0.0
                row["gain"], row["natural"] = d.motor.gain_N_s_per_m(d.moving_mass_kg), d.motor.loop_rad_s
        return rows

    def line(self, number: int) -> None:
        """Gates, spans and elements of one line."""
        line = self.rig.lines[number]
        stretch = line.material.stretch
        self.curves[line.name] = len(self.curve_list)
        self.curve_list.append(curve_pieces([s for _, s in stretch], [f for f, _ in stretch]))
        ends = [self._gate_at(line.name, k) for k in range(len(line.route))]
        spans = []
        for k in range(len(line.route) - 1):
            spans.append(self._span(line.name, k, ends[k], ends[k + 1]))
        self.line_spans[line.name], self.line_gates[line.name] = tuple(spans), tuple(ends)

    def _gate_at(self, line_name: str, k: int) -> int:
        line = self.rig.line(line_name)
        place = line.route[k]
        row = np.zeros((), tb.GATE)
        row["point"], row["before"], row["after"], row["state"] = self.rig.index(place.point), -1, -1, -1
        row["also"], row["wound"] = -1, 1.0
        row["kind"] = {"tied": tb.TIED, "sheave": tb.SHEAVE, "drive": tb.DRIVE_END}[place.kind]
        number = len(self.gates)
        if place.kind == "sheave":
            s = self.rig.sheave(place.name)
            assert s is not None
            row["state"] = self.take(1)
            row["mass"], row["bearing"], row["bar"] = s.inertia_mass_kg, s.bearing, s.bar
            row["bending"] = bending_loss(s, line.material)
            row["weight"] = s.mass_kg * self.rig.gravity_m_s2
        if place.kind == "drive":
            d = next(i for i, x in enumerate(self.rig.drives) if x.name == place.name)
            row["drive"], row["sign"] = d, 1.0 if k == 0 else -1.0
            if self.drives[d]["gate"] < 0:
                self.drives[d]["gate"] = number
        self.gates.append(row)
        if place.name in self.last_at:
            self.gates[self.last_at[place.name]]["also"] = number
        self.first_at.setdefault(place.name, number)
        self.last_at[place.name] = number
        return number

    def _span(self, line_name: str, k: int, gate_a: int, gate_b: int) -> int:
        line = self.rig.line(line_name)
        a, b = line.route[k], line.route[k + 1]
        number, count = len(self.spans), line.elements_per_span
        row = np.zeros((), tb.SPAN)
        row["a"], row["b"] = self.rig.index(a.point), self.rig.index(b.point)
        row["ax"], row["ay"], row["az"] = a.offset_m
        row["bx"], row["by"], row["bz"] = b.offset_m
        row["first"], row["count"], row["sag"] = len(self.elements), count, -1
        row["still"] = int(self._moves(int(row["a"])) + self._moves(int(row["b"])) == 0)
        row["least"] = min(ENDS_MEET_M, 0.5 * self._chord_m(a, b))
        self.spans.append(row)
        before = gate_a
        for e in range(count):
            after = gate_b if e == count - 1 else self._interior(number, (e + 1) / count)
            self._element(line_name, number, before, after, 1.0 / count, (e + 0.5) / count)
            before = after
        return number

    def _chord_m(self, a: Place, b: Place) -> float:
        ends = [np.add(self.rig.point(x.point).position_m, x.offset_m) for x in (a, b)]
        return float(np.linalg.norm(ends[1] - ends[0]))

    def _moves(self, point: int) -> int:
        return int(self.points[point]["state"] >= 0)

    def _interior(self, span: int, fraction: float) -> int:
        row = np.zeros((), tb.GATE)
        row["kind"], row["span"], row["fraction"], row["state"] = tb.INTERIOR, span, fraction, self.take(1)
        row["before"], row["after"], row["also"] = -1, -1, -1
        self.gates.append(row)
        return len(self.gates) - 1

    def _element(self, line_name: str, span: int, gate_in: int, gate_out: int, share: float, centre: float) -> None:
        material = self.rig.line(line_name).material
        row = np.zeros((), tb.ELEMENT)
        row["span"], row["gate_in"], row["gate_out"], row["state"] = span, gate_in, gate_out, self.take(1)
        row["curve"], row["share"], row["centre"] = self.curves[line_name], share, centre
        row["law"] = tb.DAMP_PURE if material.damping == "pure" else tb.DAMP_LIMITED
        row["rho"], row["tau"] = material.mass_kg_per_m, material.damping_time_s
        row["limit"] = 1.0 if material.damping == "pure" else material.damping_limit
        row["end_a"], row["end_b"] = (_ENDS[int(self.gates[g]["kind"])] for g in (gate_in, gate_out))
        row["moves_a"], row["moves_b"] = (self._moves(int(self.spans[span][end])) for end in ("a", "b"))
        number = len(self.elements)
        self.gates[gate_in]["after"] = number
        self.gates[gate_out]["before"] = number
        self.elements.append(row)

    def springs(self) -> NDArray:
        rows = np.zeros(len(self.rig.springs), tb.SPRING)
        for row, s in zip(rows, self.rig.springs, strict=True):
            row["point"] = self.rig.index(s.point)
            row["other"] = -1 if s.other is None else self.rig.index(s.other)
            row["x"], row["y"], row["z"] = s.rest_m
            row["stiffness"], row["damping"] = s.stiffness_N_per_m, s.damping_N_s_per_m
        return rows

    def floors(self) -> NDArray:
        rows = np.zeros(len(self.rig.floors), tb.CONTACT)
        for row, f in zip(rows, self.rig.floors, strict=True):
            row["point"], row["below"], row["level"] = self.rig.index(f.point), f.below_m, f.level_m
            row["stiffness"], row["tau"], row["drag"] = f.stiffness_N_per_m, f.damping_time_s, f.along_N_s_per_m
        return rows


_ENDS = {
    tb.TIED: tb.ENDS_TIED,
    tb.SHEAVE: tb.ENDS_RUNNING,
    tb.DRIVE_END: tb.ENDS_RUNNING,
    tb.INTERIOR: tb.ENDS_INSIDE,
}


def _number_events(rig: Rig, parts: dict[int, NDArray]) -> NDArray:
    """The table of event functions; tells every part the first of its own.

    Two each, one for a standing point, three for a team.
    """
    rows: list[tuple[int, int, int]] = []
    gates = parts[tb.ON_GATE]
    rubs = (gates["kind"] == tb.SHEAVE) & ((gates["bearing"] > 0) | (gates["bending"] > 0) | (gates["bar"] > 0))
    for on, table in parts.items():
        for i, row in enumerate(table):
            row["event"] = -1
            if on == tb.ON_POINT and rig.points[i].start == "standing":
                row["event"] = len(rows)
                rows.append((on, i, 0))
            elif on != tb.ON_POINT and (on != tb.ON_GATE or rubs[i]):
                row["event"] = len(rows)
                rows += [(on, i, 0), (on, i, 1)]
                if on == tb.ON_DRIVE and row["hands"] > 0.0:
                    rows.append((on, i, 2))
    return np.array(rows, tb.EVENT)


def _table(rows: list[np.ndarray], kind: np.dtype) -> NDArray:
    out = np.zeros(len(rows), kind)
    for i, row in enumerate(rows):
        out[i] = row
    return out


def assemble(rig: Rig) -> Layout:
    """Tables of a rig without motions and without what is watched; sags and lengths come with the start."""
    build = _Builder(rig)
    for number in range(len(rig.lines)):
        build.line(number)
    elements, gates = _table(build.elements, tb.ELEMENT), _table(build.gates, tb.GATE)
    contacts = build.floors()
    events = _number_events(
        rig,
        {
            tb.ON_ELEMENT: elements,
            tb.ON_GATE: gates,
            tb.ON_CONTACT: contacts,
            tb.ON_DRIVE: build.drives,
            tb.ON_POINT: build.points,
        },
    )
    model = tb.Model(
        points=build.points,
        spans=_table(build.spans, tb.SPAN),
        elements=elements,
        gates=gates,
        drives=build.drives,
        springs=build.springs(),
        contacts=contacts,
        events=events,
        observables=np.zeros(0, tb.OBSERVABLE),
        bearers=np.zeros(0, tb.BEARER),
        curves=curve_table(build.curve_list),
        motions=tb.still_motion(),
        brakes=np.zeros(1, tb.BRAKE),
        gravity=rig.gravity_m_s2,
        air=rig.air_kg_m3,
    )
    modes = {"fixed": tb.FIXED, "held": tb.HELD, "standing": tb.STANDING, "moving": tb.MOVING}
    return Layout(
        model=model,
        states=build.states,
        line_spans=build.line_spans,
        line_gates=build.line_gates,
        place_gate=build.first_at,
        curves=build.curves,
        start_modes=np.array([modes[p.start] for p in rig.points], np.int64),
    )
