"""A sheave, or a bar that does not turn."""

from __future__ import annotations

from dataclasses import dataclass

from sim.rig.line import Material

# Friction of a bearing on its pin, and the pin over the tread diameter, where a scenario only names the bearing.
# Rolling bearing 0.0015 to 0.003, plain bush 0.06 to 0.12 (bearing handbooks, value from memory), pin of a rolling
# bearing assumed. A plain bearing takes the upper end and the pin that the lead-line factor of 1.09 asks for, of which
# the rope's own bending is 1.5 % (Wire Rope Users Manual, 4th ed., Wire Rope Technical Board).
BEARINGS = {"ball": (0.002, 0.15), "roller": (0.003, 0.15), "plain": (0.12, 0.30)}


@dataclass(frozen=True)
class Sheave:
    """One sheave: where it sits and what it costs to turn it.

    inertia_mass_kg: inertia over tread radius squared; half the mass of a disc of the tread diameter.
    bearing: friction coefficient times pin over tread diameter; acts on the resultant of legs and sheave's weight.
    bending: part of the mean tension lost in bending the line on and off; None: the line's own.
    bar: friction coefficient of a bar that does not turn (Euler and Eytelwein), 0 for a sheave that turns.
    """

    name: str
    point: str
    inertia_mass_kg: float
    bearing: float
    bending: float | None
    bar: float
    mass_kg: float
    tread_diameter_m: float


def disc_inertia_mass_kg(mass_kg: float) -> float:
    """Inertia over radius squared of a uniform disc, kg (any dynamics textbook: I = m R^2 / 2)."""
    return 0.5 * mass_kg


def bending_loss(sheave: Sheave, material: Material) -> float:
    """Part of the mean tension lost at a sheave: what the sheave states, else the line's own; a bar has none."""
    if sheave.bar > 0.0:
        return 0.0
    return material.bending_loss if sheave.bending is None else sheave.bending
