"""A brake: nothing until its delay is over, then rising to its force; dry friction of that capacity."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Brake:
    """force_N at the line; delay_s from power off to first contact; rise_s from there to full force."""

    force_N: float
    delay_s: float
    rise_s: float

    @property
    def closed_s(self) -> float:
        """Time from power off to full force."""
        return self.delay_s + self.rise_s


def capacity(brakes: Sequence[Brake], power_off_s: float) -> tuple[tuple[float, float, float], ...]:
    """All brakes together after power off: pieces (start s, force N at the start, slope N/s), from power off on."""
    corners = sorted({0.0, *(b.delay_s for b in brakes), *(b.closed_s for b in brakes)})
    pieces = []
    for at in corners:
        force, slope = 0.0, 0.0
        for b in brakes:
            if at >= b.closed_s:
                force += b.force_N
            elif at >= b.delay_s:
                force += b.force_N * (at - b.delay_s) / b.rise_s
                slope += b.force_N / b.rise_s
        pieces.append((power_off_s + at, force, slope))
    return tuple(pieces)


def applied(brakes: Sequence[Brake], closed_s: float) -> tuple[tuple[float, float, float], ...]:
    """All brakes fully on from closed_s."""
    return ((closed_s, sum(b.force_N for b in brakes), 0.0),)
