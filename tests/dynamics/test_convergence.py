"""The stepper has the order its authors proved, against an exact solution; and tolerance is what it says."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import RK45

import sim
from sim.dynamics import stepper
from sim.dynamics.case_tables import with_case
from sim.dynamics.modes import settle
from sim.dynamics.run import begin, ready, run
from sim.dynamics.tables import POWERS

MASS_KG, STIFFNESS_N, LENGTH_M, SPEED_M_S, G = 100.0, 500e3, 10.0, 0.5, 9.80665
TEXT = f"""
title: a mass on a line whose other end starts at once
performers:
  weight: {{mass: {MASS_KG - 0.001} kg, hook_mass: 0.001 kg, at: [0 m, 0 m, 2 m]}}
lines:
  line:
    type: {{stiffness_EA: {STIFFNESS_N} N, mass_per_length: 0.000001 g/m, damping_time: 0 s}}
    route: [weight, anchor]
    length: {LENGTH_M} m
anchors:
  anchor: {{at: [0 m, 0 m, 12 m]}}
stops: none
limits: none
run: {{duration: 1 s}}
"""


def test_coefficients_are_the_librarys():
    """Dormand and Prince (1980) and Shampine's dense output (1986) as SciPy has them."""
    rk: type = RK45
    assert stepper.NODE[:6] == pytest.approx(rk.C, abs=1e-15)
    assert stepper.WEIGHT[:6, :5] == pytest.approx(rk.A, abs=1e-14)
    assert stepper.WEIGHT[6] == pytest.approx(rk.B, abs=1e-15)
    assert np.abs(stepper.ERROR) == pytest.approx(np.abs(rk.E), abs=1e-15)
    assert pytest.approx(rk.P, abs=1e-14) == stepper.DENSE


class _Bounce:
    """The mass set off downwards from rest on the line: z(t) = z0 - (v / w) sin w t, any vibration textbook."""

    def __init__(self) -> None:
        rig = sim.build_rig(sim.read_text(TEXT, "bounce"))
        of = ready(rig)
        self.m = with_case(of.start.model, rig, sim.planned_case(rig))
        self.y, self.w = begin(rig, of.start, self.m)
        self.z = int(self.m.points[rig.index("weight")]["state"]) + 2
        self.y[self.z + 3] = -SPEED_M_S
        self.z0 = float(self.y[self.z])
        self.omega = float(np.sqrt(STIFFNESS_N / LENGTH_M / (MASS_KG + 0.5e-9 * LENGTH_M)))
        n, q = len(self.y), len(self.m.events)
        self.k, self.tmp, self.dense = np.zeros((7, n)), np.zeros(n), np.zeros((4, n))
        self.room = [np.zeros(POWERS), np.zeros(POWERS), np.zeros(q)]
        settle(0.0, self.y, self.k[0], np.full(q, 1e-6), np.zeros((9, 4)), 0, self.m, self.w)

    def exact(self, t: float) -> float:
        return self.z0 - SPEED_M_S / self.omega * np.sin(self.omega * t)

    def errors(self, steps: int, end_s: float) -> tuple[float, float]:
        """Error at the end, and the largest in the middle of a step by the interpolant."""
        h, middle = end_s / steps, 0.0
        work, power, first = self.room
        for s in range(steps):
            assert stepper.step(s * h, h, self.y, self.k, self.tmp, work, power, first, self.m, self.w)
            start, end = self.y.copy(), self.tmp.copy()
            stepper.prepare_dense(self.k, self.dense)
            stepper.dense_state(0.5, h, start, self.dense, self.tmp)
            middle = max(middle, abs(self.tmp[self.z] - self.exact((s + 0.5) * h)))
            self.y[:], self.k[0] = end, self.k[6]
        return abs(self.y[self.z] - self.exact(end_s)), middle


def _slope(steps: list[int], errors: list[float]) -> float:
    return -float(np.polyfit(np.log(steps), np.log(errors), 1)[0])


def test_order_of_the_steps_and_of_the_interpolant():
    steps = [10, 20, 40]
    found = [_Bounce().errors(n, 0.25) for n in steps]
    assert 4.6 < _slope(steps, [end for end, _ in found]) < 5.6
    assert _slope(steps, [middle for _, middle in found]) > 3.8


def test_peaks_come_nearer_with_the_tolerance():
    text = TEXT.replace(f"length: {LENGTH_M} m", "slack: 0.5 m").replace(
        "at: [0 m, 0 m, 2 m]", "at: [0 m, 0 m, 2 m], start: held, release: 0.1 s"
    )
    rig = sim.build_rig(sim.read_text(text, "fall"))
    of, case = ready(rig), sim.planned_case(rig)
    column = next(i for i, c in enumerate(of.columns) if c.column == "force_N:anchor")
    # Energy: the mass falls 0.5 m and then stretches the line (10.5 m) from nothing.
    stiffness, fall = STIFFNESS_N / (LENGTH_M + 0.5), 0.5
    weight = MASS_KG * G
    exact = weight + np.sqrt(weight**2 + 2 * weight * stiffness * fall)
    errors = [abs(run(of, case, tol, None).peak[column] / exact - 1.0) for tol in (1e-2, 1e-4, 1e-6)]
    assert errors[2] < 1e-5
    assert errors[2] <= errors[1] <= errors[0] + 1e-9
