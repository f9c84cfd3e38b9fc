"""Whole rigs in a general-purpose flexible multibody library (Exudyn), built from its own documentation.

A cord is an `ObjectConnectorReevingSystemSprings`: one rope over a list of torque-free, friction-free sheaves or
points, with one force all along, F = (L - L0) EA / L0, where a positive `regularizationForce` keeps it from pushing by
more than that. Its `referenceLength` L0 is written anew before every step, for the middle of the step. Masses are rigid
bodies on which cords act at the centre, so they do not turn. Integrated by the classical Runge-Kutta method of order 4
at fixed steps.

What the library cannot represent, and these models therefore leave out:
- friction between rope and sheave, and a sheave's inertia within one rope (its rope slides freely, one force all
  along): the counterweight's sheave is a `Rotor1D` between two ropes, whose coordinate lengthens one and shortens the
  other;
- a rope's own weight and waves (its rope is massless), a nonlinear stretch curve, damping limited to the elastic force;
  the line with waves is made of its `Cable2D` finite elements instead, which have mass but cannot run over a sheave or
  off a drum, and is integrated by the trapezoidal rule;
- line that flows over a rim of a stretched side: the length handed over counts as unstretched (off by the strain, here
  under half a per cent of what is handed over);
- events: slack, a stop, a parting fall inside a fixed step.
"""

# The library's module is compiled and declares no types for its names.
# pyright: reportAttributeAccessIssue=false, reportCallIssue=false, reportArgumentType=false

from __future__ import annotations

from typing import Any

import exudyn as exu
import numpy as np
from exudyn import itemInterface as items

from tests.outside.reference.line_with_mass import Forces, HangingLine
from tests.outside.reference.scene import G_M_S2, CounterweightHistory, Floats, Histories, Scene

LEAST_N = 1e-3
"""How much a slack rope may push."""


class _World:
    """A system with ground, and what every model here needs of it."""

    def __init__(self, gravity_m_s2: float) -> None:
        self.container = exu.SystemContainer()
        self.system: Any = self.container.AddSystem()
        self.ground = self.system.AddObject(items.ObjectGround())
        self.gravity = [0.0, 0.0, -gravity_m_s2]

    def fixed(self, place: tuple[float, float, float]) -> int:
        return self.system.AddMarker(items.MarkerBodyRigid(bodyNumber=self.ground, localPosition=list(place)))

    def body(self, mass_kg: float, place: tuple[float, float, float]) -> tuple[int, int]:
        """A rigid body that nothing turns: its marker, and a sensor of its place."""
        node = self.system.AddNode(items.NodeRigidBodyRxyz(referenceCoordinates=[*place, 0.0, 0.0, 0.0]))
        body = self.system.AddObject(items.RigidBody(mass=mass_kg, inertia=[1, 1, 1, 0, 0, 0], nodeNumber=node))
        self.weigh(body)
        marker = self.system.AddMarker(items.MarkerBodyRigid(bodyNumber=body, localPosition=[0, 0, 0]))
        return marker, self.sensor(node)

    def weigh(self, body: int) -> None:
        marker = self.system.AddMarker(items.MarkerBodyMass(bodyNumber=body))
        self.system.AddLoad(items.LoadMassProportional(markerNumber=marker, loadVector=self.gravity))

    def sensor(self, node: int) -> int:
        kind = exu.OutputVariableType.Position
        return self.system.AddSensor(items.SensorNode(nodeNumber=node, outputVariableType=kind, storeInternal=True))

    def rope(self, stretch_stiffness_N: float, length_m: float, markers: list[int], **more: Any) -> int:
        count = len(markers) - (2 if more else 0)
        return self.system.AddObject(
            items.ReevingSystemSprings(
                markerNumbers=markers,
                stiffnessPerLength=stretch_stiffness_N,
                referenceLength=length_m,
                sheavesAxes=exu.Vector3DList([[0, 1, 0]] * count),
                sheavesRadii=[0.0] * count,
                regularizationForce=LEAST_N,
                **more,
            )
        )

    def solve(self, duration_s: float, step_s: float, method: Any = None) -> None:
        exu.config.printToConsole = False
        self.system.Assemble()
        settings = exu.SimulationSettings()
        settings.timeIntegration.endTime = duration_s
        settings.timeIntegration.numberOfSteps = round(duration_s / step_s)
        settings.timeIntegration.verboseMode = 0
        settings.solution.file.write = False
        settings.solution.sensors.writePeriod = step_s
        self.system.SolveDynamic(settings, solverType=method or exu.DynamicSolverType.RK44)

    def stored(self, sensor: int) -> Floats:
        return np.array(self.system.GetSensorStoredData(sensor))


def play(scene: Scene) -> Histories:
    """A scene from rest."""
    world = _World(scene.gravity_m_s2)
    markers = {name: world.fixed(place) for name, place in scene.fixed.items()}
    sensors = {}
    for name, (mass, place) in scene.masses.items():
        markers[name], sensors[name] = world.body(mass, place)
    ropes = {
        name: world.rope(cord.stretch_stiffness_N, cord.unstretched_m(0.0), [markers[p] for p in cord.through])
        for name, cord in scene.cords.items()
    }

    def before_step(system: Any, time_s: float) -> bool:
        middle = time_s - 0.5 * scene.step_s
        for name, cord in scene.cords.items():
            stiffness, length = cord.spring(middle)
            system.SetObjectParameter(ropes[name], "referenceLength", length)
            system.SetObjectParameter(ropes[name], "activeConnector", stiffness > 0.0)
        return True

    world.system.SetPreStepUserFunction(before_step)
    world.solve(scene.duration_s, scene.step_s)
    stored = {name: world.stored(sensor) for name, sensor in sensors.items()}
    times = next(iter(stored.values()))[:, 0]
    return Histories(scene, times, {name: rows[:, 1:4] for name, rows in stored.items()})


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
    """Performer and counterweight on one line over one sheave with inertia, let go together at time 0.

    Two ropes from the sheave's centre straight down; the turning of the sheave (`Rotor1D`), times the tread radius,
    lengthens the performer's and shortens the other.
    """
    world = _World(G_M_S2)
    node = world.system.AddNode(items.Node1D(referenceCoordinates=[0.0]))
    world.system.AddObject(items.Rotor1D(nodeNumber=node, inertia=inertia_kg_m2))
    turning = world.system.AddMarker(items.MarkerNodeCoordinate(nodeNumber=node, coordinate=0))
    places, forces = [], []
    for mass, hang, sign in (
        (performer_kg, performer_hang_m, 1.0),
        (counterweight_kg, counterweight_hang_m, -1.0),
    ):
        marker, sensor = world.body(mass, (0.0, 0.0, -hang))
        rope = world.rope(
            stretch_stiffness_N, hang / (1.0 + start_tension_N / stretch_stiffness_N),
            [world.fixed((0.0, 0.0, 0.0)), marker, turning, turning], hasCoordinateMarkers=True,
            coordinateFactors=[sign * tread_radius_m, 0.0],
        )  # fmt: skip
        kind = exu.OutputVariableType.ForceLocal
        forces.append(
            world.system.AddSensor(items.SensorObject(objectNumber=rope, outputVariableType=kind, storeInternal=True))
        )
        places.append(sensor)
    world.solve(duration_s, step_s)
    rises = [rows[:, 3] - rows[0, 3] for rows in map(world.stored, places)]
    tensions = [np.maximum(0.0, world.stored(sensor)[:, 1]) for sensor in forces]
    return CounterweightHistory(world.stored(places[0])[:, 0], *tensions, *rises)


def hanging_line(rig: HangingLine) -> Forces:
    """The line as `Cable2D` finite elements, the first node held, the performer a `MassPoint2D` on the last."""
    world = _World(0.0)
    system, piece = world.system, rig.length_m / rig.pieces
    nodes = []
    for i in range(rig.pieces + 1):
        below = i * piece
        nodes.append(
            system.AddNode(
                items.NodePoint2DSlope1(
                    referenceCoordinates=[below, 0.0, 1.0, 0.0],
                    initialCoordinates=[rig.sunk_m(below), 0.0, rig.strain(below), 0.0],
                )
            )
        )
    bodies = [
        system.AddObject(
            items.Cable2D(
                length=piece,
                massPerLength=rig.mass_kg_m,
                axialStiffness=rig.stretch_stiffness_N,
                bendingStiffness=0.0,
                nodeNumbers=nodes[i : i + 2],
            )
        )
        for i in range(rig.pieces)
    ]
    bodies.append(system.AddObject(items.MassPoint2D(mass=rig.performer_kg, nodeNumber=nodes[-1])))
    markers = [system.AddMarker(items.MarkerBodyMass(bodyNumber=body)) for body in bodies]
    loads = [
        system.AddLoad(items.LoadMassProportional(markerNumber=marker, loadVector=[rig.weight_m_s2(0.0), 0.0, 0.0]))
        for marker in markers
    ]
    held = system.AddMarker(
        items.MarkerNodeCoordinate(nodeNumber=system.AddNode(items.NodePointGround()), coordinate=0)
    )
    for axis in (0, 1):
        end = system.AddMarker(items.MarkerNodeCoordinate(nodeNumber=nodes[0], coordinate=axis))
        system.AddObject(items.CoordinateConstraint(markerNumbers=[held, end]))
    first = world.sensor(nodes[1])
    kind = exu.OutputVariableType.Acceleration
    last = system.AddSensor(items.SensorNode(nodeNumber=nodes[-1], outputVariableType=kind, storeInternal=True))

    # The trapezoidal rule takes loads at both ends of a step: at the jump itself they are the mean of both sides.
    weights = [
        0.5 * (rig.weight_m_s2(t - 0.1 * rig.step_s) + rig.weight_m_s2(t + 0.1 * rig.step_s))
        for t in (np.arange(round(rig.duration_s / rig.step_s) + 1) * rig.step_s).tolist()
    ]

    def before_step(system: Any, time_s: float) -> bool:
        i = round(time_s / rig.step_s)
        if weights[i] != weights[i - 1]:
            for load in loads:
                system.SetLoadParameter(load, "loadVector", [weights[i], 0.0, 0.0])
        return True

    system.SetPreStepUserFunction(before_step)
    # The explicit methods hold a node without taking it out of its elements' mass, so an implicit one is taken.
    world.solve(rig.duration_s, rig.step_s, exu.DynamicSolverType.TrapezoidalIndex2)
    accelerations = world.stored(last)[:, 1]
    accelerations[0] = 0.0  # at rest; none is stored for the start
    weights[0] = G_M_S2
    times = np.arange(len(accelerations)) * rig.step_s
    stretch = world.stored(first)[:, 1] - piece
    performer = rig.performer_kg * (np.array(weights) - accelerations)
    return Forces(times, performer, rig.stretch_stiffness_N * stretch / piece)
