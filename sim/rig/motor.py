"""The motor of a driven winch: what it can give, and the speed loop that asks it for that."""

from __future__ import annotations

import math
from dataclasses import dataclass

# At this many times its natural frequency w the answer of a critically damped proportional-integral speed loop,
# (2 w s + w^2)/(s + w)^2, has fallen by 3 dB: (1 + 4 u)/(1 + u)^2 = 1/2 at u = 3 + sqrt(10).
BANDWIDTH_OF_NATURAL = math.sqrt(3.0 + math.sqrt(10.0))


@dataclass(frozen=True)
class Motor:
    """force_N: the most at the line, either way; power_W: the most, driving or braking; top_speed_m_s: asked of it.

    bandwidth_Hz: where the loop's answer to the speed asked has fallen by 3 dB, with nothing on the line.
    """

    force_N: float
    power_W: float
    top_speed_m_s: float
    bandwidth_Hz: float

    @property
    def loop_rad_s(self) -> float:
        """Natural frequency of the loop."""
        return 2.0 * math.pi * self.bandwidth_Hz / BANDWIDTH_OF_NATURAL

    def gain_N_s_per_m(self, moving_mass_kg: float) -> float:
        """Proportional gain that damps the loop critically on the drive's own moving mass: 2 m w."""
        return 2.0 * moving_mass_kg * self.loop_rad_s
