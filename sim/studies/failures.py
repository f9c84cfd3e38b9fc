"""What a failure that is there from the start makes of a scenario and its rig; the ways it can be wrong; in words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from profiles import hurried
from sim.rig.failure import Failure
from sim.rig.point import Point
from sim.rig.rig import Rig
from sim.scenario.drums import brake_force_N
from sim.scenario.kinds import Force, Mass, Time
from sim.scenario.model import LoweringHand, PullTeam, Scenario, Winch
from sim.scenario.parts.drives import Brake
from sim.scenario.parts.sheaves import Sheave

# What comes away with a lost anchor stays on the line's end: a shackle and its sling (assumed).
LOST_WITH_AN_ANCHOR_KG = 0.3
HEAVIER, LIGHTER = "too heavy", "too light"
ONE, ALL = "the strongest missing", "none left"


def ways(scenario: Scenario, failure: Failure | None) -> tuple[Failure | None, ...]:
    """Every way the failure can be: a trim wrong both ways; of several brakes the strongest missing, or all of them."""
    if failure is not None and failure.kind == "wrong trim":
        return tuple(replace(failure, which=which) for which in (HEAVIER, LIGHTER))
    if failure is not None and failure.kind == "no brake" and len(_brakes(scenario, failure.of)) > 1:
        return tuple(replace(failure, which=which) for which in (ONE, ALL))
    return (failure,)


def scenario_failing(scenario: Scenario, failure: Failure | None) -> Scenario:
    """The scenario with the failure's brakes or trim."""
    if failure is None:
        return scenario
    if failure.kind == "wrong trim":
        weights = dict(scenario.counterweights)
        mass = weights[failure.of].mass
        off_kg = failure.by * (mass.kg if failure.is_share else 1.0) * (1.0 if failure.which == HEAVIER else -1.0)
        weights[failure.of] = weights[failure.of].model_copy(update={"mass": Mass.of(mass.kg + off_kg, mass.origin)})
        return scenario.model_copy(update={"counterweights": weights})
    drive = scenario.drives.get(failure.of)
    if isinstance(drive, PullTeam | LoweringHand):
        return scenario.model_copy(update={"drives": {**scenario.drives, failure.of: _people_failing(drive, failure)}})
    if failure.kind in ("late brake", "weak brake", "no brake"):
        drive = scenario.drives[failure.of].model_copy(update={"brakes": _brakes_failing(scenario, failure)})
        return scenario.model_copy(update={"drives": {**scenario.drives, failure.of: drive}})
    return scenario


def rig_failing(rig: Rig, failure: Failure | None) -> Rig:
    """The rig with what the failure makes of it before anything happens.

    A point that will be lost stands still until then, with the mass that comes away; a drive whose overspeed a stop
    follows runs too fast from its first move on.
    """
    if failure is None:
        return rig
    if failure.kind == "lost point":
        sheave = rig.sheave(failure.of)
        at = sheave.point if sheave is not None else rig.anchors[failure.of]
        mass_kg = sheave.mass_kg if sheave is not None else LOST_WITH_AN_ANCHOR_KG
        if rig.point(at).start == "fixed":
            loose = [replace(p, start="held", mass_kg=mass_kg) if p.name == at else p for p in rig.points]
            return replace(rig, points=tuple(loose))
        mounted = any(spring.point == at and spring.other is None for spring in rig.springs)
        return _off_its_mount(rig, failure.of, rig.point(at), mass_kg) if mounted else rig
    if failure.from_start and rig.drive(failure.of).motion.moves:
        drives = [replace(d, motion=_too_fast(d.motion, failure)) if d.name == failure.of else d for d in rig.drives]
        return replace(rig, drives=tuple(drives))
    if failure.kind == "late team":
        drives = [replace(d, motion=d.motion.shifted(failure.by)) if d.name == failure.of else d for d in rig.drives]
        return replace(rig, drives=tuple(drives))
    return rig


def _people_failing(drive: PullTeam | LoweringHand, failure: Failure) -> PullTeam | LoweringHand:
    """People who react late, are fewer, or hold less; other failures of theirs happen during the run."""
    if failure.kind == "late team":
        late = Time.of(drive.reaction.s + failure.by, drive.reaction.origin)
        return drive.model_copy(update={"reaction": late})
    if failure.kind == "short team" and isinstance(drive, PullTeam):
        return drive.model_copy(update={"people": max(drive.people - round(failure.by), 0)})
    if failure.kind == "slipping hands":
        grip = drive.grip_each
        left_N = grip.N * (1.0 - failure.by) if failure.is_share else grip.N - failure.by
        return drive.model_copy(update={"grip_each": Force.of(max(left_N, 0.0), grip.origin)})
    return drive


def _off_its_mount(rig: Rig, name: str, mount: Point, mass_kg: float) -> Rig:
    """The rig with a mounted sheave or anchor on a point of its own, which stands still where the mount is at rest."""
    loose = f"{name}, to be lost"
    own = replace(mount, name=loose, start="held", mass_kg=mass_kg)
    lighter = [replace(p, mass_kg=p.mass_kg - mass_kg) if p is mount and rig.sheave(name) else p for p in rig.points]
    lines = [
        replace(x, route=tuple(replace(place, point=loose) if place.name == name else place for place in x.route))
        for x in rig.lines
    ]
    sheaves = [replace(s, point=loose) if s.name == name else s for s in rig.sheaves]
    anchors = {n: loose if n == name else point for n, point in rig.anchors.items()}
    return replace(rig, points=(*lighter, own), lines=tuple(lines), sheaves=tuple(sheaves), anchors=anchors)


def _too_fast(motion: Any, failure: Failure) -> Any:
    return hurried(motion, motion.start_s, failure.times_as_fast(motion.top_speed_m_s))


def _brakes(scenario: Scenario, drive: str) -> tuple[Brake, ...]:
    spec = scenario.drives[drive]
    return spec.brakes if isinstance(spec, Winch) else ()


def _brakes_failing(scenario: Scenario, failure: Failure) -> tuple[Brake, ...]:
    """Late or weak: all the brakes of the drive alike, as where they share a supply. None: the strongest, or all."""
    brakes = _brakes(scenario, failure.of)
    if failure.kind == "late brake":
        return tuple(b.model_copy(update={"delay": Time.of(b.delay.s + failure.by, b.delay.origin)}) for b in brakes)
    if failure.kind == "weak brake":
        return tuple(b for brake in brakes if (b := _weaker(scenario, brake, failure)) is not None)
    if failure.which != ONE:
        return ()
    strongest = max(range(len(brakes)), key=lambda i: brake_force_N(scenario, failure.of, brakes[i]))
    return tuple(b for i, b in enumerate(brakes) if i != strongest)


def _weaker(scenario: Scenario, brake: Brake, failure: Failure) -> Brake | None:
    """The brake with what is left of its force; None where nothing is."""
    whole_N = brake_force_N(scenario, failure.of, brake)
    left = 1.0 - (failure.by if failure.is_share else failure.by / whole_N)
    if left <= 0.0:
        return None
    if brake.force is not None:
        return brake.model_copy(update={"force": Force.of(brake.force.N * left, brake.force.origin)})
    assert brake.torque is not None
    torque = type(brake.torque).of(brake.torque.N_m * left, brake.torque.origin)
    return brake.model_copy(update={"torque": torque})


def failure_in_words(scenario: Scenario, failure: Failure, *, stopped: bool) -> str:
    """What was taken, in a sentence for the remarks of its cases."""
    of, by = failure.of, f"{100 * failure.by:g} %" if failure.is_share else f"{failure.by:g}"
    nothing = "" if stopped else " No stop follows, so no brake is asked for and this failure changes nothing."
    fast = "from its first move on, pauses included" if failure.from_start else "from the failure on"
    left = "all but the strongest come" if failure.which == ONE else "none comes"
    return {
        "parted line": f"{of} bears nothing from the failure on; its weight stays where it was, and the energy stored "
        "in it is lost.",
        "lost point": _lost_in_words(scenario, of),
        "snag": f"{of} catches at {failure.at} and does not run through it again, whatever pulls.",
        "late brake": f"All brakes of {of} come {by} s later than stated.{nothing}",
        "weak brake": f"All brakes of {of} are weaker by {by}{'' if failure.is_share else ' N each'}.{nothing}",
        "no brake": f"Of the brakes of {of} {left}.{nothing}",
        "overspeed": f"{of} runs too fast by {by}{'' if failure.is_share else ' m/s at its top speed'}, {fast}: it "
        "does its way in less time, with accelerations that grow as the square.",
        "late team": f"{of} begins all its moves {by} s late, and does what it is called to as much later.",
        "short team": f"{of} is {by} people short from the start; the others give no more than they would.",
        "slipping hands": f"Each hold of {of} is weaker by {by}{'' if failure.is_share else ' N'} from the start.",
        "let go": f"{of} holds nothing from the failure on.",
        "wrong trim": f"{of} is {failure.which} by {by}{'' if failure.is_share else ' kg'} from the start.",
    }[failure.kind]


def _lost_in_words(scenario: Scenario, of: str) -> str:
    point = scenario.sheaves.get(of) or scenario.anchors.get(of)
    if isinstance(point, Sheave) and point.carried_by is not None:
        return f"{of} comes away from {point.carried_by}; the line over it bears nothing from then on."
    before = f", and is taken to stand still until then, whatever {point.mount} gives" if point and point.mount else ""
    if of in scenario.anchors:
        return f"{of} comes away{before}, with {LOST_WITH_AN_ANCHOR_KG:g} kg on the end of its line (assumed)."
    return (
        f"{of} comes away{before}; it stays where it is on its line, which runs straight to the next place when taut."
    )
