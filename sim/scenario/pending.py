"""What the format can say and the program cannot simulate yet. Nothing of it is passed over in silence."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scenario.model import Scenario
from sim.scenario.water import places_under, surface_m

IN_WATER = "environment / water"
"""Begins every sentence on what is in the water and is run as if it were in air."""


def not_simulated(scenario: Scenario) -> tuple[str, ...]:
    """What was read and checked but is not simulated yet, each as one plain sentence that names its key."""
    return tuple(_pending(scenario))


def _pending(scenario: Scenario) -> Iterator[str]:
    """Water counts where it is below everything. What is in it is run without its lift and its drag."""
    level = surface_m(scenario)
    if level is None:
        return
    for name in scenario.lines:
        under = places_under(scenario, name)
        if under:
            yield (
                f"{IN_WATER}: {name} runs under water at {', '.join(under)}; what the water lifts and drags of it is "
                "not simulated."
            )
    for name, performer in scenario.performers.items():
        below = performer.body_below.m if performer.body_below is not None else 0.0
        if performer.at[2].m - below < level:
            yield f"{IN_WATER}: {name} starts in it; what the water lifts, drags and slams of a body is not simulated."
    for name, weight in scenario.counterweights.items():
        if weight.at[2].m < level:
            yield f"{IN_WATER}: {name} starts in it; what the water lifts and drags of it is not simulated."
