"""What must hold, the surroundings, and how runs are made."""

from __future__ import annotations

from typing import Annotated, Literal

from sim.scenario.kinds import (
    STANDARD_GRAVITY_M_S2,
    Acceleration,
    Coordinate,
    Frequency,
    Length,
    Speed,
    Temperature,
    Time,
)
from sim.scenario.parts.fields import AboveZero, NotNegative, Plain, YesNo, at_most
from sim.scenario.parts.part import Part
from sim.scenario.parts.strength import DesignFactors


class Limits(Part):
    """What is judged. All left out: nothing is, and the file has to say `limits: none`."""

    clearance: Annotated[Length, NotNegative] | None = None
    """Least distance between body and floor, between lift-off and a planned touch-down."""
    g_load: Annotated[Plain, AboveZero] | None = None
    """Most of the force felt over weight; 1 at rest on the line."""
    g_filter: Literal["CFC 60", "none"] = "none"
    """Filter of the g history before g_load is judged (channel frequency class of SAE J211-1), or none."""
    landing_speed: Annotated[Speed, AboveZero] | None = None
    """Most speed of a planned touch-down; due where one is planned."""
    design_factor: DesignFactors | None = None
    """Least strength over force, for all elements without their own."""

    @property
    def none(self) -> bool:
        """True where `limits: none` was written."""
        asked = (self.clearance, self.g_load, self.landing_speed, self.design_factor)
        return all(limit is None for limit in asked)


class Water(Part):
    """Open water."""

    level: Coordinate
    """Height of its surface."""


class Environment(Part):
    """Surroundings."""

    temperature: Temperature = Temperature.of(20.0)
    """Of the air, and so of the lines."""
    wet: YesNo = False
    """Lines wet through."""
    gravity: Annotated[Acceleration, AboveZero] = Acceleration.of(STANDARD_GRAVITY_M_S2)
    """Acceleration of free fall."""
    water: Water | None = None
    """Open water instead of or beside a floor: clearance is from its surface; what is in it is not simulated."""


class RunSettings(Part):
    """How runs are made."""

    duration: Annotated[Time, AboveZero] | None = None
    """Left out: until the motion has died down."""
    sample_rate: Annotated[Frequency, AboveZero] = Frequency.of(2000.0)
    """Of the traces."""
    tolerance: Annotated[Plain, AboveZero, at_most(1e-2)] = 1e-6
    """Relative error the integration aims at."""
