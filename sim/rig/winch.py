"""A winch that follows its move exactly while it has power; without power a moving mass under line and brake."""

from __future__ import annotations

from dataclasses import dataclass

from profiles import Motion
from sim.rig.brake import Brake


@dataclass(frozen=True)
class Winch:
    """moving_mass_kg: drum, gear and motor as felt at the line (inertia over drum radius squared).

    motion: what it does when nothing stops it.
    """

    name: str
    point: str
    moving_mass_kg: float
    brakes: tuple[Brake, ...]
    motion: Motion
