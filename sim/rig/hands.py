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


@dataclass(frozen=True)
class Hands:
    """grip_N: at the line, beyond which it slips through them; reaction_s: from the call to the first change."""

    grip_N: float
    reaction_s: float
    below_device: bool = False


def capstan_ratio(friction: float, wrap_rad: float) -> float:
    """Load held over force of the hand: e^(mu beta) (Euler and Eytelwein)."""
    return math.exp(friction * wrap_rad)


def held_N(order: Order, grip_N: float) -> float:
    """What hands hold at the line, as dry friction, once they have done what was called."""
    return {"hold": grip_N, "lock off": MADE_FAST_N, "let go": 0.0}[order]
