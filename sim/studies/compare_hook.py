"""What a stop meets at the hook: stiffness of the lines there, speed, time to standstill, and two closed forms."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sim.results.comparison import HookStop
from sim.results.model import CaseResult, Outcome, Result, Trace
from sim.rig.curve import curve_pieces, slope_at, strain_at
from sim.rig.line import Line
from sim.rig.rig import Rig

_STANDS = 0.02
"""A drive this part of its speed before the slow-down stands."""
_LOOK_BACK_S = 2.0
"""How long before a peak the speed that led to it is looked for, where nothing was stopped."""
_NEAR_PEAK_S = 0.005
_SLACK_G = 0.02
_CAUGHT_G = 0.2
"""Below the first g no line bears the performer; until the second the hook leaps on a line that is hardly taut."""
_TINY_N_PER_M = 1e-3
"""What holds a point where no line does, so that a free direction stays finite."""

Places = Mapping[str, NDArray[np.float64]]


def even_stop_N(mass_kg: float, stiffness_N_per_m: float, speed_m_s: float, slow_down_s: float) -> float:
    """What a spring adds to the weight of a mass on it when its other end slows down evenly to rest (N), undamped.

    Response to a rectangular acceleration pulse: 2 m a, and 2 m a sin(pi t / T) where the slow-down t is shorter than
    half the period T; speed times root of stiffness times mass for t = 0 (textbook shock spectrum, value from memory).

    >>> round(even_stop_N(100.0, 50e3, 2.0, 0.1) + 100 * 9.80665, 2), round(even_stop_N(100.0, 50e3, 2.0, 0.0), 2)
    (4577.63, 4472.14)
    """
    omega = math.sqrt(stiffness_N_per_m / mass_kg)
    if omega * slow_down_s < 1e-6:
        return mass_kg * speed_m_s * omega
    return 2.0 * mass_kg * speed_m_s / slow_down_s * math.sin(min(0.5 * omega * slow_down_s, 0.5 * math.pi))


def snatch_N(
    weight_N: float, mass_kg: float, stiffness_N_per_m: float, catch_m_s: float, deceleration_m_s2: float = 0.0
) -> float:
    """What a spring adds to the weight of a mass that comes onto it slack (N), by the energy of mass and spring.

    catch_m_s: how much faster the mass falls than the spring's far end moves. deceleration_m_s2: of that far end, on
    which the mass weighs more; zero where it stands.
    """
    heavier_N = weight_N + mass_kg * deceleration_m_s2
    return heavier_N - weight_N + math.sqrt(heavier_N**2 + stiffness_N_per_m * mass_kg * catch_m_s**2)


def hook_stop(rig: Rig, result: Result, harness_N_per_m: Mapping[str, float | None]) -> HookStop | None:
    """How the largest g that lines gave came about; None where there is none. A g that the floor gave is left out.

    harness_N_per_m: stiffness of each performer's harness, None for a rigid one.
    """
    found = _largest_g(result)
    if found is None:
        return None
    case, performer = found
    who = next(p for p in rig.performers if p.name == performer)
    trace, peak_s = result.traces[case.name], case.performers[performer].peak_g_time_s
    falls = _falls(trace, performer)
    begin, slack = _begin(case, trace, performer, falls, peak_s)
    at = _at_hook(rig, case, trace, begin, performer)
    if at is None:
        return None
    harness = harness_N_per_m[performer]
    stated_kg = who.weight_N / rig.gravity_m_s2
    mass_kg = next((e.value for e in getattr(case, "ends", ()) if e.what == "mass" and e.of == performer), stated_kg)
    whole = at.N_per_m if harness is None else 1.0 / (1.0 / at.N_per_m + 1.0 / harness)
    speed = max(float(falls[begin]), 0.0)
    drive_m_s, slow_down_s = _slow_down(trace, begin, at.travel)
    period_s = 2.0 * math.pi * math.sqrt(mass_kg / whole)
    if slack and slow_down_s < 0.25 * period_s:  # it stands before the peak is reached: as good as standing
        drive_m_s, slow_down_s = 0.0, 0.0
    stop = HookStop(
        performer=performer,
        case=case.name,
        line=at.line.name,
        mass_kg=mass_kg,
        weight_N=mass_kg * rig.gravity_m_s2,
        EA_N=at.EA_N,
        run_length_m=at.length_m,
        hook_N_per_m=at.N_per_m,
        harness_N_per_m=harness,
        speed_m_s=speed,
        slow_down_s=slow_down_s,
        slack=slack,
        catch_m_s=max(speed - drive_m_s, 0.0) if slack else 0.0,
        deceleration_m_s2=max(drive_m_s if slack else speed, 0.0) / slow_down_s if slow_down_s > 0.0 else 0.0,
        period_s=period_s,
        instant_N=speed * math.sqrt(whole * mass_kg),
        law_N=0.0,
        added_N=(case.performers[performer].peak_g - 1.0) * mass_kg * rig.gravity_m_s2,
    )
    return replace(stop, law_N=law_N(stop))


def law_N(stop: HookStop) -> float:
    """What the closed forms add to the weight (N): a catch of slack line where there was one, else an even stop."""
    harness = 0.0 if stop.harness_N_per_m is None else 1.0 / stop.harness_N_per_m
    whole = 1.0 / (1.0 / stop.hook_N_per_m + harness)
    if stop.slack:
        return snatch_N(stop.weight_N, stop.mass_kg, whole, stop.catch_m_s, stop.deceleration_m_s2)
    return even_stop_N(stop.mass_kg, whole, stop.speed_m_s, stop.slow_down_s)


def _largest_g(result: Result) -> tuple[CaseResult, str] | None:
    seen = [
        (each.peak_g, case, name)
        for case in result.cases.values()
        if case.outcome is not Outcome.FAILED and case.name in result.traces
        for name, each in case.performers.items()
        if not on_floor(result, case, name)
    ]
    if not seen:
        return None
    _, case, name = max(seen, key=lambda each: each[0])
    return case, name


def on_floor(result: Result, case: CaseResult, performer: str) -> bool:
    """Whether the floor bears the performer when the case's largest g is felt."""
    trace, peak_s = result.traces[case.name], case.performers[performer].peak_g_time_s
    force = trace.columns.get(f"floor_force_N:{performer}")
    if force is None:
        return False
    return bool(np.any(force[np.abs(trace.time_s - peak_s) <= _NEAR_PEAK_S] > 0.0))


def _falls(trace: Trace, performer: str) -> NDArray[np.float64]:
    """Downward speed of the body (m/s, n): the hook above it is light and leaps where a line comes taut."""
    height = trace.columns.get(f"body_height_m:{performer}")
    if height is None or len(height) < 2:
        return -trace.columns[f"speed_m_s:{performer}"]
    return -np.gradient(height, trace.time_s)


def _begin(
    case: CaseResult, trace: Trace, performer: str, falls: NDArray[np.float64], peak_s: float
) -> tuple[int, bool]:
    """The sample from which the peak is built up, and whether the line was slack before it.

    Between the stop (or a look back) and the peak: where the line comes taut for the last time, or else where the
    performer goes down fastest.
    """
    first_s = case.stop_time_s if case.stop_time_s is not None else peak_s - _LOOK_BACK_S
    window = np.flatnonzero((trace.time_s >= first_s) & (trace.time_s <= peak_s))
    if len(window) == 0:
        return int(np.searchsorted(trace.time_s, peak_s).clip(0, len(trace.time_s) - 1)), False
    felt = trace.columns[f"g:{performer}"][window]
    if np.any(felt < _SLACK_G):
        return int(window[felt < _CAUGHT_G][-1]), True
    return int(window[np.argmax(falls[window])]), False


def _slow_down(trace: Trace, begin: int, travel: float) -> tuple[float, float]:
    """Speed at which the fastest drive lets the hook down (m/s) at a sample, and how long until it stands (s).

    travel: hook travel for a metre of line. Both 0 where it stands already or nothing drives.
    """
    speeds = [c for name, c in trace.columns.items() if name.startswith("line_speed_m_s:")]
    if not speeds:
        return 0.0, 0.0
    speed = max(speeds, key=lambda each: abs(float(each[begin])))
    now = abs(float(speed[begin]))
    if now <= _STANDS * float(np.abs(speed).max()):
        return 0.0, 0.0
    stands = np.flatnonzero(np.abs(speed[begin:]) <= _STANDS * now)
    end = begin + int(stands[0]) if len(stands) else len(speed) - 1
    return travel * float(speed[begin]), float(trace.time_s[end] - trace.time_s[begin])


@dataclass(frozen=True)
class _AtHook:
    """The line that bears most of a small load on the hook, and the hook's stiffness, vertical.

    travel: how far the hook goes down for a metre of line paid out, half a metre under a moving block.
    """

    line: Line
    N_per_m: float
    EA_N: float
    length_m: float
    travel: float


def _at_hook(rig: Rig, case: CaseResult, trace: Trace, sample: int, performer: str) -> _AtHook | None:
    """What the hook hangs on at one sample; None where no line bears it.

    Statics of small movements: every line is one spring over freely turning sheaves, every span with its force is also
    stiff across, mounts are springs. Sag softens a span by (w l)² l / (12 T³) (H.-J. Ernst, Der Bauingenieur 40, 1965).
    """
    where = _places(rig, trace, sample)
    free = [p for p in rig.points if p.start != "fixed" and p.name not in _bodies(rig)]
    number = {p.name: i for i, p in enumerate(free)}
    K = _TINY_N_PER_M * np.eye(3 * len(free))
    for spring in rig.springs:
        if spring.other is None and spring.point in number:
            rows = slice(3 * number[spring.point], 3 * number[spring.point] + 3)
            K[rows, rows] += spring.stiffness_N_per_m * np.eye(3)
    hook = next(p for p in rig.performers if p.name == performer).suspension
    down = np.zeros(3 * len(free))
    down[3 * number[hook] + 2] = 1.0
    lines = []
    for line in rig.lines:
        if line.strap:
            continue
        spring = _LineSpring(rig, line, case, trace, sample, where)
        lines.append((spring.add_to(K, number), line, spring))
    for p in free:
        if p.guide is not None:  # stiff in every direction but its own
            rows = slice(3 * number[p.name], 3 * number[p.name] + 3)
            along = np.array(p.guide)
            K[rows, rows] += 1e12 * (np.eye(3) - np.outer(along, along))
    moved = np.linalg.solve(K, down)
    borne = [spring.N_per_m * float(grows @ moved) * float(grows @ down) for grows, _, spring in lines]
    if max(borne, default=0.0) <= 0.0:
        return None
    grows, line, spring = lines[int(np.argmax(borne))]
    travel = 1.0 / max(abs(float(grows @ down)), 0.1)
    return _AtHook(line, 1.0 / float(down @ moved), spring.EA_N, spring.length_m, travel)


class _LineSpring:
    """One line as a spring: stiffness, force, and the spans it runs through."""

    def __init__(self, rig: Rig, line: Line, case: CaseResult, trace: Trace, sample: int, where: Places) -> None:
        self.line = line
        at = [where[place.point] + np.array(place.offset_m) for place in line.route]
        self.points = [place.point for place in line.route]
        self.ways = [b - a for a, b in pairwise(at)]
        lengths = [float(np.linalg.norm(way)) for way in self.ways]
        names = [f"{line.name}:{line.span_name(k)}" for k in range(len(self.ways))]
        rest_N = [case.static_N.get(name, 0.0) for name in names]
        self.force_N = float(np.mean(rest_N))
        if self.force_N <= 0.0:  # slack at rest: it will bear what hangs on it
            ends = sum(1 for p in rig.performers if p.suspension in self.points)
            self.force_N = sum(p.weight_N for p in rig.performers if p.suspension in self.points) / max(ends, 1)
        x, c = curve_pieces([s for _, s in line.material.stretch], [f for f, _ in line.material.stretch])
        strain = strain_at(x, c, self.force_N)
        self.EA_N = slope_at(x, c, strain)
        self.length_m = max(sum(lengths), line.cut.length_m or 0.0) + (line.cut.slack_m or 0.0)
        softness = self.length_m / (1.0 + strain) / self.EA_N
        if self.force_N > 0.0:
            softness += sum(self._sag_softness(rig, way, self.force_N) for way in self.ways)
        self.N_per_m = 1.0 / softness

    def _sag_softness(self, rig: Rig, way: NDArray[np.float64], force_N: float) -> float:
        weight_N_per_m = self.line.material.mass_kg_per_m * rig.gravity_m_s2
        level_m = float(np.hypot(way[0], way[1]))
        return weight_N_per_m**2 * level_m**3 / (12.0 * force_N**3)

    def add_to(self, K: NDArray[np.float64], number: Mapping[str, int]) -> NDArray[np.float64]:
        """Add the spring to the stiffness matrix; gives how its way grows with every free point's movement."""
        gradient = np.zeros(len(K))
        for k, (a, b) in enumerate(pairwise(self.points)):
            length = float(np.linalg.norm(self.ways[k]))
            if length < 1e-9:
                continue
            along = self.ways[k] / length
            across = self.force_N / length * (np.eye(3) - np.outer(along, along))
            rows = [slice(3 * number[p], 3 * number[p] + 3) if p in number else None for p in (a, b)]
            for row, sign in zip(rows, (-1.0, 1.0), strict=True):
                if row is not None:
                    gradient[row] += sign * along
                    K[row, row] += across
            if rows[0] is not None and rows[1] is not None:
                K[rows[0], rows[1]] -= across
                K[rows[1], rows[0]] -= across
        K += self.N_per_m * np.outer(gradient, gradient)
        return gradient


def _bodies(rig: Rig) -> set[str]:
    """Points below a harness, which is told apart; and lagging masses."""
    hung = {p.body for p in rig.performers if p.body != p.suspension}
    return hung | {s.point for s in rig.springs if s.other is not None}


def _places(rig: Rig, trace: Trace, sample: int) -> dict[str, NDArray[np.float64]]:
    """Where every point is at one sample; what the trace does not tell of is where it was at the start."""
    where = {p.name: np.array(p.position_m) for p in rig.points}
    for p in rig.performers:
        columns = [trace.columns.get(f"{axis}:{p.name}") for axis in ("x_m", "y_m", "height_m")]
        if all(column is not None for column in columns):
            where[p.suspension] = np.array([float(column[sample]) for column in columns if column is not None])
    for name in rig.counterweights:
        height = trace.columns.get(f"height_m:{name}")
        if height is not None:
            where[name] = np.array([*where[name][:2], float(height[sample])])
    return where
