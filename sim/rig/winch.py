"""A drive: follows its move exactly or as its motor or people can; without them it moves under line and brake."""

from __future__ import annotations

from dataclasses import dataclass, replace

from profiles import Motion
from sim.rig.brake import Brake
from sim.rig.hands import Hands
from sim.rig.motor import Most, Motor
from sim.rig.pull_team import LINE_IN_HAND_KG, Team


@dataclass(frozen=True)
class Winch:
    """moving_mass_kg: drum, gear and motor as felt at the line (inertia over drum radius squared), or people and line.

    motion: what it is asked to do when nothing stops it. motor: what it can give, None: whatever the motion takes.
    grip_N: what motor and brakes, or a hand, reach the moving mass through slips at this force; None: it never does.
    hands: of people, whose drive this is.
    """

    name: str
    point: str
    moving_mass_kg: float
    brakes: tuple[Brake, ...]
    motion: Motion
    motor: Motor | Team | None = None
    grip_N: float | None = None
    hands: Hands | None = None

    @property
    def loose_kg(self) -> float:
        """What moves with the line when nothing but a brake or a hand holds it: people let it go alone."""
        return LINE_IN_HAND_KG if self.hands is not None else self.moving_mass_kg

    @property
    def most(self) -> Most:
        """What reaches the moving mass at each speed: what the motor or the people give, and the grip lets through."""
        assert self.motor is not None
        most = self.motor.most
        if self.grip_N is None or self.grip_N >= most.force_N:
            return most
        return replace(most, force_N=self.grip_N, knee_m_s=most.power_W / self.grip_N)

    @property
    def brake_most_N(self) -> float | None:
        """What a brake can bring to the line; a tail made fast is no longer in anybody's grip."""
        return None if self.hands is not None else self.grip_N

    @property
    def holds(self) -> tuple[tuple[float, str], ...]:
        """Every force (N) beyond which it does not hold at rest, with its words."""
        who = "people hold" if self.hands is not None else "motor gives"
        grip = "hand lets slip at" if self.hands is not None else "grip slips at"
        motor = () if self.motor is None else ((self.motor.force_N, who),)
        grips = [x for x in (self.grip_N, self.hands.grip_N if self.hands is not None else None) if x is not None]
        return (*motor, *((most_N, grip) for most_N in grips[:1]))
