"""What a drive under power can give at each speed; the motor of a winch, and the speed loop that asks it for that."""

from __future__ import annotations

import math
from dataclasses import dataclass

# At this many times its natural frequency w the answer of a critically damped proportional-integral speed loop,
# (2 w s + w^2)/(s + w)^2, has fallen by 3 dB: (1 + 4 u)/(1 + u)^2 = 1/2 at u = 3 + sqrt(10).
BANDWIDTH_OF_NATURAL = math.sqrt(3.0 + math.sqrt(10.0))


@dataclass(frozen=True)
class Most:
    """The most a drive gives at a speed: force_N up to the knee, beyond it power_W / (speed + shift_m_s) - drop_N.

    A motor's power limit and what people give are both this hyperbola. pulls_only: of people, who only pull; speed
    then counts taking in, so paying out they hold with force_N.
    """

    force_N: float
    knee_m_s: float
    power_W: float
    shift_m_s: float = 0.0
    drop_N: float = 0.0
    pulls_only: bool = False

    def at_N(self, speed_m_s: float) -> float:
        """Force at a speed; of people the speed at which they take in, negative paying out."""
        counted = speed_m_s if self.pulls_only else abs(speed_m_s)
        if counted <= self.knee_m_s:
            return self.force_N
        return max(self.power_W / (counted + self.shift_m_s) - self.drop_N, 0.0)


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
    def most(self) -> Most:
        """Its force at each speed."""
        return Most(self.force_N, self.power_W / self.force_N, self.power_W)

    @property
    def loop_rad_s(self) -> float:
        """Natural frequency of the loop."""
        return 2.0 * math.pi * self.bandwidth_Hz / BANDWIDTH_OF_NATURAL

    def gain_N_s_per_m(self, moving_mass_kg: float) -> float:
        """Proportional gain that damps the loop critically on the drive's own moving mass: 2 m w."""
        return 2.0 * moving_mass_kg * self.loop_rad_s
