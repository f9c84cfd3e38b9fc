"""Hands on a line: how hard they hold, how late they react, and what they do when a stop is called.

A lowering hand holds the tail below a friction device (Euler and Eytelwein): while line slides out, or is about to,

    T_line = T_hand e^(mu beta)

so the grip of one hand holds the ratio times as much. Usual friction of line on a device 0.1 to 0.3 (rope handbooks,
value from memory); grip and reaction as in sim.rig.pull_team. Below that force the hand lets line out as its move asks;
above it, line slips through the hand. Line in hand is fed into the device without force when the line above is slack.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Order = Literal["hold", "lock off", "let go"]

# A tail made fast does not slip; what it is made fast to is not judged.
MADE_FAST_N = 1e6
# A turn and a hitch on a cleat, from holding still to made fast (assumed).
TIES_OFF_IN_S = 2.0


@dataclass(frozen=True)
class Hands:
    """grip_N: at the line, beyond which it slips through them; reaction_s: from the call to the first change."""

    grip_N: float
    reaction_s: float
    below_device: bool = False


def capstan_ratio(friction: float, wrap_rad: float) -> float:
    """Load held over force of the hand: e^(mu beta) (Euler and Eytelwein)."""
    return math.exp(friction * wrap_rad)


def holding(order: Order, grip_N: float, from_s: float) -> tuple[tuple[float, float, float], ...]:
    """What hands hold at the line from a time on, as dry friction: pieces as of brakes (start s, force N, rise N/s)."""
    held = (from_s, 0.0 if order == "let go" else grip_N, 0.0)
    return (held, (from_s + TIES_OFF_IN_S, MADE_FAST_N, 0.0)) if order == "lock off" else (held,)
