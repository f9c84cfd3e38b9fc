"""What the format can say and the program cannot simulate yet. Nothing of it is passed over in silence."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scenario.model import Scenario


def not_simulated(scenario: Scenario) -> tuple[str, ...]:
    """What was read and checked but is not simulated yet, each as one plain sentence that names its key."""
    return tuple(_pending(scenario))


def _pending(scenario: Scenario) -> Iterator[str]:
    if scenario.environment.water is not None:
        yield "environment / water: water is not simulated yet."
