"""A line with mass hanging from a drive with a performer below, lowered at a speed and brought to rest: what is asked.

In the packages the drive's end of the line stands still and everything else is seen from it: while the drive slows down
at a rate d, each mass weighs m (g + d) (mechanics textbooks, accelerated frames), and before and after m g.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
G_M_S2 = 9.80665


@dataclass(frozen=True)
class HangingLine:
    """EA (N), kg/m and m of unstretched line, performer's kg; lowered at a speed, stopped within a time from 0."""

    stretch_stiffness_N: float
    mass_kg_m: float
    length_m: float
    performer_kg: float
    speed_m_s: float
    stop_s: float
    duration_s: float
    pieces: int
    step_s: float

    def weight_m_s2(self, time_s: float) -> float:
        """What a kilogram weighs as seen from the drive, N."""
        return G_M_S2 + (self.speed_m_s / self.stop_s if time_s < self.stop_s else 0.0)

    def strain(self, from_top_m: float) -> float:
        """Strain at rest at an unstretched distance below the drive."""
        carried = self.performer_kg + self.mass_kg_m * (self.length_m - from_top_m)
        return carried * G_M_S2 / self.stretch_stiffness_N

    def sunk_m(self, from_top_m: float) -> float:
        """How far a point of the line hangs below its unstretched place, at rest."""
        own = self.mass_kg_m * (self.length_m * from_top_m - 0.5 * from_top_m**2)
        return (self.performer_kg * from_top_m + own) * G_M_S2 / self.stretch_stiffness_N

    @property
    def transit_s(self) -> float:
        """Time of a front from end to end."""
        return self.length_m * float(np.sqrt(self.mass_kg_m / self.stretch_stiffness_N))


@dataclass(frozen=True)
class Forces:
    """Force of the line on the performer and on the drive, N, at every step."""

    time_s: Floats
    performer_N: Floats
    drive_N: Floats
