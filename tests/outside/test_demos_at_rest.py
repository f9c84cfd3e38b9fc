"""Every shipped scenario that starts hanging, against the equilibrium solver that shares nothing with the program.

The performer's place is given and the lines are cut to suit, so the outside solver finds the lengths whose forces
balance every hanging point and compares all tensions and pin loads. To 0.1 %.
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator
from scipy.optimize import least_squares

import sim
from sim.rig.line import Line, Material
from sim.rig.rig import Rig
from tests.outside.accuracy.rows import Agrees, apart
from tests.outside.reference import statics

SOLVER = apart("SciPy root and least_squares, elastic catenaries in balance")
SCENARIOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*.yaml"))


@cache
def rig_of(path: Path) -> Rig:
    return sim.build_rig(sim.read_file(path))


HANGING = [path for path in SCENARIOS if all(who.start == "hanging" for who in rig_of(path).performers)]


@cache
def tension_law(material: Material) -> statics.Law:
    """Tension at strains: a monotone curve through the points, straight beyond the last."""
    force, strain = np.array([(0.0, 0.0), *material.stretch]).T
    if len(force) == 2:
        return float(force[1] / strain[1])
    curve = PchipInterpolator(strain, force)
    end, slope = float(strain[-1]), float(curve.derivative()(strain[-1]))
    return lambda e: np.where(e <= end, curve(np.minimum(e, end)), force[-1] + slope * (e - end))


class AtRest:
    """A built rig as the outside solver takes it: no harness straps, their bodies' mass on the suspension point."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.lines = [line for line in rig.lines if not line.strap]
        self.mass_kg = {point.name: point.mass_kg for point in rig.points if point.start == "moving"}
        for strap in (line for line in rig.lines if line.strap):
            hook, body = (place.point for place in strap.route)
            self.mass_kg[hook] += self.mass_kg.pop(body)
        self.guide = {point.name: point.guide for point in rig.points}

    def place(self, line: Line, i: int) -> tuple[float, float, float]:
        at = np.add(self.rig.point(line.route[i].point).position_m, line.route[i].offset_m)
        return float(at[0]), float(at[1]), float(at[2])

    def held(self, lengths: np.ndarray) -> statics.Equilibrium:
        """All points held where they are, the lines of given unstretched lengths."""
        places = {line.route[i].name: self.place(line, i) for line in self.lines for i in range(len(line.route))}
        lines = {
            line.name: statics.Line(
                tuple(place.name for place in line.route),
                tension_law(line.material),
                float(length),
                line.material.mass_kg_per_m * self.rig.gravity_m_s2,
            )
            for line, length in zip(self.lines, lengths, strict=True)
        }
        return statics.equilibrium(statics.Description(places, {}, lines, {}, gravity_m_s2=self.rig.gravity_m_s2))

    def unbalanced(self, lengths: np.ndarray) -> np.ndarray:
        found, forces = self.held(lengths), {}
        for name, mass in self.mass_kg.items():
            forces[name] = np.array([0.0, 0.0, -mass * self.rig.gravity_m_s2])
        points = {place.name: place.point for line in self.lines for place in line.route}
        for name, pull in found.pull_N.items():
            if points[name] in forces:
                forces[points[name]] = forces[points[name]] + pull
        guided = [f if (g := self.guide[name]) is None else f @ np.array(g) for name, f in forces.items()]
        return np.concatenate([np.atleast_1d(f) for f in guided])

    def solved(self) -> statics.Equilibrium:
        chords = [
            sum(np.linalg.norm(np.subtract(self.place(x, i + 1), self.place(x, i))) for i in range(len(x.route) - 1))
            for x in self.lines
        ]
        start = np.array(chords) * (1 - 1e-3)
        fit = least_squares(self.unbalanced, start, x_scale=1e-3, xtol=1e-15, ftol=1e-15, gtol=1e-15)
        assert np.max(np.abs(fit.fun)) < 0.5, f"no lengths balance it: {fit.fun} N are left"
        return self.held(fit.x)


@pytest.mark.parametrize("path", HANGING, ids=lambda path: path.stem)
def test_scenario_at_rest(path: Path, agrees: Agrees):
    rig = rig_of(path)
    outside = AtRest(rig)
    expected = outside.solved()
    case = sim.simulate(rig, sim.planned_case(rig)).case

    def compare(element: str, theirs_N: float) -> None:
        agrees(f"{path.stem} at rest: {element}", SOLVER, case.static_N[element], theirs_N, 1e-3, "N")

    for line in outside.lines:
        ends = expected.tension_N[line.name]
        compare(line.name, max(max(pair) for pair in ends))
        for i, place in enumerate(line.route):
            if place.kind == "drive":
                compare(place.name, ends[0][0] if i == 0 else ends[-1][1])
    for anchor in rig.anchors:
        compare(anchor, float(np.linalg.norm(expected.pull_N[anchor])))
    for sheave in rig.sheaves:
        own = np.array([0.0, 0.0, sheave.mass_kg * rig.gravity_m_s2])
        compare(sheave.name, float(np.linalg.norm(expected.pull_N[sheave.name] - own)))
