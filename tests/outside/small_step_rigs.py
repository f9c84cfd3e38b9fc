"""What the checks in small fixed steps share: brakes, stops, straps, the text of a sheave, and the comparison."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from sim.results.model import Run
from tests.outside.accuracy.rows import Agrees, apart
from tests.outside.reference.motion import PaidOut
from tests.outside.reference.plain_rig import Rope
from tests.outside.reference.small_steps import Floats
from tests.outside.rigs import G

SMALL_STEPS = apart("Newton's law in fixed steps of 10 microseconds, massless springs, dry friction by projection")
PLAIN, BALL = 0.12 * 0.30, 0.002 * 0.15
"""Journal friction of the bearings: friction times pin over tread diameter."""
LINE = "mass_per_length: 0.01 g/m"


def braked(off_s: float, *brakes: tuple[float, float, float]) -> Callable[[float], float]:
    """Force of brakes (N, delay s, rise s) over time."""

    def force_N(t: float) -> float:
        return sum(f * min(max((t - off_s - delay) / max(rise, 1e-9), 0.0), 1.0) for f, delay, rise in brakes)

    return force_N


def slowed(move: PaidOut, at_s: float, rate_m_s2: float) -> tuple[Callable[[float], float], float]:
    """A speed over time that is slowed down from an instant on, and when it stands."""
    from_m_s = move.speed(at_s)

    def speed(t: float) -> float:
        left = max(abs(from_m_s) - rate_m_s2 * (t - at_s), 0.0)
        return move.speed(t) if t <= at_s else float(np.copysign(left, from_m_s))

    return speed, at_s + abs(from_m_s) / rate_m_s2


def strapped(mass_kg: float, stiffness: float, ratio: float, below_m: float = 1.2) -> tuple[float, Rope]:
    """How far the body hangs under the hook at rest, as README's model has it, and the strap as a rope."""
    weight = mass_kg * G
    rest = max(0.5 * below_m, 2.0 * weight / stiffness, 0.3)
    length = rest - weight / stiffness
    tau = 2.0 * ratio / np.sqrt(stiffness / mass_kg)
    return rest, Rope(("flyer", "body"), stiffness * length, tau, weight, length_m=length)


def compare(agrees: Agrees, case: str, found: Run, theirs: Mapping[str, Floats], allowed: float = 3e-3) -> None:
    """Peaks of every span of line, and where the performers are at the end."""
    for name, pull in theirs.items():
        if f"tension_N:{name}" in found.trace.columns:
            agrees(f"{case}: peak, {name}", SMALL_STEPS, found.case.peaks[name].force_N, pull.max(), allowed, "N")
    for who in found.case.performers:
        ours = np.interp(theirs["time_s"][-1], found.trace.time_s, found.trace.columns[f"height_m:{who}"])
        agrees(f"{case}: {who} at the end", SMALL_STEPS, ours, theirs[f"z:{who}"][-1], unit="m", allowed_abs=0.005)


def sheave(at: str, kg: float, bearing: str, bending: float) -> str:
    """A sheave as a file has it; bending in per cent."""
    return f"{{{at}, tread_diameter: 120 mm, mass: {kg} kg, bearing: {bearing}, bending_loss: {bending} %}}"
