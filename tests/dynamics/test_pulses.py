"""A line that comes taut for a few milliseconds, wherever in a step that falls.

In free flight steps are as long as they may be, 50 ms, so these pulses lie wholly inside one step. What the peak must
be follows from energy: v^2 / 2 at take-up against the spring and the weight (any textbook on strength of materials).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import sim
from sim.dynamics import orders as od
from sim.dynamics import stepper
from sim.dynamics.case_tables import with_case
from sim.dynamics.locate import candidate, locate
from sim.dynamics.modes import EV_TAUT, settle
from sim.dynamics.run import begin, ready, run
from tests.dynamics.rigs import DEMOS, FromMotion, G, built, demo_cases

MASS_KG, EA_N, LENGTH_M, LOW_M = 80.0, 1e6, 1.5, 1.0
TEXT = f"""
title: a weight thrown up against a line that holds it down
performers:
  weight: {{mass: {MASS_KG - 0.01} kg, hook_mass: 0.01 kg, at: [0 m, 0 m, 2 m], start: held, release: 0 s}}
lines:
  line:
    type: {{stiffness_EA: {EA_N} N, mass_per_length: 0.000001 g/m, damping_time: 0 s}}
    length: {LENGTH_M} m
    route: [anchor, weight]
anchors:
  anchor: {{at: [0 m, 0 m, {LOW_M} m]}}
stops: none
limits: none
run: {{duration: 0.8 s}}
"""


def exact_N(above_m: float) -> float:
    """Peak tension when free flight would have risen this far above where the line is just taut."""
    weight = MASS_KG * G
    return float(np.sqrt(weight**2 + 2 * weight * above_m * EA_N / LENGTH_M) - weight)


def thrown(
    above_m: float, top_s: float, sample_rate_Hz: float = 20.0, longest_step_s: float | None = None
) -> FromMotion:
    """The run in which free flight would have its top at that time."""
    rig = built(TEXT)
    of = ready(rig)
    k = int(of.start.model.points[rig.index("weight")]["state"])

    def upwards(y, _) -> None:
        y[k + 2] = LOW_M + LENGTH_M + above_m - 0.5 * G * top_s**2
        y[k + 5] = G * top_s

    return FromMotion(of, sim.planned_case(rig), 1e-6, sample_rate_Hz, 0.7, upwards, longest_step_s)


TOPS_S = np.linspace(0.25, 0.35, 21)


@pytest.mark.parametrize("above_mm", [2.0, 10.0])
def test_found_wherever_in_a_step(above_mm: float):
    """Taut for about 30 and 60 ms: longer than the step is, or as long as the widest gap between stages."""
    for top_s in TOPS_S:
        found = thrown(1e-3 * above_mm, top_s)
        assert found.peak_of("force_N:anchor") == pytest.approx(exact_N(1e-3 * above_mm), rel=1e-4), top_s


@pytest.mark.parametrize("above_mm", [0.01, 0.1, 0.6])
def test_shorter_than_a_step_is_found_wherever_in_it(above_mm: float):
    """Taut for about 2, 6 and 16 ms."""
    missed = [top_s for top_s in TOPS_S if thrown(1e-3 * above_mm, top_s).peak_of("force_N:anchor") == 0.0]
    assert not missed


@pytest.mark.parametrize("above_mm", [0.01, 0.1, 0.6])
def test_with_short_steps_every_pulse_is_found(above_mm: float):
    """The same with steps so short that stages alone see every pulse."""
    for top_s in TOPS_S:
        found = thrown(1e-3 * above_mm, top_s, longest_step_s=5e-4)
        assert found.peak_of("force_N:anchor") == pytest.approx(exact_N(1e-3 * above_mm), rel=1e-4), top_s


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_no_demo_loses_a_pulse(path: Path):
    """Every peak is that of a run whose steps are never longer than 0.5 ms."""
    rig = sim.build_rig(sim.read_file(path))
    of = ready(rig)
    for case in demo_cases(rig, (0.9, 1.8, 2.4)):
        own, short = run(of, case, 1e-7, None, 4.0), FromMotion(of, case, 1e-7, 10.0, 4.0, longest_step_s=5e-4)
        for o, c in enumerate(of.columns):
            if c.peak:
                least = 0.01 * of.start.reference_N if c.column.startswith(("force", "tension", "floor")) else 1.0
                assert own.peak[o] == pytest.approx(short.peak[o], rel=1e-5, abs=1e-5 * least), (case.name, c.column)


@pytest.mark.parametrize("above_mm", [0.01, 0.1, 0.6])
def test_what_is_found_is_exact_and_does_not_hang_on_samples(above_mm: float):
    """The peak is right, be samples 50 ms or 0.2 ms apart."""
    seen = 0
    for top_s in TOPS_S:
        seldom = thrown(1e-3 * above_mm, top_s)
        if seldom.peak_of("force_N:anchor") > 0.0:
            seen += 1
            assert seldom.peak_of("force_N:anchor") == pytest.approx(exact_N(1e-3 * above_mm), rel=1e-4)
            often = thrown(1e-3 * above_mm, top_s, 5000.0)
            assert often.peak_of("force_N:anchor") == seldom.peak_of("force_N:anchor")
    assert seen > 3


class _OneStep:
    """One step of 50 ms across a pulse, and the search for its first event."""

    def __init__(self, above_m: float, top_at: float) -> None:
        rig = built(TEXT)
        of = ready(rig)
        self.m = with_case(of.start.model, rig, sim.planned_case(rig))
        self.y, self.w = begin(rig, of.start, self.m)
        k = int(self.m.points[rig.index("weight")]["state"])
        self.w.points["mode"][rig.index("weight")] = 3
        self.h = 0.05
        self.top_s, self.above_m = top_at * self.h, above_m
        self.y[k + 2] = LOW_M + LENGTH_M + above_m - 0.5 * G * self.top_s**2
        self.y[k + 5] = G * self.top_s
        q = len(self.m.events)
        self.x = od.new_scratch(len(self.y), q, len(of.columns), len(of.rig.performers))
        x = self.x
        settle(0.0, self.y, x.k[0], np.full(q, 1e-6), np.zeros((9, 4)), 0, self.m, self.w)
        x.g_start[:] = self.w.g
        assert stepper.step(0.0, self.h, self.y, x.k, x.tmp, x.step_work, x.first_power, x.first, self.m, self.w)
        stepper.prepare_dense(x.k, x.dense)

    def first_event_s(self) -> float | None:
        if not candidate(self.x):
            return None
        theta, event, _ = locate(0.0, self.h, self.y, self.x, self.m, self.w)
        assert event == 0
        return theta * self.h


@pytest.mark.parametrize("top_at", [0.2, 0.3, 0.8, 8 / 9])
def test_a_pulse_around_one_stage_only_is_located(top_at: float):
    """Positive at both ends of the step and at all stages but one; taut after sqrt(2 d / g) before the top."""
    above_m = 0.5 * G * 0.001**2
    step = _OneStep(above_m, top_at)
    assert step.x.g_start[0] > 0.0
    assert step.w.g[0] > 0.0
    found = step.first_event_s()
    assert found is not None
    # Event functions are a strain times EA; 1e-10 s of search and rounding of a strain near 1e-16.
    assert found == pytest.approx(step.top_s - 0.001, abs=1e-7)


def test_events_of_a_short_pulse_are_a_pair():
    """Half a period of the spring, less what the weight shortens it by."""
    found = thrown(2e-3, 0.3)
    assert found.log[0, 1] == EV_TAUT
    omega = np.sqrt(EA_N / LENGTH_M / MASS_KG)
    speed = np.sqrt(2 * G * 2e-3)
    # Above where it is taut z'' = -g - omega^2 z, from z = 0 at this speed: a sine about -g / omega^2.
    exact = (np.pi - 2 * np.arctan2(G / omega, speed)) / omega
    assert found.log[1, 0] - found.log[0, 0] == pytest.approx(exact, rel=1e-5)
