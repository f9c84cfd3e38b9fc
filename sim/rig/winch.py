"""A winch: follows its move exactly or as its motor can; without power it is a moving mass under line and brake."""

from __future__ import annotations

from dataclasses import dataclass

from profiles import Motion
from sim.rig.brake import Brake
from sim.rig.motor import Motor


@dataclass(frozen=True)
class Winch:
    """moving_mass_kg: drum, gear and motor as felt at the line (inertia over drum radius squared).

    motion: what it is asked to do when nothing stops it. motor: what it can give, None: whatever the motion takes.
    grip_N: what motor and brakes reach the moving mass through slips at this force; None: it never does.
    """

    name: str
    point: str
    moving_mass_kg: float
    brakes: tuple[Brake, ...]
    motion: Motion
    motor: Motor | None = None
    grip_N: float | None = None
