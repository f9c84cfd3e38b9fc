"""What a library's integrator is given: a rig's equations, smooth between known times and changes of state."""

from __future__ import annotations

from abc import ABC, abstractmethod
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.outside.reference.motion import PaidOut

Floats = NDArray[np.float64]


def piece(motion: PaidOut, time_s: float) -> tuple[float, float]:
    """Speed and acceleration of a motion from a time on."""
    corners = zip(motion.corner_s, motion.speed_m_s, strict=True)
    for (t0, v0), (t1, v1) in pairwise(corners):
        if t0 <= time_s < t1:
            acceleration = (v1 - v0) / (t1 - t0)
            return v0 + acceleration * (time_s - t0), acceleration
    return 0.0, 0.0


def paid_out_m(motion: PaidOut, time_s: Floats) -> Floats:
    """Line paid out at many times."""
    out = np.zeros_like(time_s)
    corners = zip(motion.corner_s, motion.speed_m_s, strict=True)
    for (t0, v0), (t1, v1) in pairwise(corners):
        if t1 > t0:
            share = np.clip(time_s - t0, 0.0, t1 - t0)
            out += share * (v0 + 0.5 * (v1 - v0) / (t1 - t0) * share)
    return out


class Problem(ABC):
    """One rig in one set of equations; `begin` before every leg. Each object belongs to one run at a time.

    scale: what the performer's weight does to each state; a tolerance of 1e-6 allows a millionth of it, which is how
    this program weighs errors too.
    """

    start: Floats
    scale: Floats
    corner_s: tuple[float, ...]
    end_s: float
    lines: tuple[str, ...]
    contacts: int = 0

    @abstractmethod
    def begin(self, time_s: float, y: Floats) -> None:
        """Take the pieces of motion, and the states of what rubs, that hold from here on; may set speeds."""

    @abstractmethod
    def compiled(self) -> tuple[Any, tuple[Any, ...]]:
        """The compiled rates and what follows (t, y, out) in a call of them."""

    @abstractmethod
    def numpy_rates(self, time_s: float, y: Floats) -> Floats:
        """The same rates in numpy, as written by hand."""

    @abstractmethod
    def tensions_N(self, time_s: Floats, y: Floats) -> Floats:
        """Tensions (lines, n) of states (states, n)."""

    @abstractmethod
    def height_m(self, y: Floats) -> Floats:
        """Height of the performer of states (states, n), as the scene counts it."""

    def margins(self, time_s: float, y: Floats, *, in_numpy: bool) -> Floats:
        """One for each contact: falls through zero where its state ends."""
        raise NotImplementedError

    def ended(self, contact: int, y: Floats) -> None:
        """What becomes of the state where a contact's state has ended."""
        raise NotImplementedError
