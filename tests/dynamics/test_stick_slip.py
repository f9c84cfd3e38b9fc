"""Dry friction in motion and its capacity at rest, on rigs built so that the textbook's case is exact."""

from __future__ import annotations

import math

import numpy as np
import pytest

import sim
from sim.dynamics import tables as tb
from sim.dynamics.modes import EV_SLIDE, EV_STICK
from sim.dynamics.rhs import rhs
from sim.dynamics.run import begin, ready, run
from sim.rig.line import Cut, Line, Material, Place
from sim.rig.point import Point
from sim.rig.rig import Rig
from sim.rig.sheave import Sheave
from tests.dynamics.rigs import DEMOS, FromMotion, G, column, demo_cases

EA_N, LEG_M, INERTIA_KG, PULL_N, FRICTION_N = 200e3, 10.0, 100.0, 5000.0, 50.0
STIFFNESS = 2 * EA_N / LEG_M
SHEAVE_N = 50e3
LINE = Material(stretch=((0.1 * EA_N, 0.1),), mass_kg_per_m=1e-9, damping_time_s=0.0)


def over_a_sheave(sheave: Sheave, ends: tuple[tuple[float, float, float], tuple[float, float, float]]) -> Rig:
    """One line, tied at both ends, over a sheave at the origin."""
    return Rig(
        points=(Point("left", ends[0]), Point("middle", (0.0, 0.0, 0.0)), Point("right", ends[1])),
        lines=(
            Line(
                "line",
                LINE,
                (Place("left", "left", "tied"), Place("sheave", "middle", "sheave"), Place("right", "right", "tied")),
                Cut(tension_N=PULL_N),
            ),
        ),
        sheaves=(sheave,),
        anchors={"left": "left", "right": "right"},
    )


class _Rocking:
    """A heavy rim between two springs that share one line; its own great weight makes the journal friction constant.

    With level legs the pin load is sqrt(W^2 + dT^2), with dT under 1 % of W: F is constant to 5e-5.
    """

    def __init__(self, off_m: float) -> None:
        sheave = Sheave("sheave", "middle", INERTIA_KG, FRICTION_N / SHEAVE_N, 0.0, 0.0, SHEAVE_N / G, 0.2)
        of = ready(over_a_sheave(sheave, ((-LEG_M, 0, 0), (LEG_M, 0, 0))))

        def turned(y, m) -> None:
            y[m.elements[0]["state"]] -= off_m
            y[m.elements[1]["state"]] += off_m

        self.run = FromMotion(of, sim.planned_case(of.rig), 1e-7, 5000.0, 3.0, turned)
        self.off_N = self.run.samples[:, column(of, "tension_N:line:sheave -> right")] - PULL_N


def test_swings_lose_4_F_over_k_a_cycle():
    """Coulomb damping: every half cycle the amplitude falls by 2 F / k and takes pi / omega (vibration textbooks)."""
    found = _Rocking(0.0123)
    log = found.run.log
    stops = log[log[:, 1] == EV_STICK]
    half_s = math.pi * math.sqrt(INERTIA_KG / STIFFNESS)
    # Unstretched line runs to the rim's speed over 1 + strain, and the stiffness is EA over unstretched length.
    strain = PULL_N / EA_N
    assert np.diff(stops[:, 0]) == pytest.approx(half_s, rel=strain)
    amplitudes = np.abs(stops[:, 3])  # driving force where it stands for a moment, N
    assert len(amplitudes) == 5
    assert -np.diff(amplitudes) == pytest.approx(2 * FRICTION_N, rel=2e-4)


def test_it_stays_where_the_springs_no_longer_overcome_friction():
    found = _Rocking(0.0123)
    log = found.run.log
    last = log[-1]
    assert last[1] == EV_STICK
    assert abs(last[3]) < FRICTION_N
    after = found.off_N[found.run.time_s > last[0]]
    assert len(after) > 5000
    assert np.ptp(after) == 0.0


@pytest.mark.parametrize(("share", "moves"), [(0.999, False), (1.001, True)])
def test_it_sets_off_at_the_capacity_and_not_before(share: float, moves: bool):
    """Legs of equal chord L, unstretched lengths s -+ off: tensions differ by 2 EA L off / s^2."""
    strain = PULL_N / EA_N
    found = _Rocking(share * FRICTION_N / (STIFFNESS * (1.0 + strain) ** 2))
    assert (EV_SLIDE in found.run.log[:, 1]) == moves
    assert (np.ptp(found.off_N) > 0.0) == moves


def _capacity(sheave: Sheave, ends) -> float:
    """Capacity in the state of rest (N)."""
    of = ready(over_a_sheave(sheave, ends))
    y, w = begin(of.rig, of.start, of.start.model)
    assert rhs(0.0, y, np.zeros(len(y)), of.start.model, w)
    return float(w.gates[1]["capacity"])


@pytest.mark.parametrize("degrees", [1.0, 30.0, 90.0, 120.0, 179.0])
@pytest.mark.parametrize("friction", [0.05, 0.2, 0.4])
def test_a_bar_holds_a_capstan_s_difference(degrees: float, friction: float):
    """Euler (1769), Eytelwein (1808): T2 / T1 = exp(mu beta), beta the angle by which the line turns."""
    turn = math.radians(degrees)
    ends = ((-LEG_M, 0.0, 0.0), (LEG_M * math.cos(turn), 0.0, -LEG_M * math.sin(turn)))
    bar = Sheave("sheave", "middle", 0.01, 0.0, 0.0, friction, 1.0, 0.1)
    assert _capacity(bar, ends) == pytest.approx(PULL_N * (math.exp(friction * turn) - 1.0), rel=1e-6)


@pytest.mark.parametrize("degrees", [30.0, 90.0, 179.0])
@pytest.mark.parametrize("sheave_kg", [0.0, 50.0])
def test_a_journal_and_bending(degrees: float, sheave_kg: float):
    """Journal: friction mu R r / rim radius on the resultant R (machine-element textbooks); bending: a share of T."""
    turn, bearing, bending = math.radians(degrees), 0.012, 0.01
    ends = ((-LEG_M, 0.0, 0.0), (LEG_M * math.cos(turn), 0.0, -LEG_M * math.sin(turn)))
    sheave = Sheave("sheave", "middle", 0.01, bearing, bending, 0.0, sheave_kg, 0.1)
    pull = PULL_N * np.array([math.cos(turn) - 1.0, -math.sin(turn)])
    pin = math.hypot(pull[0], pull[1] - sheave_kg * G)
    assert _capacity(sheave, ends) == pytest.approx(bearing * pin + bending * PULL_N, rel=1e-6)


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_no_loss_ever_gives_energy_back(path):
    """Friction, brakes, damping, floor, drag and sag only take; where line slides or slips they do take."""
    rig = sim.build_rig(sim.read_file(path))
    of = ready(rig)
    for case in demo_cases(rig):
        raw = run(of, case, 1e-6, None, 4.0)
        assert (raw.work_J[1:] <= 0.0).all(), case.name
        if EV_SLIDE in raw.log[:, 1]:
            assert raw.work_J[tb.P_FRICTION] < 0.0
