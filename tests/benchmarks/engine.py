"""The physics engine on the timed rigs: its own models of tests/outside, stepped as fast as Python lets it.

What each step is told (stiffness and unstretched length of every tendon, or the weight) is worked out before, so that
only the engine's steps and handing these numbers over are timed. Steps are fixed: the engine has no error control and
no events. The first model's places are read after every step; tensions follow by Hooke afterwards.
"""

# The engine's module is compiled and declares no types for its names.
# pyright: reportAttributeAccessIssue=false

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import mujoco
import numpy as np

from tests.benchmarks.equations.massless import Massless
from tests.benchmarks.equations.problem import Floats
from tests.outside.reference.line_with_mass import HangingLine
from tests.outside.reference.physics_engine import engine_model, hanging_line_model
from tests.outside.reference.scene import Scene


@dataclass(frozen=True)
class Played:
    """Tensions (lines, n) and the performer's height at every step."""

    time_s: Floats
    tension_N: Floats
    height_m: Floats


class EngineScene:
    """A scene at a step, ready to be played again and again."""

    def __init__(self, scene: Scene, massless: Massless, step_s: float) -> None:
        self.scene, self.massless = dataclasses.replace(scene, step_s=step_s), massless
        self.model = engine_model(self.scene)
        self.count = round(scene.duration_s / step_s)
        self.time_s: Floats = np.arange(self.count + 1, dtype=np.float64) * step_s
        cords = list(scene.cords.values())
        springs = np.array([[cord.spring((i + 0.5) * step_s) for cord in cords] for i in range(self.count)])
        self.stiffness, self.lengths = springs[:, :, 0], np.zeros((self.count, len(cords), 2))
        self.lengths[:, :, 1] = springs[:, :, 1]
        self.unstretched = massless.lengths_m(self.time_s)
        self.starts = np.array([place for _, place in scene.masses.values()]).ravel()

    def play(self) -> Played:
        """From rest."""
        model, data = self.model, mujoco.MjData(self.model)
        places = np.empty((self.count + 1, len(self.starts)))
        places[0] = data.qpos
        stiffness, spring = model.tendon_stiffness, model.tendon_lengthspring
        for i in range(self.count):
            stiffness[:] = self.stiffness[i]
            spring[:] = self.lengths[i]
            mujoco.mj_step(model, data)
            places[i + 1] = data.qpos
        at = (places + self.starts).T
        return Played(self.time_s, self.massless.tensions_of(self.unstretched, at), at[2])

    def bare_s(self, clock) -> float:
        """Time of as many steps within the engine alone, told nothing: how little of it is Python."""
        data, start = mujoco.MjData(self.model), clock()
        mujoco.mj_step(self.model, data, self.count)
        return clock() - start


class EngineLine:
    """The row of bodies at a step."""

    def __init__(self, rig: HangingLine, step_s: float) -> None:
        self.rig = dataclasses.replace(rig, step_s=step_s)
        self.model = hanging_line_model(self.rig)
        self.count = round(rig.duration_s / step_s)
        self.time_s: Floats = np.arange(self.count + 1, dtype=np.float64) * step_s
        self.weights = [self.rig.weight_m_s2((i + 0.5) * step_s) for i in range(self.count)]
        self.sunk_m = np.array(self.model.body_pos[1:, 2])

    def play(self) -> Played:
        """From rest."""
        model, data = self.model, mujoco.MjData(self.model)
        places = np.empty((self.count + 1, self.rig.pieces))
        places[0] = data.qpos
        gravity = model.opt.gravity
        for i, weight in enumerate(self.weights):
            gravity[2] = -weight
            mujoco.mj_step(model, data)
            places[i + 1] = data.qpos
        down = -(places + self.sunk_m).T
        piece = self.rig.length_m / self.rig.pieces
        ends = np.array([down[0] - piece, down[-1] - down[-2] - piece])
        return Played(
            self.time_s, self.rig.stretch_stiffness_N / piece * np.maximum(0.0, ends), self.rig.length_m - down[-1]
        )

    def bare_s(self, clock) -> float:
        """As for a scene."""
        data, start = mujoco.MjData(self.model), clock()
        mujoco.mj_step(self.model, data, self.count)
        return clock() - start
