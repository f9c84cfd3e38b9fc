"""The one thing every profile is: line paid out at a drive as a piecewise cubic in time.

Metres are rim travel of the drive, positive when line is paid out. Nothing here knows what the
line carries.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, overload

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Instants = Sequence[float] | NDArray[Any]

# Position may not jump by more than this at a breakpoint (metres, and again per metre of position).
POSITION_JUMP_M = 1e-9
# A stretch of motion slower than this share of the top speed is rounding, not a reversal.
REVERSAL_SHARE = 1e-9


@dataclass(frozen=True, eq=False)
class Motion:
    """Line paid out at a drive (rim travel, m, positive out) as a piecewise cubic in time.

    time_s: (n+1,) strictly increasing breakpoints.
    coefficients: (n, 4); on piece i, x(t) = sum over k of c[i, k] * (t - time_s[i])**k, in m, s.
    corner: (n+1,) bool, True where speed, acceleration or jerk jumps, so that an integrator has to
        put a step boundary there. A dense recorded trace leaves out its jerk jumps.
    label: (n+1,) texts, '' or an event such as 'move starts'.

    Before the first breakpoint the drive is at rest at c[0, 0], after the last at the end value.
    Raises ValueError when the arrays do not fit together or the position jumps.
    """

    time_s: Floats
    coefficients: Floats
    corner: NDArray[np.bool_]
    label: tuple[str, ...]

    def __post_init__(self) -> None:
        for name, kind in (("time_s", np.float64), ("coefficients", np.float64), ("corner", np.bool_)):
            array = np.array(getattr(self, name), dtype=kind, order="C")
            array.setflags(write=False)
            object.__setattr__(self, name, array)
        object.__setattr__(self, "label", tuple(self.label))
        _check(self)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Motion):
            return NotImplemented
        arrays = ("time_s", "coefficients", "corner")
        return self.label == other.label and all(np.array_equal(getattr(self, n), getattr(other, n)) for n in arrays)

    def __hash__(self) -> int:
        return hash((self.time_s.tobytes(), self.coefficients.tobytes(), self.corner.tobytes(), self.label))

    # ---- where it is --------------------------------------------------------------------------

    @overload
    def position_m(self, time_s: float) -> float: ...
    @overload
    def position_m(self, time_s: Instants) -> Floats: ...
    def position_m(self, time_s: float | Instants) -> Floats | float:
        """Line paid out, m, at each time."""
        c, tau, _ = self._local(time_s)
        return _plain(c[..., 0] + tau * (c[..., 1] + tau * (c[..., 2] + tau * c[..., 3])))

    @overload
    def speed_m_s(self, time_s: float) -> float: ...
    @overload
    def speed_m_s(self, time_s: Instants) -> Floats: ...
    def speed_m_s(self, time_s: float | Instants) -> Floats | float:
        """Signed speed of the line, m/s; at a jump the value just after it."""
        c, tau, moving = self._local(time_s)
        return _plain(np.where(moving, c[..., 1] + tau * (2 * c[..., 2] + tau * 3 * c[..., 3]), 0.0))

    @overload
    def acceleration_m_s2(self, time_s: float) -> float: ...
    @overload
    def acceleration_m_s2(self, time_s: Instants) -> Floats: ...
    def acceleration_m_s2(self, time_s: float | Instants) -> Floats | float:
        """Signed acceleration, m/s²; at a jump the value just after it."""
        c, tau, moving = self._local(time_s)
        return _plain(np.where(moving, 2 * c[..., 2] + tau * 6 * c[..., 3], 0.0))

    @overload
    def jerk_m_s3(self, time_s: float) -> float: ...
    @overload
    def jerk_m_s3(self, time_s: Instants) -> Floats: ...
    def jerk_m_s3(self, time_s: float | Instants) -> Floats | float:
        """Signed jerk, m/s³; at a jump the value just after it. Jumps of acceleration are not in it."""
        c, _, moving = self._local(time_s)
        return _plain(np.where(moving, 6 * c[..., 3], 0.0))

    def _local(self, time_s: float | Instants) -> tuple[Floats, Floats, NDArray[np.bool_]]:
        """Coefficients and local time for each instant, and whether it lies between the ends."""
        t = np.asarray(time_s, dtype=np.float64)
        piece = np.clip(np.searchsorted(self.time_s, t, side="right") - 1, 0, len(self.coefficients) - 1)
        held = np.clip(t, self.time_s[0], self.time_s[-1])
        return self.coefficients[piece], held - self.time_s[piece], (t >= self.time_s[0]) & (t < self.time_s[-1])

    # ---- what it amounts to, exactly from the polynomials -------------------------------------

    @property
    def start_s(self) -> float:
        """Time of the first breakpoint."""
        return float(self.time_s[0])

    @property
    def end_s(self) -> float:
        """Time of the last breakpoint."""
        return float(self.time_s[-1])

    @property
    def start_position_m(self) -> float:
        """Line paid out before the motion."""
        return float(self.coefficients[0, 0])

    @property
    def end_position_m(self) -> float:
        """Line paid out after the motion."""
        return float(self.position_m(self.end_s))

    @property
    def total_m(self) -> float:
        """End minus start, positive when line was paid out on the whole."""
        return self.end_position_m - self.start_position_m

    @property
    def travelled_m(self) -> float:
        """Way travelled there and back, never negative."""
        return float(np.abs(np.diff(self._position(self._edges()), axis=1)).sum())

    @property
    def lowest_position_m(self) -> float:
        """Least line paid out at any time."""
        return float(self._position(self._edges()).min())

    @property
    def highest_position_m(self) -> float:
        """Most line paid out at any time."""
        return float(self._position(self._edges()).max())

    @property
    def top_speed_m_s(self) -> float:
        """Largest speed in either direction."""
        c2, c3 = self.coefficients[:, 2], self.coefficients[:, 3]
        with np.errstate(divide="ignore", invalid="ignore"):
            vertex = _inside(-c2 / (3 * c3), self.duration_s)
        edges = np.column_stack([np.zeros_like(vertex), vertex, self.duration_s])
        return float(np.abs(self._speed(edges)).max())

    @property
    def top_acceleration_m_s2(self) -> float:
        """Largest acceleration along the direction of motion (speeding up); 0 if there is none."""
        return self._largest_along_motion(1.0)

    @property
    def top_deceleration_m_s2(self) -> float:
        """Largest acceleration against the direction of motion (slowing down); 0 if there is none."""
        return self._largest_along_motion(-1.0)

    @property
    def top_jerk_m_s3(self) -> float:
        """Largest jerk inside any piece; where acceleration jumps the jerk has no bound."""
        return float(np.abs(6 * self.coefficients[:, 3]).max())

    @property
    def duration_s(self) -> Floats:
        """(n,) length of each piece."""
        return np.diff(self.time_s)

    @property
    def moves(self) -> bool:
        """False when the drive stands still throughout."""
        return bool(np.any(self.coefficients[:, 1:]))

    def _edges(self) -> Floats:
        """(n, 4) local times that cut each piece where the motion reverses: start, reversals, end."""
        c1, c2, c3 = self.coefficients[:, 1], self.coefficients[:, 2], self.coefficients[:, 3]
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            q = -(c2 + np.copysign(np.sqrt(c2**2 - 3 * c3 * c1), c2))  # the form that does not cancel
            roots = [_inside(root, self.duration_s) for root in (q / (3 * c3), c1 / q)]
        return np.sort(np.column_stack([np.zeros_like(c1), *roots, self.duration_s]), axis=1)

    def _largest_along_motion(self, sense: float) -> float:
        edges = self._edges()
        middle_speed = self._speed((edges[:, 1:] + edges[:, :-1]) / 2)
        real = np.abs(middle_speed) > REVERSAL_SHARE * self.top_speed_m_s
        acceleration = 2 * self.coefficients[:, 2:3] + 6 * self.coefficients[:, 3:4] * edges
        # acceleration is linear in time, so its extremes lie at the edges
        both_ends = np.stack([acceleration[:, :-1], acceleration[:, 1:]])
        return float(max(0.0, np.where(real, sense * np.sign(middle_speed) * both_ends, 0.0).max()))

    def _position(self, tau: Floats) -> Floats:
        c = self.coefficients[:, :, None]
        return c[:, 0] + tau * (c[:, 1] + tau * (c[:, 2] + tau * c[:, 3]))

    def _speed(self, tau: Floats) -> Floats:
        c = self.coefficients[:, :, None]
        return c[:, 1] + tau * (2 * c[:, 2] + tau * 3 * c[:, 3])

    # ---- other motions made from it -----------------------------------------------------------

    @staticmethod
    def at_rest(position_m: float = 0.0, time_s: float = 0.0) -> Motion:
        """A drive that stands still. One piece of one second holds the place; its length means nothing."""
        return Motion(
            np.array([time_s, time_s + 1.0]), np.array([[position_m, 0.0, 0.0, 0.0]]), np.zeros(2, bool), ("", "")
        )

    def shifted(self, time_s: float = 0.0, position_m: float = 0.0) -> Motion:
        """The same motion, later by time_s and further out by position_m."""
        coefficients = self.coefficients.copy()
        coefficients[:, 0] += position_m
        return replace(self, time_s=self.time_s + time_s, coefficients=coefficients)


def _plain(values: Floats) -> Floats | float:
    return values if np.ndim(values) else float(values)


def _inside(tau: Floats, duration_s: Floats) -> Floats:
    """Local times kept where they lie inside their piece, else moved to its end."""
    return np.where((tau > 0) & (tau < duration_s), tau, duration_s)


def _check(motion: Motion) -> None:
    time_s, c = motion.time_s, motion.coefficients
    n = len(time_s) - 1
    if n < 1 or c.shape != (n, 4) or motion.corner.shape != (n + 1,) or len(motion.label) != n + 1:
        raise ValueError(
            f"a motion of {n} pieces needs coefficients ({n}, 4), {n + 1} corners and labels; "
            f"found {c.shape}, {motion.corner.shape} and {len(motion.label)}"
        )
    if not (np.isfinite(time_s).all() and np.isfinite(c).all()):
        raise ValueError("a motion holds finite numbers only")
    if not (np.diff(time_s) > 0).all():
        raise ValueError("the breakpoints of a motion must increase")
    ends = motion._position(motion.duration_s[:, None])[:-1, 0]
    jump = np.abs(ends - c[1:, 0]) > POSITION_JUMP_M * (1 + np.abs(c[1:, 0]))
    if jump.any():
        raise ValueError(f"the position jumps at {time_s[1:-1][jump][0]:.6g} s")
