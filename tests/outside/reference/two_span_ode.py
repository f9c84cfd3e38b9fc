"""A drive, two sheaves and a hanging performer, written from textbook mechanics and integrated by scipy's DOP853.

The rig: line from the drive to a first sheave, to a second, straight down to the performer: three massless linear spans
between two sheaves with inertia. Unknowns: unstretched length of each span, rim speed of each sheave (positive
towards the performer), height and speed of the performer, and speed and travel of the drum once its power is off.

- Span: tension EA * (length / unstretched - 1), never below zero (Hooke; a line cannot push).
- Sheave: inertia / R^2 * dw/dt = tension out - tension in - friction (Euler's law for a turning disc).
- Coulomb friction, both states exactly: sliding it is the capacity against the motion, stuck it is whatever holds the
  rim, up to the capacity. Capacity: journal friction on the resultant pin load, friction * pin radius / tread radius
  * |pin load| (journal bearing, statics textbooks), plus a share of the mean tension for bending. Every change of
  state is a root found by solve_ivp and a fresh start of the integration; nothing is smoothed. `smoothing_m_s`
  replaces both states by capacity * tanh(w / smoothing) as a second, cruder method; the tests state how far it is off.
- Line through a sheave: mass is conserved, so unstretched length flows at w / (1 + strain); strain is the mean of both
  sides, which differ by the friction over EA only.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import OptimizeResult as OdeResult

from tests.outside.reference.motion import PaidOut
from tests.outside.reference.peaks import first_peak, largest

Floats = NDArray[np.float64]
G_M_S2 = 9.80665
STUCK = 0.0


@dataclass(frozen=True)
class Sheave:
    """Place (x, z) m, inertia kg m2, tread radius m, journal friction as friction * pin radius / tread radius, bending
    loss as a share of the mean tension, weight N (adds to the pin load)."""

    at_m: tuple[float, float]
    inertia_kg_m2: float
    tread_radius_m: float
    journal: float = 0.0
    bending: float = 0.0
    weight_N: float = 0.0


@dataclass(frozen=True)
class PowerOff:
    """Power off at a time: the drum (kg at the line, all that turns with it) runs free, then the brake (N there)."""

    at_s: float
    moving_kg: float
    brake_N: float
    delay_s: float
    rise_s: float

    def brake(self, time_s: float) -> float:
        """Force the brake can hold at a time, N."""
        return self.brake_N * min(1.0, max(0.0, (time_s - self.at_s - self.delay_s) / self.rise_s))

    @property
    def corners_s(self) -> tuple[float, ...]:
        """Where its law has corners."""
        applied = self.at_s + self.delay_s
        return (self.at_s, applied, applied + self.rise_s)


@dataclass(frozen=True)
class TwoSheaves:
    """The rig. performer_below_m is its distance under the second sheave at the start, where it hangs at rest."""

    drive_at_m: tuple[float, float]
    sheaves: tuple[Sheave, Sheave]
    performer_below_m: float
    performer_kg: float
    stretch_stiffness_N: float
    motion: PaidOut
    power_off: PowerOff | None = None
    smoothing_m_s: float | None = None
    spans_m: tuple[float, float] = field(init=False)
    units: tuple[Floats, ...] = field(init=False)
    """Directions of the three spans, from drive to performer."""

    def __post_init__(self) -> None:
        first, second = (np.array(s.at_m) for s in self.sheaves)
        runs = (first - np.array(self.drive_at_m), second - first)
        lengths = tuple(float(np.hypot(*run)) for run in runs)
        object.__setattr__(self, "spans_m", lengths)
        units = (runs[0] / lengths[0], runs[1] / lengths[1], np.array([0.0, -1.0]))
        object.__setattr__(self, "units", units)


@dataclass(frozen=True)
class Solution:
    """Histories: tensions (3, n) from drive to performer N, performer below the second sheave m, drum speed m/s."""

    time_s: Floats
    tension_N: Floats
    below_m: Floats
    drum_speed_m_s: Floats
    restarts: int

    def first_peak(self, span: int, after_s: float = 0.0) -> tuple[float, float]:
        """First peak of a span's tension after a time: (N, s)."""
        return first_peak(self.time_s, self.tension_N[span], after_s)

    def largest(self, span: int, from_s: float = 0.0, to_s: float = np.inf) -> tuple[float, float]:
        """Largest tension of a span within a time and when: (N, s)."""
        return largest(self.time_s, self.tension_N[span], from_s, to_s)


# The state vector: unstretched length of three spans, speeds of drum, first and second sheave, performer below, its
# speed.
UNSTRETCHED, SPEEDS, BELOW, FALL = slice(0, 3), slice(3, 6), 6, 7


def _tensions(rig: TwoSheaves, y: Floats) -> Floats:
    lengths = np.array([*rig.spans_m, y[BELOW]])
    return np.maximum(0.0, rig.stretch_stiffness_N * (lengths / y[UNSTRETCHED] - 1.0))


def _capacities(rig: TwoSheaves, time_s: float, tensions: Floats) -> Floats:
    out = [rig.power_off.brake(time_s) if rig.power_off else 0.0]
    for i, sheave in enumerate(rig.sheaves):
        pin = tensions[i + 1] * rig.units[i + 1] - tensions[i] * rig.units[i] - np.array([0.0, sheave.weight_N])
        out.append(sheave.journal * float(np.hypot(*pin)) + sheave.bending * 0.5 * float(tensions[i] + tensions[i + 1]))
    return np.array(out)


def _pulls(tensions: Floats) -> Floats:
    """Force on drum and sheaves towards the performer, friction left out."""
    return np.array([tensions[0], tensions[1] - tensions[0], tensions[2] - tensions[1]])


def _inertias(rig: TwoSheaves) -> Floats:
    drum = rig.power_off.moving_kg if rig.power_off else np.inf
    return np.array([drum, *(s.inertia_kg_m2 / s.tread_radius_m**2 for s in rig.sheaves)])


def _rates(rig: TwoSheaves, modes: Floats, powered: bool, strain_as_wound: float) -> Callable[[float, Floats], Floats]:
    inertias = _inertias(rig)

    def rates(time_s: float, y: Floats) -> Floats:
        tensions = _tensions(rig, y)
        strains = tensions / rig.stretch_stiffness_N
        speeds = y[SPEEDS].copy()
        if powered:
            speeds[0] = rig.motion.speed(time_s)
        capacity, pull = _capacities(rig, time_s, tensions), _pulls(tensions)
        if rig.smoothing_m_s is None:
            turning = np.where(modes == STUCK, 0.0, (pull - capacity * modes) / inertias)
        else:
            turning = (pull - capacity * np.tanh(speeds / rig.smoothing_m_s)) / inertias
        if powered:
            turning[0] = 0.0
        means = 1.0 + np.array([strain_as_wound, strains[:2].mean(), strains[1:].mean()])
        flows = np.append(speeds / means, 0.0)
        fall = G_M_S2 - tensions[2] / rig.performer_kg
        return np.array([*(flows[:3] - flows[1:]), *turning, y[FALL], fall])

    return rates


def _contacts(rig: TwoSheaves, powered: bool) -> list[int]:
    """Which of drum (0) and sheaves (1, 2) have dry friction with two states to keep apart."""
    if rig.smoothing_m_s is not None:
        return []
    drum = [] if powered else [0]
    return drum + [i + 1 for i, sheave in enumerate(rig.sheaves) if sheave.journal or sheave.bending]


def _switch(rig: TwoSheaves, contact: int, mode: float) -> Callable[[float, Floats], float]:
    """A function that falls through zero where a contact leaves its state: rest given up, or motion come to rest."""

    def margin(time_s: float, y: Floats) -> float:
        if mode != STUCK:
            return float(y[SPEEDS][contact] * mode)
        tensions = _tensions(rig, y)
        return float(_capacities(rig, time_s, tensions)[contact] - abs(_pulls(tensions)[contact])) + 1e-9

    setattr(margin, "terminal", True)  # noqa: B010  (solve_ivp reads these attributes of a function)
    setattr(margin, "direction", -1.0)  # noqa: B010
    return margin


def _modes(rig: TwoSheaves, time_s: float, y: Floats, contacts: list[int]) -> Floats:
    """State of drum and sheaves from here on: sliding along its speed, or at rest held or pulled away."""
    tensions = _tensions(rig, y)
    capacity, pull = _capacities(rig, time_s, tensions), _pulls(tensions)
    modes = np.ones(3)
    for i in contacts:
        speed = y[SPEEDS][i]
        modes[i] = np.sign(speed) if speed else (np.sign(pull[i]) if abs(pull[i]) > capacity[i] else STUCK)
    return modes


def _leg(
    rig: TwoSheaves, start_s: float, end_s: float, y: Floats, strain: float, rtol: float
) -> tuple[OdeResult, Floats]:
    """One smooth stretch: from a start to the next corner or change of state; the state to go on from."""
    powered = rig.power_off is None or start_s < rig.power_off.at_s - 1e-12
    contacts = _contacts(rig, powered)
    modes = _modes(rig, start_s, y, contacts)
    switches = [_switch(rig, i, modes[i]) for i in contacts]
    leg = solve_ivp(
        _rates(rig, modes, powered, strain), (start_s, end_s), y, method="DOP853", rtol=rtol, atol=1e-12,
        events=switches or None, dense_output=True, max_step=0.01,
    )  # fmt: skip
    if not leg.success:
        raise RuntimeError(leg.message)
    after = leg.y[:, -1].copy()
    for contact, hits in zip(contacts, leg.t_events or (), strict=False):
        if len(hits) and modes[contact] != STUCK:
            after[UNSTRETCHED.stop + contact] = 0.0
    return leg, after


def solve(rig: TwoSheaves, duration_s: float, rtol: float = 1e-9, sample_s: float = 1e-4) -> Solution:
    """The motion from rest. Peaks are read from samples of the dense output (1e-4 s apart unless told otherwise)."""
    strain = rig.performer_kg * G_M_S2 / rig.stretch_stiffness_N
    hang = np.array([*rig.spans_m, rig.performer_below_m])
    y = np.array([*hang / (1.0 + strain), 0.0, 0.0, 0.0, rig.performer_below_m, 0.0])
    off_s = rig.power_off.at_s if rig.power_off else np.inf
    corners = {*rig.motion.corner_s, duration_s, *(rig.power_off.corners_s if rig.power_off else ())}
    time_s, restarts = 0.0, 0
    times: list[Floats] = []
    states: list[Floats] = []
    for corner in sorted(c for c in corners if 0.0 < c <= duration_s):
        while time_s < corner - 1e-13:
            leg, y = _leg(rig, time_s, corner, y, strain, rtol)
            end = float(leg.t[-1])
            if end > time_s:
                times.append(np.linspace(time_s, end, max(2, round((end - time_s) / sample_s) + 1)))
                states.append(leg.sol(times[-1]))
            time_s, restarts = end, restarts + 1
            if restarts > 20_000:
                raise RuntimeError(f"no progress at {time_s} s")
        if abs(corner - off_s) < 1e-12:
            y[SPEEDS.start] = rig.motion.speed(corner - 1e-12)
    history, all_times = np.concatenate(states, axis=1), np.concatenate(times)
    tensions = np.array([_tensions(rig, state) for state in history.T]).T
    drum = np.array([rig.motion.speed(t) if t < off_s else w for t, w in zip(all_times, history[3], strict=True)])
    return Solution(all_times, tensions, history[BELOW], drum, restarts)
