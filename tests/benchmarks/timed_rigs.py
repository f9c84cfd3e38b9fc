"""The rigs that are timed: each as this program reads it, and in the equations and scenes of the others."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import sim
from sim.dynamics.run import Ready, ready
from sim.rig.case import Case
from tests.benchmarks.equations.chain import Chain
from tests.benchmarks.equations.massless import Massless
from tests.benchmarks.equations.problem import Problem
from tests.benchmarks.equations.turning import Sheaves, Turning
from tests.outside import moving_block, rigs, straight_drop, two_line_flight
from tests.outside.reference import scenes
from tests.outside.reference.line_with_mass import HangingLine
from tests.outside.reference.motion import PaidOut
from tests.outside.reference.scene import G_M_S2, Cord, Scene, paid_out_by
from tests.outside.reference.two_span_ode import PowerOff

SHEAVE_KG, TREAD_M = 0.9, 0.12
INERTIA_KG_M2 = 0.5 * SHEAVE_KG * (TREAD_M / 2) ** 2
RIM_KG = INERTIA_KG_M2 / (TREAD_M / 2) ** 2
JOURNAL, BENDING = 0.01, 0.005
SECOND_S = 1e-3


@dataclass(frozen=True)
class Timed:
    """A rig. text, stop: the scenario, and its stop ('' is the planned move); lines: columns of the tensions compared.

    turning: with sheaves that turn, as the program has them; massless: without, as the engine has them; hanging: the
    line with mass. None where the packages have no such thing. apart: in what the program's equations differ from those
    written for the libraries; '' where they do not, and its error is then measured against theirs. loosest: tolerance
    that is tried (beyond it LSODA takes a line with waves for stiff, and minutes).
    """

    name: str
    what: str
    text: str
    stop: str
    lines: tuple[str, ...]
    turning: Callable[[], Problem]
    scene: Scene | None
    motions: dict[str, PaidOut]
    sample_s: float = SECOND_S
    hanging: HangingLine | None = None
    apart: str = ""
    loosest: float = 1e-3

    def own(self) -> tuple[Ready, Case]:
        """This program's rig at rest and its case."""
        rig = sim.build_rig(sim.read_text(self.text, self.name))
        if not self.stop:
            return ready(rig), sim.planned_case(rig)
        order = next(stop for stop in rig.stops if stop.name == self.stop)
        assert order.time_s is not None
        return ready(rig), sim.stop_case(rig, order, order.time_s)

    def massless(self) -> Massless | None:
        """The rig without its sheaves, and without friction."""
        return Massless(self.scene, self.motions) if self.scene else None


def drop_scene(motion: PaidOut, duration_s: float) -> Scene:
    """The straight drop over both its sheaves, at its own heights."""
    lead, head, winch = straight_drop.LEAD, straight_drop.HEAD, straight_drop.WINCH
    fixed = {name: (x, 0.0, z) for name, (x, z) in (("winch", winch), ("lead", lead), ("head", head))}
    strain = straight_drop.MASS_KG * G_M_S2 / straight_drop.STIFFNESS_N
    whole = (straight_drop.ROUTE_M + straight_drop.BELOW_M) / (1.0 + strain)
    route = ("winch", "lead", "head", "flyer")
    cord = Cord(straight_drop.STIFFNESS_N, route, paid_out_by(motion, whole, strain))
    flyer = (straight_drop.MASS_KG, (head[0], 0.0, head[1] - straight_drop.BELOW_M))
    return Scene(fixed, {"flyer": flyer}, {"line": cord}, duration_s)


DROP_S = 2.7
DROP_LINES = tuple(f"tension_N:line:{span}" for span in ("winch -> lead", "lead -> head", "head -> flyer"))


def drop() -> Timed:
    """Lowered 8.4 m, stopped from 6 m/s at 60 m/s2; no friction."""
    motion = straight_drop.DROP.stopped(straight_drop.STOP_S, 60.0)
    scene, motions = drop_scene(motion, DROP_S), {"line": motion}
    both = straight_drop.sheaves(inertia_kg_m2=INERTIA_KG_M2)
    return Timed(
        "straight drop, stopped",
        "84 kg lowered over two sheaves at 6 m/s, stopped at 60 m/s²: snatches, goes slack, snatches again; 2.7 s",
        straight_drop.drop_text(both, [straight_drop.SLOWED], [], DROP_S),
        "stop", DROP_LINES, lambda: Turning(scene, motions, Sheaves(RIM_KG)), scene, motions,
    )  # fmt: skip


def rubbing_drop() -> Timed:
    """The same with friction in both sheaves; power lost, the drum runs free, then its brake slips and holds."""
    off = PowerOff(straight_drop.STOP_S, 60.0, 2800.0, 0.08, 0.06)
    motion, weight = straight_drop.DROP, SHEAVE_KG * G_M_S2
    scene, motions = drop_scene(motion, DROP_S), {"line": motion}
    both = straight_drop.sheaves(tread_m=TREAD_M, journal=JOURNAL, bending=BENDING, mass_kg=SHEAVE_KG)
    power = {"name": "power loss", "category": "0", "when": rigs.of(straight_drop.STOP_S, "s")}
    brake = {"force": "2.8 kN", "delay": "80 ms", "rise": "60 ms"}
    return Timed(
        "straight drop with friction, power lost",
        "the same rig with friction in bearings and line, each at rest or sliding; the drum runs free, its brake "
        "slips, then holds; 2.7 s",
        straight_drop.drop_text(both, [power], [brake], DROP_S),
        "power loss", DROP_LINES,
        lambda: Turning(scene, motions, Sheaves(RIM_KG, JOURNAL, BENDING, weight), off), None, motions,
        apart="line of another strain than it was wound with leaves the drum: this program keeps the energy of it, the "
        "libraries' equations leave it out",
    )  # fmt: skip


def block() -> Timed:
    """Two to one, lowered and stopped."""
    scene = scenes.moving_block(
        mass_kg=straight_drop.MASS_KG, stretch_stiffness_N=straight_drop.STIFFNESS_N, fixed=moving_block.BLOCK,
        performer_at_m=moving_block.FLYER, motion=moving_block.LOWERED, duration_s=moving_block.END_S,
    )  # fmt: skip
    motions = {"line": moving_block.LOWERED}
    return Timed(
        "moving block, stopped",
        "84 kg on a moving block, two to one, lowered at 3 m/s of line and stopped at 60 m/s²; 1.4 s",
        moving_block.block_text(INERTIA_KG_M2), "stop",
        tuple(f"tension_N:line:{span}" for span in moving_block.SPANS),
        lambda: Turning(scene, motions, Sheaves(RIM_KG)), scene, motions,
    )  # fmt: skip


def flight() -> Timed:
    """Two winches fly a performer; one stops."""
    of = two_line_flight
    scene = scenes.flight(
        mass_kg=of.MASS_KG, stretch_stiffness_N=of.STIFFNESS_N, heads=of.HEADS, performer_at_m=of.START,
        motions=of.FLOWN, duration_s=of.FLIGHT_S,
    )  # fmt: skip
    spans = [(n, s) for n in of.HEADS for s in (f"{n} winch -> {n} head", f"{n} head -> flyer")]
    return Timed(
        "two-line flight, one winch stops",
        "80 kg flown by two winches, askew in space; one stops at 40 m/s² while the other goes on; 1.2 s",
        of.flight_text(INERTIA_KG_M2), "left stops", tuple(f"tension_N:{n}:{s}" for n, s in spans),
        lambda: Turning(scene, of.FLOWN, Sheaves(RIM_KG)), scene, dict(of.FLOWN),
    )  # fmt: skip


WAVES_S, TOP_M = 0.1, 50.0
LINE = HangingLine(
    stretch_stiffness_N=1985.8e3, mass_kg_m=0.1637, length_m=30.0, performer_kg=84.0, speed_m_s=0.5, stop_s=4e-3,
    duration_s=WAVES_S, pieces=100, step_s=5e-5,
)  # fmt: skip


def waves() -> Timed:
    """A heavy line whose drive starts at once."""
    text = rigs.scenario(
        performers={
            "flyer": rigs.performer(
                LINE.performer_kg, rigs.at(0, 0, TOP_M - LINE.length_m - LINE.sunk_m(LINE.length_m))
            )
        },
        lines={
            "line": rigs.line(
                LINE.stretch_stiffness_N, ["winch", "flyer"], mass_kg_m=LINE.mass_kg_m, elements=LINE.pieces
            )
        },
        drives={"winch": rigs.winch(rigs.at(0, 0, TOP_M))},
        moves=[rigs.move(-0.5, LINE.speed_m_s, LINE.speed_m_s / LINE.stop_s)],
        duration_s=WAVES_S,
    )
    return Timed(
        "line with waves, 100 elements",
        "84 kg on 30 m of 1/4 in wire, undamped; the drive takes in, from rest to 0.5 m/s within 4 ms, so that no "
        "part goes slack; 0.1 s, in which a front goes nearly six times there and back",
        text, "", ("force_N:winch", "force_N:flyer harness"), lambda: Chain(LINE), None, {}, 5e-5, LINE,
        apart="this program winds line in, 0.05 m of it; in the row of bodies the drive's end stands still and all "
        "else is seen from it",
        loosest=1e-4,
    )  # fmt: skip


ALL = (drop, rubbing_drop, block, flight, waves)
