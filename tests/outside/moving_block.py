"""The moving block that outside models are held against: two to one, lowered and stopped."""

from __future__ import annotations

from tests.outside import rigs
from tests.outside.reference.motion import trapezoid
from tests.outside.straight_drop import MASS_KG, STIFFNESS_N

BLOCK = {"drive": (-5.0, 0.0, 0.0), "head": (0.0, 0.0, 12.0), "anchor": (0.4, 0.0, 12.0)}
FLYER = (0.2, 0.0, 8.0)
END_S = 1.4
LOWERED = trapezoid(0.2, 4.0, 3.0, 6.0, 6.0).stopped(1.0, 60.0)
SPANS = ("winch -> head", "head -> block", "block -> anchor")


def block_text(inertia_kg_m2: float) -> str:
    """The scenario, both sheaves of this inertia; its stop is called 'stop'."""
    return rigs.scenario(
        performers={"flyer": rigs.performer(MASS_KG, rigs.at(*FLYER))},
        lines={"line": rigs.line(STIFFNESS_N, ["winch", "head", "block", "anchor"])},
        sheaves={
            "head": rigs.sheave(rigs.at(*BLOCK["head"]), inertia_kg_m2=inertia_kg_m2),
            "block": rigs.sheave(carried_by="flyer", inertia_kg_m2=inertia_kg_m2),
        },
        anchors={"anchor": rigs.anchor(*BLOCK["anchor"])},
        drives={"winch": rigs.winch(rigs.at(*BLOCK["drive"]))},
        moves=[rigs.move(4.0, 3.0, 6.0, 6.0, start_s=0.2)],
        stops=[{"name": "stop", "category": "2", "when": "1 s", "deceleration": "60 m/s^2"}],
        duration_s=END_S,
    )
