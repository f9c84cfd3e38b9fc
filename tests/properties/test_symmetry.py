"""A rig's mirror image, or the rig turned about the plumb line, sees the same forces.

Why: gravity is the only direction the laws know. Tension acts along spans and depends on their lengths, friction on
angles between spans, drag on the speed along itself; so the image of a motion is the motion of the image, and every
force is the same number. A change of a coordinate's sign is exact in floating point, so a mirrored run even takes the
same steps; turning rounds every coordinate by 1e-16 of itself.

How far that can be seen: a run whose steps differ by rounding differs by no more than its errors, which the tolerance
bounds, as long as every event comes in the same order. After a slack line is taken up that ends: the time of the next
take-up shifts by 2 dv / g for a difference dv of speed; the hook's kilogram strikes its line many times while the body
pulls on it, and each stroke turns a shift in time into one of speed, as with a ball struck between two bats; a sheave
that hardly slides may stick instead. Seven in 150 such rigs differ by more than 1e-6 after four seconds at a tolerance
of 1e-8, the worst by a tenth. So runs are compared up to and with the first peak of the harness force after the stop,
the release or, in a planned move, the start.
"""

from __future__ import annotations

import math

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.dynamics.run import run
from sim.rig.rig import Rig
from tests.properties.random_rigs import scenarios
from tests.properties.runs import PLANNED, built, case_of, first_peak_s, floored, force_peaks, ready
from tests.properties.transforms import mirrored, turned

TRIED = settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
CASES = st.integers(0, PLANNED)
TOLERANCE = 1e-9
ALIKE = 1e-6


def furthest_apart(rig: Rig, other: Rig, number: int) -> float:
    """Largest difference of any peak force, up to and with the first peak, over that force."""
    case = case_of(rig, number)
    end_s = first_peak_s(rig, case)
    here = run(ready(rig), case, TOLERANCE, None, end_s)
    there = run(ready(other), case_of(other, number), TOLERANCE, None, end_s)
    return float((abs(force_peaks(there) - force_peaks(here)) / floored(here)).max())


@TRIED
@given(scenarios(), CASES, st.integers(0, 1))
def test_a_mirrored_rig_sees_the_same_forces(text: str, number: int, axis: int):
    rig = built(text)
    assert furthest_apart(rig, mirrored(rig, axis), number) < ALIKE


@TRIED
@given(scenarios(), CASES, st.floats(0.1, 2.0 * math.pi))
def test_a_turned_rig_sees_the_same_forces(text: str, number: int, angle_rad: float):
    rig = built(text)
    assert furthest_apart(rig, turned(rig, angle_rad), number) < ALIKE
