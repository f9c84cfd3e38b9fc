"""Whole rigs in a general-purpose rigid-body engine (MuJoCo), built from its own documentation.

A line is a tendon: in MuJoCo a tendon with `springlength` (0, s) pulls with stiffness * (length - s) when longer than
s and does nothing when shorter, which is a tension-only spring. An elastic line of unstretched length s and stiffness
EA pulls with EA/s * (length - s), so both model fields (`tendon_stiffness`, `tendon_lengthspring`) are written anew
before every step from the unstretched length in the middle of that step (second order in the step).

What the engine cannot represent, and these models therefore leave out:
- lines with mass (waves, sag, own weight), a line's nonlinear stretch curve, tension-limited damping (its tendon
  damping also pushes a slack line), so the lines here are massless, linear and undamped;
- friction between a line and a sheave: a tendon slides freely over the points of its route, so one tendon has one
  tension, and Coulomb friction elsewhere in the engine is regularised; no friction is used here;
- sheave inertia on a spatial tendon: only the counterweight rig, written with two fixed tendons meeting at a rim, has
  it;
- events: a slack line taken up or a stop falls somewhere inside a fixed step. The steps are small (the tests halve
  them and demand under 0.1 % change of the first peak).
"""

# The engine's module is compiled and declares no types for its names.
# pyright: reportAttributeAccessIssue=false

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import mujoco
import numpy as np
from numpy.typing import NDArray

from tests.outside.reference.motion import STANDING, PaidOut
from tests.outside.reference.peaks import first_peak, largest

Floats = NDArray[np.float64]
G_M_S2 = 9.80665
STEP_S = 1e-4


@dataclass(frozen=True)
class History:
    """Sampled at every step: tension at the performer (N), its height (m), its sideways place (m)."""

    time_s: Floats
    tension_N: Floats
    height_m: Floats
    aside_m: Floats

    def first_peak(self, after_s: float = 0.0) -> tuple[float, float]:
        """First peak of tension after a time: (N, s)."""
        return first_peak(self.time_s, self.tension_N, after_s)

    def largest(self, from_s: float = 0.0, to_s: float = np.inf) -> tuple[float, float]:
        """Largest tension within a time and when: (N, s)."""
        return largest(self.time_s, self.tension_N, from_s, to_s)


@dataclass(frozen=True)
class Tendon:
    """One line: EA (N) and its unstretched length (m) as a function of time."""

    name: str
    stretch_stiffness_N: float
    unstretched_m: Callable[[float], float]


def paid_out_by(motion: PaidOut, at_start_m: float, strain_as_wound: float = 0.0) -> Callable[[float], float]:
    """Unstretched length between drive and far end: what was there plus what the rim paid out, less its strain."""
    return lambda time_s: at_start_m + motion.position_m(time_s) / (1.0 + strain_as_wound)


def _world(bodies: str, tendons: str, step_s: float, gravity_m_s2: float) -> mujoco.MjModel:
    return mujoco.MjModel.from_xml_string(
        f"""<mujoco>
          <option timestep="{step_s}" gravity="0 0 {-gravity_m_s2}" integrator="RK4">
            <flag contact="disable" constraint="disable"/>
          </option>
          <worldbody>{bodies}</worldbody>
          <tendon>{tendons}</tendon>
        </mujoco>"""
    )


def _performer(mass_kg: float, at_m: tuple[float, float], axes: str = "xz") -> str:
    joints = {"x": '<joint name="x" type="slide" axis="1 0 0"/>', "z": '<joint name="z" type="slide" axis="0 0 1"/>'}
    return (
        f'<body name="performer" pos="{at_m[0]:.17g} 0 {at_m[1]:.17g}">{"".join(joints[a] for a in axes)}'
        f'<geom type="sphere" size="0.1" mass="{mass_kg:.17g}"/><site name="hook"/></body>'
    )


def _site(name: str, at_m: tuple[float, float]) -> str:
    return f'<site name="{name}" pos="{at_m[0]:.17g} 0 {at_m[1]:.17g}"/>'


def _tension_N(data: mujoco.MjData, model: mujoco.MjModel, index: int) -> float:
    stretch = data.ten_length[index] - model.tendon_lengthspring[index, 1]
    return float(max(0.0, model.tendon_stiffness[index] * stretch))


def _set(model: mujoco.MjModel, index: int, tendon: Tendon, time_s: float) -> None:
    length = tendon.unstretched_m(time_s)
    model.tendon_stiffness[index] = tendon.stretch_stiffness_N / length
    model.tendon_lengthspring[index] = (0.0, length)


def _run(model: mujoco.MjModel, tendon: Tendon, duration_s: float) -> History:
    """Steps a rig of one tendon."""
    data = mujoco.MjData(model)
    step = model.opt.timestep
    count = round(duration_s / step)
    rows = np.empty((count + 1, 4))
    body = model.body("performer").id
    for i in range(count + 1):
        _set(model, 0, tendon, i * step)
        mujoco.mj_kinematics(model, data)
        mujoco.mj_comPos(model, data)
        mujoco.mj_tendon(model, data)
        rows[i] = i * step, _tension_N(data, model, 0), data.xpos[body, 2], data.xpos[body, 0]
        _set(model, 0, tendon, (i + 0.5) * step)
        mujoco.mj_step(model, data)
    return History(*np.ascontiguousarray(rows.T))


def straight_drop(
    *,
    mass_kg: float,
    stretch_stiffness_N: float,
    hang_m: float,
    motion: PaidOut,
    duration_s: float,
    route_m: float = 0.0,
    step_s: float = STEP_S,
    gravity_m_s2: float = G_M_S2,
) -> History:
    """A performer hanging at rest below a top point, line paid out (or taken in) there.

    hang_m: distance from the last point to the performer at the start; route_m: length of line between the drive and
    that point (frictionless massless sheaves in between change nothing else). Heights count from the last point.
    """
    strain = mass_kg * gravity_m_s2 / stretch_stiffness_N
    unstretched = (hang_m + route_m) / (1.0 + strain)
    line = Tendon("line", stretch_stiffness_N, paid_out_by(motion, unstretched, strain))
    sites = _site("drive", (-route_m, 0.0)) + _site("top", (0.0, 0.0))
    path = '<site site="drive"/><site site="top"/>' if route_m else '<site site="top"/>'
    spatial = f'<spatial name="line" stiffness="1">{path}<site site="hook"/></spatial>'
    return _run(
        _world(sites + _performer(mass_kg, (0.0, -hang_m), "z"), spatial, step_s, gravity_m_s2), line, duration_s
    )


def moving_block(
    *,
    mass_kg: float,
    stretch_stiffness_N: float,
    drive_at_m: tuple[float, float],
    head_at_m: tuple[float, float],
    anchor_at_m: tuple[float, float],
    performer_at_m: tuple[float, float],
    motion: PaidOut,
    duration_s: float,
    step_s: float = STEP_S,
    gravity_m_s2: float = G_M_S2,
) -> History:
    """Two to one: drive, over a fixed sheave, under a sheave on the performer, up to an anchor; (x, z) places.

    The performer hangs at rest at the start (its place must be where it can: between equal sheaves, half way), free
    to move in the plane. The tension is the line's.
    """
    spans = [
        np.subtract(a, b)
        for a, b in ((drive_at_m, head_at_m), (head_at_m, performer_at_m), (performer_at_m, anchor_at_m))
    ]
    length = sum(float(np.hypot(*span)) for span in spans)
    lift = sum(abs(span[1]) / float(np.hypot(*span)) for span in spans[1:])
    strain = mass_kg * gravity_m_s2 / lift / stretch_stiffness_N
    line = Tendon("line", stretch_stiffness_N, paid_out_by(motion, length / (1.0 + strain), strain))
    sites = _site("drive", drive_at_m) + _site("head", head_at_m) + _site("anchor", anchor_at_m)
    path = "".join(f'<site site="{name}"/>' for name in ("drive", "head", "hook", "anchor"))
    spatial = f'<spatial name="line" stiffness="1">{path}</spatial>'
    return _run(_world(sites + _performer(mass_kg, performer_at_m), spatial, step_s, gravity_m_s2), line, duration_s)


def swing(
    *,
    mass_kg: float,
    stretch_stiffness_N: float,
    performer_from_top_m: tuple[float, float],
    start_tension_N: float,
    duration_s: float,
    step_s: float = STEP_S,
    gravity_m_s2: float = G_M_S2,
) -> History:
    """A performer held aside on a straight line of given tension, released at time 0 with no speed."""
    distance = float(np.hypot(*performer_from_top_m))
    unstretched = distance / (1.0 + start_tension_N / stretch_stiffness_N)
    line = Tendon("line", stretch_stiffness_N, paid_out_by(STANDING, unstretched))
    spatial = '<spatial name="line" stiffness="1"><site site="top"/><site site="hook"/></spatial>'
    bodies = _site("top", (0.0, 0.0)) + _performer(mass_kg, performer_from_top_m)
    return _run(_world(bodies, spatial, step_s, gravity_m_s2), line, duration_s)


@dataclass(frozen=True)
class CounterweightHistory:
    """Two hanging masses over a turning sheave: tensions on both sides (N), heights moved (m, up), rim travel (m)."""

    time_s: Floats
    performer_tension_N: Floats
    counterweight_tension_N: Floats
    performer_rise_m: Floats
    counterweight_rise_m: Floats
    rim_travel_m: Floats


def counterweight(
    *,
    performer_kg: float,
    counterweight_kg: float,
    inertia_kg_m2: float,
    tread_radius_m: float,
    stretch_stiffness_N: float,
    performer_hang_m: float,
    counterweight_hang_m: float,
    start_tension_N: float,
    duration_s: float,
    step_s: float = STEP_S,
    gravity_m_s2: float = G_M_S2,
) -> CounterweightHistory:
    """Performer and counterweight on one line over one sheave with inertia, held and released together at time 0.

    The sheave is a hinged body; each side of the line is a fixed tendon over the hanging mass and the sheave's angle.
    What passes the rim leaves one side's unstretched length and joins the other's, divided by 1 + strain (mean of
    both sides).
    """
    hangs = (performer_hang_m, counterweight_hang_m)
    bodies = "".join(
        f'<body name="{name}"><joint name="{name}" type="slide" axis="0 0 -1"/>'
        f'<geom type="sphere" size="0.1" mass="{mass:.17g}"/></body>'
        for name, mass in (("performer", performer_kg), ("counterweight", counterweight_kg))
    )
    inertia = max(inertia_kg_m2, 1e-9)
    bodies += (
        '<body name="sheave"><joint name="sheave" type="hinge" axis="0 1 0"/>'
        f'<inertial pos="0 0 0" mass="1" diaginertia="{inertia:.17g} {inertia:.17g} {inertia:.17g}"/></body>'
    )
    tendons = "".join(
        f'<fixed name="{name} side" stiffness="1"><joint joint="{name}" coef="1"/>'
        f'<joint joint="sheave" coef="{sign * tread_radius_m:.17g}"/></fixed>'
        for name, sign in (("performer", -1), ("counterweight", 1))
    )
    model = _world(bodies, tendons, step_s, gravity_m_s2)
    data = mujoco.MjData(model)
    unstretched = np.array([hang / (1.0 + start_tension_N / stretch_stiffness_N) for hang in hangs])
    rows = np.empty((round(duration_s / step_s) + 1, 6))
    performer, weight, sheave = (model.joint(name).qposadr[0] for name in ("performer", "counterweight", "sheave"))
    for i in range(len(rows)):
        rim = tread_radius_m * data.qpos[sheave]
        lengths = np.array([hangs[0] + data.qpos[performer], hangs[1] + data.qpos[weight]])
        tensions = np.maximum(0.0, stretch_stiffness_N * (lengths / unstretched - 1.0))
        rows[i] = i * step_s, *tensions, -data.qpos[performer], -data.qpos[weight], rim
        mean_strain = tensions.mean() / stretch_stiffness_N
        # Within a step the engine's tendon takes up rim travel as if unstretched; s and stiffness are corrected each
        # step.
        model.tendon_stiffness[:] = stretch_stiffness_N / unstretched
        for side, sign in ((0, -1.0), (1, 1.0)):
            model.tendon_lengthspring[side] = (-1e9, unstretched[side] - hangs[side] + sign * rim)
        mujoco.mj_step(model, data)
        flow = tread_radius_m * data.qpos[sheave] - rim
        unstretched += np.array([flow, -flow]) / (1.0 + mean_strain)
    return CounterweightHistory(*np.ascontiguousarray(rows.T))
