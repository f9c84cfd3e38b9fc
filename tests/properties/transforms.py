"""The same rig seen another way: mirrored, turned about the plumb line, or built to another scale of mass or length.

Each gives a new rig whose answer follows from the old one's by symmetry or by the laws of similarity alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from profiles import Motion
from sim.rig.line import Line
from sim.rig.point import Vector
from sim.rig.rig import Rig

Place = Callable[[Vector], Vector]


def _placed(rig: Rig, move: Place) -> Rig:
    points = tuple(
        replace(p, position_m=move(p.position_m), guide=None if p.guide is None else move(p.guide)) for p in rig.points
    )
    lines = tuple(
        replace(x, route=tuple(replace(place, offset_m=move(place.offset_m)) for place in x.route)) for x in rig.lines
    )
    springs = tuple(replace(s, rest_m=move(s.rest_m)) for s in rig.springs)
    return replace(rig, points=points, lines=lines, springs=springs)


def mirrored(rig: Rig, axis: int) -> Rig:
    """The rig's image in the upright plane x = 0 (axis 0) or y = 0 (axis 1)."""

    def image(at: Vector) -> Vector:
        return (-at[0], at[1], at[2]) if axis == 0 else (at[0], -at[1], at[2])

    return _placed(rig, image)


def turned(rig: Rig, angle_rad: float) -> Rig:
    """The rig turned about the plumb line through the origin."""
    cos, sin = math.cos(angle_rad), math.sin(angle_rad)
    return _placed(rig, lambda at: (cos * at[0] - sin * at[1], sin * at[0] + cos * at[1], at[2]))


def _stretch(line: Line, force: float) -> Line:
    points = tuple((force * f, strain) for f, strain in line.material.stretch)
    return replace(line, material=replace(line.material, stretch=points))


def heavier(rig: Rig, c: float) -> Rig:
    """Every mass and every force law times c: Newton's second law then has the same motion, with forces times c."""
    lines = [
        replace(x, material=replace(x.material, mass_kg_per_m=c * x.material.mass_kg_per_m), cut=_cut(x, force=c))
        for x in (_stretch(x, c) for x in rig.lines)
    ]
    return replace(
        rig,
        points=tuple(replace(p, mass_kg=c * p.mass_kg, drag_area_m2=c * p.drag_area_m2) for p in rig.points),
        lines=tuple(lines),
        sheaves=tuple(replace(s, mass_kg=c * s.mass_kg, inertia_mass_kg=c * s.inertia_mass_kg) for s in rig.sheaves),
        drives=tuple(
            replace(
                d,
                moving_mass_kg=c * d.moving_mass_kg,
                brakes=tuple(replace(b, force_N=c * b.force_N) for b in d.brakes),
            )
            for d in rig.drives
        ),
        springs=tuple(
            replace(s, stiffness_N_per_m=c * s.stiffness_N_per_m, damping_N_s_per_m=c * s.damping_N_s_per_m)
            for s in rig.springs
        ),
        floors=tuple(
            replace(f, stiffness_N_per_m=c * f.stiffness_N_per_m, along_N_s_per_m=c * f.along_N_s_per_m)
            for f in rig.floors
        ),
        performers=tuple(replace(p, body_mass_kg=c * p.body_mass_kg, weight_N=c * p.weight_N) for p in rig.performers),
    )


def _cut(line: Line, force: float = 1.0, length: float = 1.0):
    cut = line.cut
    return replace(
        cut,
        length_m=None if cut.length_m is None else length * cut.length_m,
        slack_m=None if cut.slack_m is None else length * cut.slack_m,
        tension_N=None if cut.tension_N is None else force * cut.tension_N,
    )


def _motion(motion: Motion, length: float, time: float) -> Motion:
    powers = np.array([length / time**k for k in range(4)])
    return Motion(motion.time_s * time, motion.coefficients * powers, motion.corner, motion.label)


def larger(rig: Rig, length: float) -> Rig:
    """Lengths times `length`, times by its square root, gravity, masses and forces as they are (Froude's similarity).

    Strains and speeds over the root of gravity times length stay; stiffness per strain stays, per metre it falls.
    """
    time = math.sqrt(length)

    def grown(at: Vector) -> Vector:
        return (length * at[0], length * at[1], length * at[2])

    bigger = _placed(rig, grown)
    guides = {p.name: p.guide for p in rig.points}
    lines = [
        replace(
            x,
            cut=_cut(x, length=length),
            material=replace(
                x.material,
                mass_kg_per_m=x.material.mass_kg_per_m / length,
                damping_time_s=x.material.damping_time_s * time,
            ),
        )
        for x in bigger.lines
    ]
    return replace(
        bigger,
        points=tuple(
            replace(
                p,
                guide=guides[p.name],
                drag_area_m2=p.drag_area_m2 / length,
                release_s=None if p.release_s is None else time * p.release_s,
            )
            for p in bigger.points
        ),
        lines=tuple(lines),
        sheaves=tuple(replace(s, tread_diameter_m=length * s.tread_diameter_m) for s in rig.sheaves),
        drives=tuple(
            replace(
                d,
                motion=_motion(d.motion, length, time),
                brakes=tuple(replace(b, delay_s=time * b.delay_s, rise_s=time * b.rise_s) for b in d.brakes),
            )
            for d in rig.drives
        ),
        springs=tuple(
            replace(
                s,
                stiffness_N_per_m=s.stiffness_N_per_m / length,
                damping_N_s_per_m=s.damping_N_s_per_m / time,
            )
            for s in bigger.springs
        ),
        floors=tuple(
            replace(
                f,
                below_m=length * f.below_m,
                level_m=length * f.level_m,
                stiffness_N_per_m=f.stiffness_N_per_m / length,
                damping_time_s=time * f.damping_time_s,
                along_N_s_per_m=f.along_N_s_per_m / time,
            )
            for f in rig.floors
        ),
        floor_m=None if rig.floor_m is None else length * rig.floor_m,
        performers=tuple(replace(p, body_below_m=length * p.body_below_m) for p in rig.performers),
        stops=tuple(
            replace(
                s,
                time_s=None if s.time_s is None else time * s.time_s,
                jerk_m_s3=None if s.jerk_m_s3 is None else s.jerk_m_s3 / time,
            )
            for s in rig.stops
        ),
    )
