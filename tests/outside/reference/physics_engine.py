"""Whole rigs in a general-purpose rigid-body engine (MuJoCo), built from its own documentation.

A cord is a tendon: in MuJoCo a tendon with `springlength` (0, s) pulls with stiffness * (length - s) when longer than
s and does nothing when shorter, which is a tension-only spring. Both model fields (`tendon_stiffness`,
`tendon_lengthspring`) are written anew before every step for the middle of that step (second order in the step).

What the engine cannot represent, and these models therefore leave out:
- lines with mass on a route (waves, sag, own weight), a line's nonlinear stretch curve, tension-limited damping (its
  tendon damping also pushes a slack line), so the cords here are massless, linear and undamped; the line with waves is
  a row of bodies on slides with tendons between them, which cannot run over a sheave or off a drum;
- friction between a line and a sheave: a tendon slides freely over the points of its route, so one tendon has one
  tension, and Coulomb friction elsewhere in the engine is regularised; no friction is used here;
- sheave inertia on a spatial tendon: only the counterweight rig, written with two fixed tendons meeting at a rim, has
  it;
- events: a slack line taken up, a stop or a parting falls somewhere inside a fixed step. The steps are small (the tests
  halve them and demand under 0.1 % change of the first peak).
"""

# The engine's module is compiled and declares no types for its names.
# pyright: reportAttributeAccessIssue=false

from __future__ import annotations

import mujoco
import numpy as np

from tests.outside.reference.line_with_mass import Forces, HangingLine
from tests.outside.reference.scene import G_M_S2, CounterweightHistory, Floats, Histories, Place, Scene


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


def _body(name: str, mass_kg: float, at: Place, axes: str = "xyz") -> str:
    ways = {"x": "1 0 0", "y": "0 1 0", "z": "0 0 1"}
    slides = "".join(f'<joint name="{name} {axis}" type="slide" axis="{ways[axis]}"/>' for axis in axes)
    return (
        f'<body name="{name}" pos="{at[0]:.17g} {at[1]:.17g} {at[2]:.17g}">{slides}'
        f'<geom type="sphere" size="0.1" mass="{mass_kg:.17g}"/><site name="{name}"/></body>'
    )


def _site(name: str, at: Place) -> str:
    return f'<site name="{name}" pos="{at[0]:.17g} {at[1]:.17g} {at[2]:.17g}"/>'


def engine_model(scene: Scene) -> mujoco.MjModel:
    """A scene as the engine has it: bodies on slides, and a tendon for each cord in the scene's order."""
    bodies = "".join(_site(name, place) for name, place in scene.fixed.items())
    bodies += "".join(_body(name, mass, place) for name, (mass, place) in scene.masses.items())
    tendons = "".join(
        f'<spatial name="{name}" stiffness="1">{"".join(f"""<site site="{p}"/>""" for p in cord.through)}</spatial>'
        for name, cord in scene.cords.items()
    )
    return _world(bodies, tendons, scene.step_s, scene.gravity_m_s2)


def play(scene: Scene) -> Histories:
    """A scene from rest."""
    model = engine_model(scene)
    data = mujoco.MjData(model)
    count = round(scene.duration_s / scene.step_s)
    places = np.empty((count + 1, len(scene.masses), 3))
    starts = np.array([place for _, place in scene.masses.values()])
    cords = list(scene.cords.values())
    for i in range(count + 1):
        places[i] = starts + data.qpos.reshape(-1, 3)
        for index, cord in enumerate(cords):
            stiffness, length = cord.spring((i + 0.5) * scene.step_s)
            model.tendon_stiffness[index] = stiffness
            model.tendon_lengthspring[index] = (0.0, length)
        mujoco.mj_step(model, data)
    times: Floats = np.arange(count + 1, dtype=np.float64) * scene.step_s
    return Histories(scene, times, {name: places[:, k] for k, name in enumerate(scene.masses)})


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
    step_s: float = 1e-4,
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
    model = _world(bodies, tendons, step_s, G_M_S2)
    data = mujoco.MjData(model)
    unstretched = np.array([hang / (1.0 + start_tension_N / stretch_stiffness_N) for hang in hangs])
    rows = np.empty((round(duration_s / step_s) + 1, 5))
    performer, weight, sheave = (model.joint(name).qposadr[0] for name in ("performer", "counterweight", "sheave"))
    for i in range(len(rows)):
        rim = tread_radius_m * data.qpos[sheave]
        lengths = np.array([hangs[0] + data.qpos[performer], hangs[1] + data.qpos[weight]])
        tensions = np.maximum(0.0, stretch_stiffness_N * (lengths / unstretched - 1.0))
        rows[i] = i * step_s, *tensions, -data.qpos[performer], -data.qpos[weight]
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


def hanging_line_model(rig: HangingLine) -> mujoco.MjModel:
    """The line as bodies in a row, half a piece of it at each end's, with a tendon between neighbours."""
    piece = rig.length_m / rig.pieces
    lump = rig.mass_kg_m * piece
    bodies, tendons, before = _site("0", (0.0, 0.0, 0.0)), "", "0"
    for i in range(1, rig.pieces + 1):
        below = i * piece
        mass = lump if i < rig.pieces else 0.5 * lump + rig.performer_kg
        bodies += _body(f"{i}", mass, (0.0, 0.0, -below - _sunk_m(rig, i)), "z")
        tendons += f'<spatial name="{i}" stiffness="1"><site site="{before}"/><site site="{i}"/></spatial>'
        before = f"{i}"
    model = _world(bodies, tendons, rig.step_s, G_M_S2)
    model.tendon_stiffness[:] = rig.stretch_stiffness_N / piece
    model.tendon_lengthspring[:] = (0.0, piece)
    return model


def hanging_line(rig: HangingLine) -> Forces:
    """What the row of bodies does to performer and drive."""
    model = hanging_line_model(rig)
    data, piece = mujoco.MjData(model), rig.length_m / rig.pieces
    last = model.joint(f"{rig.pieces} z").dofadr[0]
    rows = np.empty((round(rig.duration_s / rig.step_s) + 1, 3))
    for i in range(len(rows)):
        weight = rig.weight_m_s2((i + 0.5) * rig.step_s)
        model.opt.gravity[2] = -weight
        mujoco.mj_forward(model, data)
        first = max(0.0, data.ten_length[0] - piece)
        rows[i] = (
            i * rig.step_s, rig.performer_kg * (weight + data.qacc[last]), rig.stretch_stiffness_N * first / piece
        )  # fmt: skip
        mujoco.mj_step(model, data)
    return Forces(*np.ascontiguousarray(rows.T))


def _sunk_m(rig: HangingLine, index: int) -> float:
    """How far body `index` of the row hangs below its unstretched place at rest: each tendon carries what is below."""
    piece = rig.length_m / rig.pieces
    carried = rig.performer_kg + rig.mass_kg_m * piece * (rig.pieces - np.arange(index) - 0.5)
    return float(carried.sum() * G_M_S2 * piece / rig.stretch_stiffness_N)
