"""A brake: nothing until its delay is over, then rising to its force; dry friction of that capacity."""

from __future__ import annotations

import math
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


def at_most(
    pieces: Sequence[tuple[float, float, float]], most_N: float | None
) -> tuple[tuple[float, float, float], ...]:
    """The same pieces, cut off at a force that slips before; None: as they are."""
    if most_N is None:
        return tuple(pieces)
    out: list[tuple[float, float, float]] = []
    for i, (start_s, force_N, slope) in enumerate(pieces):
        if force_N >= most_N:
            out.append((start_s, most_N, 0.0))
            continue
        out.append((start_s, force_N, slope))
        end_s = pieces[i + 1][0] if i + 1 < len(pieces) else math.inf
        if slope > 0.0 and (met_s := start_s + (most_N - force_N) / slope) < end_s:
            out.append((met_s, most_N, 0.0))
    return tuple(out)
