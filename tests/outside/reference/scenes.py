"""The rigs as scenes: where everything is, and how long the cords are so that it hangs at rest (statics textbooks)."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from tests.outside.reference.motion import STANDING, PaidOut
from tests.outside.reference.scene import G_M_S2, STEP_S, Cord, Place, Scene, paid_out_by


def _apart(a: Place, b: Place) -> float:
    return math.dist(a, b)


def straight_drop(
    *,
    mass_kg: float,
    stretch_stiffness_N: float,
    hang_m: float,
    motion: PaidOut,
    duration_s: float,
    route_m: float = 0.0,
    step_s: float = STEP_S,
) -> Scene:
    """A performer hanging at rest below a top point, line paid out (or taken in) behind it. The cord is 'line'.

    hang_m: distance from the last point to the performer at the start; route_m: length of line between the drive and
    that point (frictionless massless sheaves in between change nothing else). Heights count from the last point.
    """
    strain = mass_kg * G_M_S2 / stretch_stiffness_N
    length = paid_out_by(motion, (hang_m + route_m) / (1.0 + strain), strain)
    through = ("drive", "top", "performer") if route_m else ("top", "performer")
    return Scene(
        {"drive": (-route_m, 0.0, 0.0), "top": (0.0, 0.0, 0.0)}, {"performer": (mass_kg, (0.0, 0.0, -hang_m))},
        {"line": Cord(stretch_stiffness_N, through, length)}, duration_s, step_s,
    )  # fmt: skip


def moving_block(
    *,
    mass_kg: float,
    stretch_stiffness_N: float,
    fixed: Mapping[str, Place],
    performer_at_m: Place,
    motion: PaidOut,
    duration_s: float,
    step_s: float = STEP_S,
) -> Scene:
    """Two to one: drive, over a fixed sheave, under a sheave on the performer, up to an anchor. The cord is 'line'.

    fixed: places of 'drive', 'head' and 'anchor'. The performer hangs at rest at the start (its place must be where it
    can: between equal sheaves, half way).
    """
    spans = [(fixed["drive"], fixed["head"]), (fixed["head"], performer_at_m), (performer_at_m, fixed["anchor"])]
    lift = sum(abs(a[2] - b[2]) / _apart(a, b) for a, b in spans[1:])
    strain = mass_kg * G_M_S2 / lift / stretch_stiffness_N
    length = paid_out_by(motion, sum(_apart(a, b) for a, b in spans) / (1.0 + strain), strain)
    cord = Cord(stretch_stiffness_N, ("drive", "head", "performer", "anchor"), length)
    return Scene(fixed, {"performer": (mass_kg, performer_at_m)}, {"line": cord}, duration_s, step_s)


def swing(
    *,
    mass_kg: float,
    stretch_stiffness_N: float,
    performer_from_top_m: Place,
    start_tension_N: float,
    duration_s: float,
    step_s: float = STEP_S,
) -> Scene:
    """A performer held aside on a straight line of given tension, let go at time 0. The cord is 'line'."""
    unstretched = math.hypot(*performer_from_top_m) / (1.0 + start_tension_N / stretch_stiffness_N)
    cord = Cord(stretch_stiffness_N, ("top", "performer"), paid_out_by(STANDING, unstretched))
    masses = {"performer": (mass_kg, performer_from_top_m)}
    return Scene({"top": (0.0, 0.0, 0.0)}, masses, {"line": cord}, duration_s, step_s)


def _shares(at: Place, tops: list[Place], weight_N: float) -> list[float]:
    """Tensions of cords to the tops that hold a weight at rest, by least squares over the three axes."""
    ways = np.array([np.subtract(top, at) / _apart(top, at) for top in tops]).T
    found, *_ = np.linalg.lstsq(ways, np.array([0.0, 0.0, weight_N]), rcond=None)
    left = ways @ found - (0.0, 0.0, weight_N)
    if np.abs(left).max() > 1e-6 * weight_N or found.min() <= 0.0:
        raise ValueError(f"it cannot hang there: {left} N are left")
    return [float(x) for x in found]


def flight(
    *,
    mass_kg: float,
    stretch_stiffness_N: float,
    heads: Mapping[str, tuple[Place, Place]],
    performer_at_m: Place,
    motions: Mapping[str, PaidOut],
    duration_s: float,
    step_s: float = STEP_S,
) -> Scene:
    """A performer on several lines, each from a winch over a head sheave; heads: line -> (winch, head sheave)."""
    tops = [head for _, head in heads.values()]
    shares = _shares(performer_at_m, tops, mass_kg * G_M_S2)
    fixed, cords = {}, {}
    for (name, (winch, head)), tension_N in zip(heads.items(), shares, strict=True):
        fixed |= {f"{name} winch": winch, f"{name} head": head}
        strain = tension_N / stretch_stiffness_N
        length = (_apart(winch, head) + _apart(head, performer_at_m)) / (1.0 + strain)
        through = (f"{name} winch", f"{name} head", "performer")
        cords[name] = Cord(stretch_stiffness_N, through, paid_out_by(motions[name], length, strain))
    return Scene(fixed, {"performer": (mass_kg, performer_at_m)}, cords, duration_s, step_s)


def bridle(
    *,
    mass_kg: float,
    apex_kg: float,
    stretch_stiffness_N: float,
    beams: Mapping[str, Place],
    apex_at_m: Place,
    drop_m: float,
    parts: str,
    parts_s: float,
    duration_s: float,
    step_s: float = STEP_S,
) -> Scene:
    """Legs from beams to an apex, the performer on a line below it; one leg parts. Cords: the legs, and 'drop'."""
    shares = _shares(apex_at_m, list(beams.values()), (mass_kg + apex_kg) * G_M_S2)
    cords = {}
    for (name, beam), tension_N in zip(beams.items(), shares, strict=True):
        length = _apart(beam, apex_at_m) / (1.0 + tension_N / stretch_stiffness_N)
        until = parts_s if name == parts else math.inf
        cords[name] = Cord(stretch_stiffness_N, (name, "apex"), paid_out_by(STANDING, length), until)
    below = (apex_at_m[0], apex_at_m[1], apex_at_m[2] - drop_m)
    length = drop_m / (1.0 + mass_kg * G_M_S2 / stretch_stiffness_N)
    cords["drop"] = Cord(stretch_stiffness_N, ("apex", "performer"), paid_out_by(STANDING, length))
    masses = {"apex": (apex_kg, apex_at_m), "performer": (mass_kg, below)}
    return Scene(beams, masses, cords, duration_s, step_s)
