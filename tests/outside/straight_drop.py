"""The straight drop that several outside models are held against: a winch, two sheaves, a performer lowered 8.4 m."""

from __future__ import annotations

from typing import Any

import numpy as np

from tests.outside import rigs
from tests.outside.reference.motion import trapezoid

LEAD, HEAD, WINCH = (0.0, 12.6), (14.0, 12.6), (0.0, 0.4)
"""Places (x, z), m."""
BELOW_M = 1.6
"""The performer's start below the head sheave."""
ROUTE_M = float(np.hypot(*np.subtract(LEAD, WINCH)) + np.hypot(*np.subtract(HEAD, LEAD)))
STIFFNESS_N, MASS_KG = 400e3, 84.0
DROP = trapezoid(0.5, 8.4, 6.0, 5.0, 8.0)
DROP_MOVE = rigs.move(8.4, 6.0, 5.0, 8.0, start_s=0.5)
STOP_S = 1.8
SLOWED = {"name": "stop", "category": "2", "when": rigs.of(STOP_S, "s"), "deceleration": "60 m/s^2"}
PERFORMER_SPAN = "tension_N:line:head -> flyer"


def sheaves(**kind: Any) -> dict[str, Any]:
    """Both sheaves, of one kind."""
    return {name: rigs.sheave(rigs.at(x, 0, z), **kind) for name, (x, z) in (("lead", LEAD), ("head", HEAD))}


def drop_text(both: dict[str, Any], stops: list[dict[str, Any]], brakes: list[dict[str, Any]], end_s: float) -> str:
    """The scenario with these sheaves, stops and brakes."""
    return rigs.scenario(
        performers={"flyer": rigs.performer(MASS_KG, rigs.at(HEAD[0], 0, HEAD[1] - BELOW_M))},
        lines={"line": rigs.line(STIFFNESS_N, ["winch", "lead", "head", "flyer"])},
        sheaves=both,
        drives={"winch": rigs.winch(rigs.at(WINCH[0], 0, WINCH[1]), brakes=brakes)},
        moves=[DROP_MOVE],
        stops=stops,
        duration_s=end_s,
    )
