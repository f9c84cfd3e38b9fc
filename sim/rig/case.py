"""A case: what the drives do, when power goes and which brakes follow. The rig does not change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from profiles import Motion
from sim.results.model import Event
from sim.rig.failure import Failure


@dataclass(frozen=True)
class PowerOff:
    """From time_s the drive runs free under its brakes: pieces (start s, force N, slope N/s), the first at time_s."""

    time_s: float
    brake: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, eq=False)
class Case:
    """One run's orders. motions: every drive's; power_off: which lose power, and when. known: by the clock."""

    name: str
    kind: str
    motions: Mapping[str, Motion]
    power_off: Mapping[str, PowerOff] = field(default_factory=dict)
    stop_time_s: float | None = None
    stopped_drives: tuple[str, ...] = ()
    known: tuple[Event, ...] = ()
    last_action_s: float = 0.0
    during: bool = False
    """Whether a stop was under way already when this one came."""
    failure: Failure | None = None
    """What fails at stop_time_s, if anything does then."""
