"""The parts of a rig that small_steps.py runs, and what it tells of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from tests.outside.reference.small_steps import Floats, G, Tables, small_steps

Vector = tuple[float, float, float]


@dataclass(frozen=True)
class Body:
    """What has a place: fixed without a mass. free_s: held until then. Rates of floor, mount and drag where it has any.

    mount: stiffness (N/m) and damping (N s/m) to where it is at rest. floor: level (m), stiffness, damping time (s, its
    part of the push at most as much again), drag along (N s/m).
    """

    at: Vector
    mass_kg: float | None = None
    free_s: float = 0.0
    upright: bool = False
    drag_area_m2: float = 0.0
    mount: tuple[float, float] | None = None
    floor: tuple[float, float, float, float] | None = None


@dataclass(frozen=True)
class Wheel:
    """A sheave at a body: mass at the rim (kg), friction on the resultant and on the mean pull, weight (N)."""

    body: str
    rim_kg: float
    journal: float
    bending: float
    weight_N: float


@dataclass(frozen=True)
class Drum:
    """Speed asked (m/s, out positive) over time. off_s: no power from then on, only brake_N(t). motor: force (N), power
    (W), natural frequency of the loop (rad/s)."""

    body: str
    mass_kg: float
    speed: Callable[[float], float]
    off_s: float = np.inf
    brake_N: Callable[[float], float] = lambda t: 0.0
    grip_N: float = 0.0
    motor: tuple[float, float, float] | None = None


@dataclass(frozen=True)
class Rope:
    """A line along bodies, wheels and drums. tension (N) at rest. ends: where it meets a body, from the body's place.
    length_m: of its one span, instead of that of the tension. parts_s, caught: when it parts; at which wheel, when."""

    route: tuple[str, ...]
    stiffness_N: float
    damping_s: float
    tension_N: float = 0.0
    ends: Mapping[str, tuple[str, Vector]] = field(default_factory=dict)
    length_m: float | None = None
    parts_s: float = np.inf
    caught: tuple[str, float] = ("", np.inf)


@dataclass
class PlainRig:
    """A rig of these parts. lagging: (lagging body, torso, frequency Hz, damping ratio)."""

    bodies: Mapping[str, Body]
    ropes: Mapping[str, Rope]
    wheels: Mapping[str, Wheel] = field(default_factory=dict)
    drums: Mapping[str, Drum] = field(default_factory=dict)
    lagging: Sequence[tuple[str, str, float, float]] = ()

    def _place(self, rope: Rope, name: str) -> tuple[int, Floats]:
        body, offset = rope.ends.get(name, (name, (0.0, 0.0, 0.0)))
        part = self.wheels.get(name) or self.drums.get(name)
        body = part.body if part is not None else body
        return list(self.bodies).index(body), np.array(offset, dtype=float)

    def run(self, end_s: float, step_s: float = 1e-5, every: int = 20) -> dict[str, Floats]:
        """Histories: time_s; a span's pull by 'rope:from -> to' (N); x, y, z and g of bodies; drums' paid_out (m)."""
        x = np.array([b.at for b in self.bodies.values()], dtype=float)
        mass = np.array([b.mass_kg or 1.0 for b in self.bodies.values()])
        ends, offset, line, s, tension, names = [], [], [], [], [], []
        between, wheel, drum_span = [], [], {}
        for title, rope in self.ropes.items():
            for k, (here, there) in enumerate(zip(rope.route, rope.route[1:], strict=False)):
                (a, from_a), (b, from_b) = self._place(rope, here), self._place(rope, there)
                chord = float(np.linalg.norm(x[b] + from_b - x[a] - from_a))
                if k > 0:
                    w = self.wheels[here]
                    caught_s = rope.caught[1] if rope.caught[0] == here else np.inf
                    between.append((len(s) - 1, len(s)))
                    wheel.append((w.rim_kg, w.journal, w.bending, w.weight_N, caught_s))
                drum_span |= {here: (len(s), 1)} if here in self.drums else {}
                drum_span |= {there: (len(s), -1)} if there in self.drums else {}
                ends.append((a, b))
                offset.append((from_a, from_b))
                line.append((rope.stiffness_N, rope.damping_s, rope.parts_s))
                s.append(rope.length_m or chord / (1.0 + rope.tension_N / rope.stiffness_N))
                tension.append(rope.tension_N)
                names.append(f"{title}:{here} -> {there}")
        weight = np.array([0.0, 0.0, G])
        mount = np.zeros((len(x), 8))
        for p, body in enumerate(self.bodies.values()):
            if body.mount is not None:
                on = mass[p] * weight
                for (a, b), (from_a, from_b), t in zip(ends, offset, tension, strict=True):
                    way = x[b] + from_b - x[a] - from_a
                    on = on - t * way / np.linalg.norm(way) * ((a == p) - (b == p))
                mount[p] = [*body.mount, *x[p], *on]
        drums = list(self.drums.items())
        drum = [
            (d.mass_kg, d.off_s, d.grip_N, 1.0 / (1.0 + tension[i] / line[i][0]), *_motor(d))
            for name, d in drums
            for i in [drum_span[name][0]]
        ]
        number = {name: p for p, name in enumerate(self.bodies)}
        lag = [
            (m * (2.0 * np.pi * f) ** 2, 4.0 * np.pi * f * m * ratio, m * G)
            for who, _, f, ratio in self.lagging
            for m in [mass[number[who]]]
        ]
        count = round(end_s / step_s)
        times = np.asarray(np.arange(count + 1) * step_s, np.float64)
        tab = Tables(
            mass=mass,
            kind=np.array([0 if b.mass_kg is None else 2 if b.upright else 1 for b in self.bodies.values()]),
            free_s=np.array([b.free_s for b in self.bodies.values()]),
            drag=np.array([b.drag_area_m2 for b in self.bodies.values()]),
            mount=mount,
            floor=np.array([b.floor or (0.0, 0.0, 0.0, 0.0) for b in self.bodies.values()]),
            ends=np.array(ends),
            offset=np.array(offset),
            line=np.array(line, dtype=float),
            between=np.array(between, np.int64).reshape(-1, 2),
            wheel=np.array(wheel, float).reshape(-1, 5),
            drum_span=np.array([drum_span[name] for name, _ in drums], np.int64).reshape(-1, 2),
            drum=np.array(drum, float).reshape(-1, 8),
            lag=np.array(lag, float).reshape(-1, 3),
            lag_of=np.array([(number[a], number[b]) for a, b, *_ in self.lagging], np.int64).reshape(-1, 2),
        )
        asked = _over(times, [d.speed for _, d in drums])
        brake = _over(times, [d.brake_N for _, d in drums])
        seen = np.zeros((-(-count // every), len(s) + 4 * len(x) + len(drums)))
        held = np.array([-tension[drum_span[name][0]] for name, _ in drums], dtype=float)
        speeds = np.array([d.speed(0.0) for _, d in drums], dtype=float)
        small_steps(
            (count, step_s, every),
            (x, np.zeros_like(x)),
            (np.array(s), np.zeros(len(wheel)), speeds, held),
            asked,
            brake,
            tab,
            seen,
        )
        told = [*names, *(f"{c}:{b}" for b in self.bodies for c in ("x", "y", "z", "g"))]
        told += [f"paid_out:{name}" for name, _ in drums]
        return {"time_s": times[::every][: len(seen)], **dict(zip(told, seen.T, strict=True))}


def _motor(drum: Drum) -> tuple[float, float, float, float]:
    if drum.motor is None:
        return 0.0, 0.0, 0.0, 0.0
    force_N, power_W, natural = drum.motor
    return force_N, power_W, 2.0 * drum.mass_kg * natural, natural


def _over(times: Floats, of: Sequence[Callable[[float], float]]) -> Floats:
    """(times, functions) of their values."""
    return np.array([[each(t) for each in of] for t in times]).reshape(len(times), len(of))
