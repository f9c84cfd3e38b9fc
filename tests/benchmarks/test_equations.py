"""The equations that the libraries are timed with, held against the outside models; and the rule of the contest."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from typing_extensions import override

from tests.benchmarks.contest import WITHIN, Own, first_within, peaks
from tests.benchmarks.equations.chain import Chain
from tests.benchmarks.equations.libraries import CVODE, HAS_CVODE, SCIPY, Method, solve
from tests.benchmarks.equations.massless import Massless
from tests.benchmarks.equations.problem import Problem, paid_out_m
from tests.benchmarks.equations.turning import MOVING_KG, POWERED, STUCK, WOUND, Turning
from tests.benchmarks.timed_rigs import (
    ALL,
    BENDING,
    INERTIA_KG_M2,
    JOURNAL,
    LINE,
    SHEAVE_KG,
    TREAD_M,
    Timed,
    drop,
    flight,
    rubbing_drop,
)
from tests.outside import straight_drop
from tests.outside.packages import MUJOCO
from tests.outside.reference import two_span_ode
from tests.outside.reference.scene import G_M_S2

DOP853 = Method("scipy", "DOP853")


def largest(problem: Problem, tolerance: float = 1e-7, method: Method = DOP853) -> np.ndarray:
    found = solve(problem, method, tolerance, 1e-3)
    return peaks(found.time_s, problem.tensions_N(found.time_s, found.y))


def test_sheaves_that_turn_and_rub_agree_with_the_outside_model():
    """tests/outside/reference/two_span_ode.py, written apart; both find every stop of a sheave as an event."""
    off = two_span_ode.PowerOff(straight_drop.STOP_S, 60.0, 2800.0, 0.08, 0.06)
    both = tuple(
        two_span_ode.Sheave(at, INERTIA_KG_M2, TREAD_M / 2, JOURNAL, BENDING, SHEAVE_KG * G_M_S2)
        for at in (straight_drop.LEAD, straight_drop.HEAD)
    )
    assert len(both) == 2
    model = two_span_ode.TwoSheaves(
        straight_drop.WINCH, both, straight_drop.BELOW_M, straight_drop.MASS_KG, straight_drop.STIFFNESS_N,
        straight_drop.DROP, off,
    )  # fmt: skip
    theirs = two_span_ode.solve(model, 2.7, rtol=1e-7)
    assert largest(rubbing_drop().turning()) == pytest.approx(theirs.tension_N.max(axis=1), rel=2e-5)


class WithWoundLine(Turning):
    """The drum's pull with the elastic energy of the line it gives off (T (1 + e) - U(e) + U(e0)) / (1 + e0), e0 the
    strain as wound: virtual work of a drum that lets line go (mechanics textbooks)."""

    @override
    def numpy_rates(self, time_s: float, y: np.ndarray) -> np.ndarray:
        out = super().numpy_rates(time_s, y)
        if not self.drives[0, POWERED] and self.modes[0] != STUCK:
            strain, wound = self._ropes(y)[0][0], 1.0 / self.drives[0, WOUND] - 1.0
            gives = (strain * (1.0 + strain) - 0.5 * strain**2 + 0.5 * wound**2) / (1.0 + wound) - strain
            out[len(self.spans) + len(self.gates)] += self.stiffness_N[0] * gives / self.drives[0, MOVING_KG]
        return out


def test_the_program_s_drum_differs_in_the_energy_of_wound_line_alone():
    """What the page says of the rig with friction: peaks 0.08 to 0.1 % apart, and under 0.005 % with that term."""
    rig = rubbing_drop()
    own = Own(rig)
    found = own.run(1e-9).peak[own.lines]
    problem = rig.turning()
    assert isinstance(problem, Turning)
    problem.__class__ = WithWoundLine
    run = solve(problem, DOP853, 1e-7, 2e-4, in_numpy=True)
    assert peaks(run.time_s, problem.tensions_N(run.time_s, run.y)) == pytest.approx(found, rel=5e-5)
    assert (np.abs(largest(rig.turning()) / found - 1.0) > 5e-4).all()


def test_massless_cords_agree_with_the_engine():
    rig = flight()
    assert rig.scene
    theirs = MUJOCO.play(rig.scene)
    expected = [theirs.tension_N[name].max() for name in rig.scene.cords]
    assert largest(Massless(rig.scene, rig.motions)) == pytest.approx(expected, rel=1e-4)


def test_a_line_in_pieces_agrees_with_the_engine():
    rig = dataclasses.replace(LINE, pieces=20, duration_s=0.03)
    problem, theirs = Chain(rig), MUJOCO.hanging_line(rig)
    found = solve(problem, DOP853, 1e-7, 5e-5)
    assert problem.tensions_N(found.time_s, found.y)[0].max() == pytest.approx(theirs.drive_N.max(), rel=1e-4)


def _problems(rig: Timed) -> list[Problem]:
    massless = rig.massless()
    return [rig.turning(), *([massless] if massless else [])]


@pytest.mark.parametrize("make", ALL, ids=lambda make: make.__name__)
def test_compiled_and_numpy_are_the_same_equations(make):
    random = np.random.default_rng(1)
    for problem in _problems(make()):
        y, out = problem.start + problem.scale * random.normal(size=len(problem.start)), np.empty(len(problem.start))
        time_s = 0.5 * (problem.corner_s[-1] + problem.end_s)
        problem.begin(time_s, y)
        rates, tables = problem.compiled()
        rates(time_s, y, out, *tables)
        by_hand = problem.numpy_rates(time_s, y)
        assert out == pytest.approx(by_hand, rel=1e-11, abs=1e-11 * float(np.abs(by_hand).max()))
        if problem.contacts:
            pairs = [problem.margins(time_s, y, in_numpy=in_numpy) for in_numpy in (False, True)]
            assert pairs[0] == pytest.approx(pairs[1], rel=1e-11)


@pytest.mark.skipif(not HAS_CVODE, reason="scikit-sundae is not installed: pip install -e '.[benchmark]'")
@pytest.mark.parametrize("method", CVODE, ids=lambda method: method.name)
def test_cvode_finds_what_scipy_finds(method: Method):
    """With sheaves that stick and slide, whose every change CVODE's own root-finding ends a leg at."""
    problem = rubbing_drop().turning()
    assert largest(problem, 1e-8, method) == pytest.approx(largest(rubbing_drop().turning()), rel=1e-4)


def test_odeint_finds_what_solve_ivp_finds():
    assert largest(drop().turning(), 1e-8, SCIPY[-1]) == pytest.approx(largest(drop().turning()), rel=1e-5)


def test_line_paid_out_at_many_times_is_that_at_each():
    times = np.linspace(0.0, 3.0, 301)
    for motion in drop().motions.values():
        assert paid_out_m(motion, times) == pytest.approx([motion.position_m(t) for t in times.tolist()], abs=1e-12)


def test_peaks_are_those_of_the_parabola():
    """Of a cosine sampled beside its top, by far closer than its largest sample."""
    times = np.linspace(-0.3, 0.35, 14)
    assert peaks(times, np.array([np.cos(times), 2.0 - (times - 0.01) ** 2])) == pytest.approx([1.0, 2.0], abs=1e-5)
    assert np.cos(times).max() == pytest.approx(1.0, abs=1e-3)


def test_a_lucky_rung_is_not_taken():
    errors = {1e-3: 2 * WITHIN, 1e-4: 0.1 * WITHIN, 1e-5: 3 * WITHIN, 1e-6: 0.5 * WITHIN, 1e-7: 0.2 * WITHIN}
    assert first_within(errors.__getitem__, tuple(errors)) == 1e-6
    assert first_within(lambda _: 1.0, tuple(errors)) is None
