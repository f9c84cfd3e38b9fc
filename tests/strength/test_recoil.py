"""What a line stores and how its end flies back: SciPy on its own interpolant, closed forms, a chain of masses."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from sim.strength.catalogue import find, names
from sim.strength.facts import facts, shown_size_m
from sim.strength.recoil import energy_J_per_m, snap_back_m_s


def its_own_curve(points):
    """SciPy's monotone interpolant through the points, straight on beyond the last with its slope there."""
    force, strain = np.array(points).T
    inner = PchipInterpolator(strain, force)
    slope = max(float(inner.derivative()(strain[-1])), (force[-1] - force[-2]) / (strain[-1] - strain[-2]))

    def at(e: float) -> float:
        return float(inner(e)) if e <= strain[-1] else float(force[-1] + slope * (e - strain[-1]))

    return at


def strain_where(curve: Callable[[float], float], force: float) -> float:
    found: Any = brentq(lambda e: curve(e) - force, 0.0, 1.0, xtol=1e-14)
    return float(found)


@pytest.mark.parametrize("name", names())
@pytest.mark.parametrize("share", [0.03, 0.15, 1.0])
def test_energy_is_the_area_under_the_catalogues_curve(name: str, share: float):
    entry = find(name)
    line = entry.at(shown_size_m(entry))
    force = share * line.sources["breaking_strength_N"].value
    curve = its_own_curve(line.stretch)
    if len(line.stretch) == 2:  # half the force times the stretch
        expected = 0.5 * force * force * line.stretch[1][1] / line.stretch[1][0]
    else:
        strain = strain_where(curve, force)
        points = [e for _, e in line.stretch if e < strain]
        expected = quad(curve, 0.0, strain, points=points, epsrel=1e-11, limit=200)[0]
    # the first slope of our curve is bounded from below, which only a curve flatter than a quarter would notice
    assert energy_J_per_m(line.stretch, force) == pytest.approx(expected, rel=2e-6)


def test_the_catalogue_lists_the_same_energy_at_break():
    entry = find("aramid copolymer 12-strand")
    known = {fact.what: fact.value for fact in facts(entry, 0.006)}
    line = entry.at(0.006)
    strength = line.sources["breaking_strength_N"].value
    assert known["energy stored at break"] == energy_J_per_m(line.stretch, strength)


def test_a_parted_wire_flies_back_at_force_over_impedance():
    # 1/4 in 7x19: EA = 1985.8 kN, 0.1637 kg/m, impedance 570.15 N per m/s, 7000 lbf (catalogue data, wave closed form)
    line = find("7x19 galvanised").at(0.25 * 0.0254)
    assert snap_back_m_s(line.stretch, line.mass_kg_per_m, 31138.0) == pytest.approx(31138.0 / 570.15, rel=1e-3)
    # and all that was stored is then motion: half the mass times the speed squared, of an even stretch
    speed = snap_back_m_s(line.stretch, line.mass_kg_per_m, 5000.0)
    assert 0.5 * line.mass_kg_per_m * speed**2 == pytest.approx(energy_J_per_m(line.stretch, 5000.0), rel=1e-9)


def test_a_stiffening_line_flies_back_as_a_chain_of_masses_does():
    line = find("aramid copolymer 12-strand").at(0.006)
    curve, force, n, length = its_own_curve(line.stretch), 5000.0, 400, 10.0
    piece, mass = length / n, line.mass_kg_per_m * length / n
    strain = strain_where(curve, force)
    table_e = np.linspace(-0.02, 0.02, 20_001)
    table_f = np.array([curve(e) if e > 0 else 0.0 for e in table_e])

    def rate(t: float, y: np.ndarray) -> np.ndarray:
        x = np.concatenate(([0.0], y[:n]))
        pull = np.interp(np.diff(x) / piece - 1.0, table_e, table_f)
        return np.concatenate((y[n:], (np.append(pull[1:], 0.0) - pull) / mass))

    y = np.concatenate((piece * (1.0 + strain) * np.arange(1, n + 1), np.zeros(n)))
    found = solve_ivp(rate, (0.0, 1.0e-3), y, rtol=1e-7, atol=1e-9, t_eval=np.linspace(5e-4, 1e-3, 500))
    behind = -found.y[n + int(0.97 * n), :].mean()  # a piece near the end, once the wave is past
    assert snap_back_m_s(line.stretch, line.mass_kg_per_m, force) == pytest.approx(behind, rel=0.01)


def test_fibre_stores_as_much_as_wire_and_flies_back_faster():
    # The lighter line of the same strength is thrown back faster (speed = tension over impedance); a text-book order.
    wire, fibre = find("7x19 galvanised").at(0.006), find("aramid copolymer 12-strand").at(0.006)
    same = 20_000.0
    ours = [snap_back_m_s(x.stretch, x.mass_kg_per_m, same) for x in (wire, fibre)]
    assert ours[1] > 2.0 * ours[0]
    assert math.isclose(ours[0], same / math.sqrt(41_800 * 36 * 0.00381 * 36), rel_tol=1e-3)
