"""Similar rigs see similar forces: all masses and stiffnesses times one number, or all lengths by Froude's law.

Mass: Newton's second law holds with every force and every mass times c, so the motion stays and forces are times c.
Length: with lengths times L and times times the root of L, speeds go with the root of L and accelerations stay, gravity
among them; with the masses and the strains as they were, all forces stay (W. Froude; any textbook of model testing).
Nothing else may set a scale: a force, length, time or speed built into the solver shows here.

Compared as in test_symmetry.py, up to and with the first peak. The state of rest a run starts from is found to 1e-7 of
the weight and by steps of its own, which shows to 2e-6 where slack line sags; and a peak is read off a parabola through
values of a step, which in rigs of other size are others: up to 2e-5 where a force leaves its level as the cube of time.
"""

from __future__ import annotations

import math

import numpy as np
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from sim.dynamics.run import run
from sim.rig.rig import Rig
from tests.properties.random_rigs import scenarios
from tests.properties.runs import PLANNED, built, case_of, first_peak_s, floored, force_peaks, ready
from tests.properties.transforms import heavier, larger

TRIED = settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
CASES = st.integers(0, PLANNED)
TOLERANCE = 1e-9
ALIKE_IN_MASS = 1e-5
ALIKE_IN_SIZE = 5e-5


def furthest_apart(rig: Rig, other: Rig, number: int, force: float = 1.0, time: float = 1.0) -> float:
    """Largest difference of any peak force from the scaled one, up to and with the first peak, over that force."""
    case = case_of(rig, number)
    end_s = first_peak_s(rig, case)
    here = run(ready(rig), case, TOLERANCE, None, end_s)
    there = run(ready(other), case_of(other, number), TOLERANCE, None, time * end_s)
    return float((abs(force_peaks(there) / force - force_peaks(here)) / floored(here)).max())


@TRIED
@given(scenarios(), CASES, st.floats(0.3, 4.0))
def test_all_masses_and_stiffnesses_times_c_give_forces_times_c(text: str, number: int, c: float):
    rig = built(text)
    assert furthest_apart(rig, heavier(rig, c), number, force=c) < ALIKE_IN_MASS


@TRIED
@given(scenarios(), CASES, st.floats(0.3, 3.0))
def test_a_rig_of_another_size_sees_the_same_forces(text: str, number: int, length: float):
    """Not rigs with a sheave so light that the solver gives it inertia: its limit, a frequency, sets a scale."""
    rig = built(text)
    other = larger(rig, length)
    assume(np.array_equal(ready(rig).start.model.gates["mass"], ready(other).start.model.gates["mass"]))
    assert furthest_apart(rig, other, number, time=math.sqrt(length)) < ALIKE_IN_SIZE
