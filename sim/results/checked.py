"""What `stopload check` states about a scenario without simulating it: what each move really does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class CheckedFlight:
    """A flown path as it is really flown. speed, acceleration and deceleration are magnitudes along the path;
    acceleration_in_space counts its bends, too. end_m: the last place of the suspension point (x, y, z)."""

    performer: str
    start_s: float
    end_s: float
    length_m: float
    top_speed_m_s: float
    top_acceleration_m_s2: float
    top_deceleration_m_s2: float
    acceleration_in_space_m_s2: float
    end_m: tuple[float, float, float]


@dataclass(frozen=True)
class CheckedMove:
    """One move as its drive really makes it, read off the motion's polynomials; lengths are of line at the drive.

    distance_m is positive paying out and negative taking in. top_speed_m_s, top_acceleration_m_s2 and
    top_deceleration_m_s2 are magnitudes really reached, which a short move keeps below what was asked for.
    performer_end_height_m: for each performer, the height of its suspension point at rest after this move and those
    before it, from unstretched geometry.
    """

    drive: str
    start_s: float
    end_s: float
    distance_m: float
    top_speed_m_s: float
    top_acceleration_m_s2: float
    top_deceleration_m_s2: float
    performer_end_height_m: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class CheckedGround:
    """A performer who comes nearer to the floor or the water as planned than is asked, on lines that do not stretch.

    clearance_m: from the lowest part of the body; below 0 is in the water. asked_m: None where no clearance is asked.
    end_s: when the move ends, or the flight on whose path it is; drive: whose move, '' for a flight.
    """

    performer: str
    drive: str
    end_s: float
    ground: str
    clearance_m: float
    asked_m: float | None
