"""A scenario becomes a rig: parts by name, plain SI, every assumption written down."""

from __future__ import annotations

from dataclasses import replace

from profiles import Motion
from sim.build.failures import failure_orders
from sim.build.flights import flights
from sim.build.lines import build_lines
from sim.build.motions import drive_motion
from sim.build.parts import Parts
from sim.build.people import people
from sim.build.performers import build_performers
from sim.results.drawn import DrawnPoint
from sim.rig.brake import Brake
from sim.rig.flight import Flight
from sim.rig.motor import Motor
from sim.rig.point import Floor, Point, Spring, Vector
from sim.rig.rig import Hardware, Rig, RigError, Timing
from sim.rig.sheave import BEARINGS, Sheave, disc_inertia_mass_kg
from sim.rig.stop import StopOrder
from sim.rig.winch import Winch
from sim.scenario.drums import brake_force_N, layers_unknown, winch_arm_m
from sim.scenario.model import Scenario
from sim.scenario.parts.drives import Winch as WinchSpec
from sim.scenario.parts.sheaves import Sheave as SheaveSpec
from sim.scenario.water import surface_m

# What a counterweight lands on: stiff and well damped, an assumption that only matters if it gets there.
COUNTERWEIGHT_BUFFER_N_PER_M = 200e3
COUNTERWEIGHT_BUFFER_DAMPING_S = 0.01


def place(position) -> Vector:
    """A position of the format in metres."""
    return (position[0].m, position[1].m, position[2].m)


def build_rig(scenario: Scenario) -> Rig:
    """The rig of a scenario. Raises RigError with every sentence on what cannot be built."""
    parts = Parts()
    _mounts(scenario, parts)
    build_performers(scenario, parts)
    _junctions(scenario, parts)
    _counterweights(scenario, parts)
    _anchors(scenario, parts)
    _sheaves(scenario, parts)
    flown = flights(scenario, parts)
    motions = _drives(scenario, parts, flown)
    build_lines(scenario, parts, motions)
    _stops(scenario, parts)
    if parts.sentences:
        raise RigError(parts.sentences)
    limits = scenario.limits
    return Rig(
        points=tuple(parts.points.values()),
        lines=tuple(parts.lines),
        sheaves=tuple(parts.sheaves),
        drives=tuple(parts.drives),
        springs=tuple(parts.springs),
        floors=tuple(parts.floors),
        performers=tuple(parts.performers),
        hardware=tuple(Hardware(name, h.holds, h.end) for name, h in scenario.hardware.items()),
        anchors={name: parts.on[name] for name in scenario.anchors},
        counterweights=tuple(scenario.counterweights),
        junctions=tuple(scenario.junctions),
        gravity_m_s2=scenario.environment.gravity.m_s2,
        floor_m=scenario.floor.m if scenario.floor is not None else None,
        water_m=surface_m(scenario),
        timing=Timing(
            scenario.run.duration.s if scenario.run.duration is not None else None,
            scenario.run.sample_rate.Hz,
            scenario.run.tolerance,
        ),
        stops=tuple(parts.stops),
        flights=flown,
        clearance_m=limits.clearance.m if limits.clearance is not None else None,
        lands=limits.landing_speed is not None,
        drawn=tuple(parts.drawn),
        assumptions=tuple(parts.assumptions),
    )


def _mounts(scenario: Scenario, parts: Parts) -> None:
    for name, mount in scenario.mounts.items():
        mass = mount.mass.kg + sum(s.mass.kg for s in scenario.sheaves.values() if s.mount == name)
        at = place(mount.at)
        parts.add(Point(name, at, "moving", mass))
        damping = 2 * mount.damping_ratio.ratio * (mount.stiffness.N_per_m * mass) ** 0.5
        parts.springs.append(Spring(name, name, None, at, mount.stiffness.N_per_m, damping))
        parts.drawn.append(DrawnPoint(name, "mount", at))


def _junctions(scenario: Scenario, parts: Parts) -> None:
    for name, junction in scenario.junctions.items():
        legs = [x for x in scenario.lines.values() if name in x.route]
        guess = any(x.length is not None for x in legs)
        parts.add(Point(name, place(junction.at), "moving", junction.mass.kg, guess=guess))
        parts.drawn.append(DrawnPoint(name, "junction", place(junction.at)))


def _counterweights(scenario: Scenario, parts: Parts) -> None:
    for name, weight in scenario.counterweights.items():
        start = {"hanging": "moving", "standing": "standing", "held": "held"}[weight.start]
        parts.add(
            Point(
                name,
                place(weight.at),
                start,  # pyright: ignore[reportArgumentType]
                weight.mass.kg,
                release_s=weight.release.s if weight.release is not None else None,
                guide=(0.0, 0.0, 1.0) if weight.guide == "vertical" else None,
            )
        )
        if scenario.floor is not None:
            parts.floors.append(
                Floor(name, 0.0, scenario.floor.m, COUNTERWEIGHT_BUFFER_N_PER_M, COUNTERWEIGHT_BUFFER_DAMPING_S, 0.0)
            )
        parts.drawn.append(DrawnPoint(name, "counterweight", place(weight.at)))


def _anchors(scenario: Scenario, parts: Parts) -> None:
    for name, anchor in scenario.anchors.items():
        if anchor.at is not None:
            parts.add(Point(name, place(anchor.at)))
        else:
            parts.on[name] = str(anchor.mount)
        parts.drawn.append(DrawnPoint(name, "anchor", parts.position(name)))


def _sheaves(scenario: Scenario, parts: Parts) -> None:
    for name, sheave in scenario.sheaves.items():
        if sheave.at is not None:
            parts.add(Point(name, place(sheave.at)))
        else:
            parts.on[name] = parts.on[str(sheave.mount or sheave.carried_by)]
            parts.offset[name] = place(sheave.offset) if sheave.offset is not None else (0.0, 0.0, 0.0)
            if sheave.carried_by is not None:
                parts.add_mass(parts.on[name], sheave.mass.kg)
        parts.sheaves.append(_sheave(scenario, name, sheave, parts))
        kind = "sheave" if sheave.turns else "bar"
        tread = sheave.tread_diameter.m if sheave.tread_diameter is not None else 0.02
        parts.drawn.append(DrawnPoint(name, kind, parts.position(name), tread))


def _sheave(scenario: Scenario, name: str, sheave: SheaveSpec, parts: Parts) -> Sheave:
    tread = sheave.tread_diameter.m if sheave.tread_diameter is not None else 0.0
    if not sheave.turns:
        friction = sheave.line_friction.ratio if sheave.line_friction is not None else 0.0
        return Sheave(name, parts.on[name], 0.0, 0.0, 0.0, friction, sheave.mass.kg, tread)
    if isinstance(sheave.bearing, str):
        friction, pin = BEARINGS[sheave.bearing]
        bearing = friction * pin
        source = "lead-line factor 1.09 of wire rope" if sheave.bearing == "plain" else "bearing handbooks, from memory"
        parts.assume(
            f"Bearing '{sheave.bearing}': friction {friction:g} on a pin of {100 * pin:.0f} % of the tread diameter "
            f"({source})."
        )
    else:
        bearing = sheave.bearing.friction.ratio * sheave.bearing.pin_diameter.m / tread
    turning = disc_inertia_mass_kg(sheave.mass.kg)
    if sheave.inertia is not None:
        turning = sheave.inertia.kg_m2 / (0.5 * tread) ** 2
    loss = sheave.bending_loss.ratio if sheave.bending_loss is not None else None
    return Sheave(name, parts.on[name], turning, bearing, loss, 0.0, sheave.mass.kg, tread)


def _drives(scenario: Scenario, parts: Parts, flown: tuple[Flight, ...]) -> dict[str, Motion]:
    motions = {}
    for name, spec in scenario.drives.items():
        parts.add(Point(name, place(spec.at)))
        if not isinstance(spec, WinchSpec):
            motions[name] = drive_motion(scenario, name, flown, parts.sentences)
            parts.drives.append(people(name, spec, motions[name], parts))
            parts.drawn.append(DrawnPoint(name, "drive", place(spec.at)))
            continue
        if why := layers_unknown(scenario, name):
            parts.sentences.append(why)
        brakes = [Brake(brake_force_N(scenario, name, b), b.delay.s, b.rise.s) for b in spec.brakes]
        if spec.layers > 1 and any(b.torque is not None for b in spec.brakes):
            parts.assume(
                f"{name}: its line stays on layer {spec.layers}, {1000 * winch_arm_m(scenario, name):.0f} mm from the "
                f"axis, where brakes hold least; at the strong end of brakes it is on the first."
            )
        motions[name] = drive_motion(scenario, name, flown, parts.sentences)
        motor = _motor(spec)
        grip_N = spec.grip.N if spec.grip is not None else None
        parts.drives.append(Winch(name, name, spec.moving_mass.kg, tuple(brakes), motions[name], motor, grip_N))
        _remark_on_drive(parts.drives[-1], parts)
        parts.drawn.append(
            DrawnPoint(name, "drive", place(spec.at), spec.drum_diameter.m if spec.drum_diameter else 0.0)
        )
    return motions


def _motor(spec: WinchSpec) -> Motor | None:
    if spec.force is None or spec.power is None or spec.top_speed is None or spec.bandwidth is None:
        return None
    return Motor(spec.force.N, spec.power.W, spec.top_speed.m_s, spec.bandwidth.Hz)


def _remark_on_drive(winch: Winch, parts: Parts) -> None:
    name = winch.name
    if winch.grip_N is not None:
        parts.assume(f"{name}: what slips at its grip is between motor and brakes and the moving mass, as in a clutch.")
    if winch.motor is None:
        return
    parts.assume(
        f"{name}: driven by a proportional-integral speed loop, critically damped on its own moving mass and begun "
        f"with the force that holds its load; its bandwidth is where its answer to the speed asked is down by 3 dB; "
        f"its power limits it in braking as in driving; way lost at a limit is not made up for."
    )
    if "top speed reached" in winch.motion.label:
        parts.assume(f"{name}: its moves ask for more than its top speed and are held at it, so they end short.")


def _stops(scenario: Scenario, parts: Parts) -> None:
    for stop in scenario.stops:
        names = tuple(d.name for d in parts.drives if (d.hands is not None) == (stop.hands is not None))
        parts.stops.append(
            StopOrder(
                name=stop.name,
                category=stop.category,
                time_s=None if isinstance(stop.when, str) else stop.when.s,
                drives=tuple(stop.drives) if stop.drives is not None else names,
                deceleration_m_s2=stop.deceleration.m_s2 if stop.deceleration is not None else None,
                jerk_m_s3=stop.jerk.m_s3 if stop.jerk is not None else None,
                along_path=stop.along is not None,
                hands=stop.hands,
                restart_after_s=stop.restart_after.s if stop.restart_after is not None else None,
            )
        )
    known = {stop.name: stop for stop in parts.stops}
    during = {stop.name: known[stop.during] for stop in scenario.stops if stop.during is not None}
    parts.stops[:] = [replace(stop, during=during.get(stop.name)) for stop in parts.stops]
    parts.stops += failure_orders(scenario, parts.stops)
