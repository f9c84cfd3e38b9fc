"""The two general-purpose packages that whole rigs are held against, by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tests.outside.accuracy.rows import Source, package
from tests.outside.reference import multibody, physics_engine
from tests.outside.reference.line_with_mass import Forces, HangingLine
from tests.outside.reference.scene import CounterweightHistory, Histories, Scene


@dataclass(frozen=True)
class Package:
    """What it can play, and as what it stands on the accuracy page."""

    name: str
    cords: Source
    """Where a line is a massless spring that only pulls."""
    masses: Source
    """Where a line has mass."""
    play: Callable[[Scene], Histories]
    counterweight: Callable[..., CounterweightHistory]
    hanging_line: Callable[[HangingLine], Forces]


MUJOCO = Package(
    "MuJoCo",
    package("MuJoCo, tendons that only pull"),
    package("MuJoCo, bodies in a row with tendons between"),
    physics_engine.play,
    physics_engine.counterweight,
    physics_engine.hanging_line,
)
EXUDYN = Package(
    "Exudyn",
    package("Exudyn, reeving systems of springs"),
    package("Exudyn, cable finite elements"),
    multibody.play,
    multibody.counterweight,
    multibody.hanging_line,
)
BOTH = (MUJOCO, EXUDYN)
