"""What a stop meets at the hook: stiffness of the lines there, speed, time to standstill, and two closed forms."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sim.results.comparison import HookStop
from sim.results.model import CaseResult, Outcome, Result, Trace
from sim.results.on_floor import on_floor
from sim.rig.rig import Rig
from sim.studies.compare_stiffness import at_hook

_STANDS = 0.02
"""A drive this part of its speed before the slow-down stands."""
_LOOK_BACK_S = 2.0
"""How long before a peak the speed that led to it is looked for, where nothing was stopped."""
_SLACK_G = 0.02
_CAUGHT_G = 0.2
"""Below the first g no line bears the performer; until the second the hook leaps on a line that is hardly taut."""


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
    at = at_hook(rig, case, trace, begin, performer)
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
