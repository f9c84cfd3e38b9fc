"""The flight on two lines that outside models are held against: one winch stops while the other goes on."""

from __future__ import annotations

from tests.outside import rigs
from tests.outside.reference.motion import trapezoid

STIFFNESS_N, MASS_KG = 300e3, 80.0
HEADS = {"left": ((-6.0, -2.0, 0.0), (-5.0, -2.0, 9.0)), "right": ((8.0, 2.0, 1.0), (6.0, 1.5, 10.0))}
"""Line -> winch and head sheave; the performer starts in the upright plane through both head sheaves, askew to x."""
START = (-1.15, -0.775, 5.0)
FLIGHT_S = 1.2
FLOWN = {
    "left": trapezoid(0.3, 2.0, 3.0, 6.0, 6.0).stopped(0.8, 40.0),
    "right": trapezoid(0.3, -3.0, 3.0, 6.0, 6.0),
}


def flight_text(inertia_kg_m2: float) -> str:
    """The scenario, both head sheaves of this inertia; its stop is called 'left stops'."""
    stop = {"name": "left stops", "category": "2", "when": "0.8 s", "deceleration": "40 m/s^2"}
    return rigs.scenario(
        performers={"flyer": rigs.performer(MASS_KG, rigs.at(*START))},
        lines={name: rigs.line(STIFFNESS_N, [f"{name} winch", f"{name} head", "flyer"]) for name in HEADS},
        sheaves={
            f"{name} head": rigs.sheave(rigs.at(*at), inertia_kg_m2=inertia_kg_m2) for name, (_, at) in HEADS.items()
        },
        drives={f"{name} winch": rigs.winch(rigs.at(*at)) for name, (at, _) in HEADS.items()},
        moves=[
            rigs.move(2.0, 3.0, 6.0, 6.0, start_s=0.3, drive="left winch"),
            rigs.move(-3.0, 3.0, 6.0, 6.0, start_s=0.3, drive="right winch"),
        ],
        stops=[stop | {"drives": ["left winch"]}],
        duration_s=FLIGHT_S,
    )
