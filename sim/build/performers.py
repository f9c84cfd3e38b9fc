"""Performers of a scenario as points, straps and springs."""

from __future__ import annotations

import math
from dataclasses import replace

from sim.build.parts import Parts
from sim.results.drawn import DrawnPoint
from sim.rig.line import Cut, Line, Material, Place
from sim.rig.performer import Performer
from sim.rig.point import Floor, Point, Spring, Vector
from sim.scenario.model import LaggingBody, Scenario
from sim.scenario.model import Performer as Spec
from sim.scenario.parts.performers import BODY_BELOW_UNSAID_M

# A person on the floor: legs as a spring and damper, feet as a dashpot along the floor. Assumed, only after contact.
LEGS_N_PER_M = 30e3
LEGS_DAMPING_RATIO = 0.3
FEET_N_S_PER_M = 500.0
# The body's mass lies halfway down; a strap is never shorter than this.
BODY_SHARE = 0.5
SHORTEST_STRAP_M = 0.3


def build_performers(scenario: Scenario, parts: Parts) -> None:
    """Suspension point, body, strap, lagging mass and floor of every performer."""
    for name, spec in scenario.performers.items():
        _performer(scenario, name, spec, parts)


def _performer(scenario: Scenario, name: str, spec: Spec, parts: Parts) -> None:
    gravity = scenario.environment.gravity.m_s2
    at: Vector = (spec.at[0].m, spec.at[1].m, spec.at[2].m)
    start = {"hanging": "moving", "standing": "standing", "held": "held"}[spec.start]
    release = spec.release.s if spec.release is not None else None
    lag = spec.body.lagging_mass.ratio if isinstance(spec.body, LaggingBody) else 0.0
    torso = spec.mass.kg * (1.0 - lag)
    weight = spec.mass.kg * gravity
    reach = spec.body_below.m if spec.body_below is not None else BODY_BELOW_UNSAID_M
    if spec.body_below is None and scenario.floor is not None:
        parts.assume(f"{name}: body_below is not given; {BODY_BELOW_UNSAID_M} m is used.")
    point = Point(name, at, start, torso + spec.hook_mass.kg, release_s=release)  # pyright: ignore[reportArgumentType]
    body, strap, below = name, None, reach
    if spec.harness.rigid:
        parts.add(replace(point, drag_area_m2=spec.drag_area.m2))
        parts.assume(f"{name}: harness and body are rigid, which gives the upper bound of force.")
    else:
        body, strap, below = _elastic(scenario, name, spec, point, torso, weight, reach, parts)
    if spec.hook_mass.origin == "default":
        parts.assume(f"{name}: hook mass {spec.hook_mass.kg:g} kg (hook, swivel and the harness's metal).")
    if isinstance(spec.body, LaggingBody):
        _lagging(name, spec.body, spec.mass.kg * lag, parts.points[body], parts)
    for hp, where in spec.harness.points.items():
        parts.on[hp] = name
        parts.offset[hp] = (where.offset[0].m, where.offset[1].m, where.offset[2].m)
    if spec.harness.points:
        parts.assume(f"{name}: the body does not rotate; harness points keep their offsets.")
    if scenario.floor is not None:
        tau = 2 * LEGS_DAMPING_RATIO / math.sqrt(LEGS_N_PER_M / spec.mass.kg)
        parts.floors.append(Floor(body, below, scenario.floor.m, LEGS_N_PER_M, tau, FEET_N_S_PER_M))
        parts.assume(
            f"Floor contact: {LEGS_N_PER_M / 1e3:.0f} kN/m with damping ratio {LEGS_DAMPING_RATIO} under a performer "
            "(assumed; matters only after touch-down)."
        )
    parts.performers.append(Performer(name, name, body, strap, below, spec.mass.kg, weight, spec.start))
    parts.drawn.append(DrawnPoint(name, "performer", at))
    parts.drawn.append(DrawnPoint(f"{name} body", "body", (at[0], at[1], at[2] - reach), reach))


def _elastic(
    scenario: Scenario,
    name: str,
    spec: Spec,
    hook: Point,
    torso_kg: float,
    weight_N: float,
    reach_m: float,
    parts: Parts,
) -> tuple[str, str, float]:
    """Hook, strap and body. At rest on the line the body's lowest part is exactly body_below under the hook."""
    assert not isinstance(spec.harness.stiffness, str)
    k = spec.harness.stiffness.N_per_m
    at_rest = max(BODY_SHARE * reach_m, 2.0 * weight_N / k, SHORTEST_STRAP_M)
    slack_length = at_rest - weight_N / k
    body = f"{name} body"
    hangs = spec.start == "hanging"
    x, y, z = hook.position_m
    pull, (ux, uy, uz) = (0.0, (0.0, 0.0, -1.0)) if hangs else _held_pull(scenario, name, spec)
    length = at_rest if hangs else slack_length + pull / k
    place = (x + length * ux, y + length * uy, z + length * uz)
    parts.add(replace(hook, mass_kg=spec.hook_mass.kg))
    parts.add(replace(hook, name=body, position_m=place, mass_kg=torso_kg, drag_area_m2=spec.drag_area.m2))
    omega = math.sqrt(k / spec.mass.kg)
    strain = 0.1
    material = Material(
        stretch=((k * slack_length * strain, strain),),
        mass_kg_per_m=0.0,
        damping_time_s=2.0 * spec.harness.damping_ratio.ratio / omega,
    )
    strap = f"{name} harness"
    parts.lines.append(
        Line(
            strap,
            material,
            (Place(f"{name} hook", name, "tied"), Place(f"{name} torso", body, "tied")),
            Cut() if hangs else Cut(tension_N=pull),
            strap=True,
        )
    )
    return body, strap, reach_m - at_rest


def _held_pull(scenario: Scenario, name: str, spec: Spec) -> tuple[float, Vector]:
    """Force in the harness of a performer who is held or stands, and the direction from the hook to the body.

    A held performer continues the lines that are not slack; otherwise the body is straight below the hook.
    """
    hook = [c.m for c in spec.at]
    way, pull = [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]
    for line in scenario.lines.values():
        for end, neighbour in ((0, 1), (-1, -2)):
            if line.route[end] != name or spec.start != "held" or line.slack is not None or line.length is not None:
                continue
            other = place_of(scenario, line.route[neighbour])
            if other is None:
                continue
            chord = math.dist(hook, other)
            tension = line.start_tension.N if line.start_tension is not None else 0.0
            for c in range(3):
                way[c] += (hook[c] - other[c]) / chord
                pull[c] -= tension * (hook[c] - other[c]) / chord
    size = math.hypot(*way)
    if size < 1e-6:
        return 0.0, (0.0, 0.0, -1.0)
    return math.hypot(*pull), (way[0] / size, way[1] / size, way[2] / size)


def place_of(scenario: Scenario, name: str) -> list[float] | None:
    """Where something with a place of its own stands (m); None for what is carried."""
    for section in (scenario.drives, scenario.junctions, scenario.counterweights):
        if name in section:
            return [c.m for c in section[name].at]
    for section in (scenario.sheaves, scenario.anchors):
        if name in section:
            found = section[name]
            at = found.at or (scenario.mounts[found.mount].at if found.mount is not None else None)
            return None if at is None else [c.m for c in at]
    return None


def _lagging(name: str, body: LaggingBody, mass_kg: float, torso: Point, parts: Parts) -> None:
    """The lagging part of the body on its spring and damper, hanging where the torso is."""
    omega = 2 * math.pi * body.frequency.Hz
    lagging = f"{name} lagging mass"
    parts.add(replace(torso, name=lagging, mass_kg=mass_kg, drag_area_m2=0.0))
    parts.springs.append(
        Spring(
            lagging,
            lagging,
            torso.name,
            (0.0, 0.0, 0.0),
            mass_kg * omega**2,
            2 * body.damping_ratio.ratio * omega * mass_kg,
        )
    )
