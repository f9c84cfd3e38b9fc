"""Drives moved by people: a pull team, a lowering hand; every assumption about them written down."""

from __future__ import annotations

from profiles import Motion
from sim.build.parts import Parts
from sim.rig.hands import TIES_OFF_IN_S, Hands, capstan_ratio
from sim.rig.pull_team import LINE_IN_HAND_KG, PERSON_KG, STOPS_AT_M_S2, Team, team_force_N
from sim.rig.winch import Winch
from sim.scenario.model import LoweringHand, PullTeam

# Less way than this is rounding, not line taken in.
TAKES_IN_M = 1e-6


def people(name: str, spec: PullTeam | LoweringHand, motion: Motion, parts: Parts) -> Winch:
    """The drive of a pull team or a lowering hand."""
    return _team(name, spec, motion, parts) if isinstance(spec, PullTeam) else _hand(name, spec, motion, parts)


def _team(name: str, spec: PullTeam, motion: Motion, parts: Parts) -> Winch:
    force_N = team_force_N(spec.people, spec.force_each.N, spec.team_loss.ratio)
    hands = Hands(spec.people * spec.grip_each.N, spec.reaction.s)
    parts.assume(
        f"{name}: {spec.people} people give {force_N:.0f} N together, at rest and paying out, less the faster they "
        f"take in, nearly in a straight line, and nothing at {spec.top_speed.m_s:.3g} m/s; they only pull."
    )
    parts.assume(
        f"{name}: {PERSON_KG:g} kg each walk with the line and {LINE_IN_HAND_KG:g} kg of line in hand (assumed); they "
        f"keep to their move as people do, a fraction of a second late, make up for no way they lose, and stop at "
        f"{STOPS_AT_M_S2:g} m/s2 (assumed)."
    )
    parts.assume(
        f"{name}: beyond {hands.grip_N:.0f} N line runs out through the hands, which then stand and hold with that "
        f"friction and do not go on with the move; called to lock off, they make the tail fast, which "
        f"takes {TIES_OFF_IN_S:g} s (assumed)."
    )
    if "top speed reached" in motion.label:
        parts.assume(f"{name}: its moves ask for more than its top speed and are held at it, so they end short.")
    mass_kg = spec.people * PERSON_KG + LINE_IN_HAND_KG
    return Winch(name, name, mass_kg, (), motion, Team(force_N, spec.top_speed.m_s), hands=hands)


def _hand(name: str, spec: LoweringHand, motion: Motion, parts: Parts) -> Winch:
    if motion.travelled_m > motion.total_m + TAKES_IN_M:
        parts.sentences.append(f"{name}: its moves take line in; below a friction device a hand only lets line out.")
    device = spec.device
    if device.holds_ratio is not None:
        ratio = device.holds_ratio
    else:
        assert device.friction is not None
        assert device.wrap is not None
        ratio = capstan_ratio(device.friction.ratio, device.wrap.rad)
    hands = Hands(ratio * spec.grip_each.N, spec.reaction.s, below_device=True)
    parts.assume(
        f"{name}: device and hand hold {ratio:.2f} times the hand's force, at most {hands.grip_N:.0f} N at the line; "
        f"below that the hand lets line out just as its move asks, above it line slips through the hand."
    )
    parts.assume(
        f"{name}: {LINE_IN_HAND_KG:g} kg of line moves with the hand (assumed); called to hold, the hand closes "
        f"at once after its reaction, the hardest stop it can make; called to lock off, it makes the tail fast as "
        f"well, which takes {TIES_OFF_IN_S:g} s (assumed) and does not slip, whatever pulls."
    )
    return Winch(name, name, LINE_IN_HAND_KG, (), motion, grip_N=hands.grip_N, hands=hands)
