"""What the format can say and the program cannot simulate yet. Nothing of it is passed over in silence."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scenario.model import Failure, Scenario


def not_simulated(scenario: Scenario) -> tuple[str, ...]:
    """What was read and checked but is not simulated yet, each as one plain sentence that names its key."""
    return tuple(_rest(scenario))


def not_yet(scenario: Scenario, fault: Failure) -> str:
    """Why a single failure is not simulated yet; '' where it is."""
    if fault.kind == "lost point":
        point = scenario.sheaves.get(fault.of) or scenario.anchors[fault.of]
        if point.at is None:
            return f"losing what is on a mount or carried is not simulated yet ('{fault.of}')"
    return ""


def _rest(scenario: Scenario) -> Iterator[str]:
    for number, fault in enumerate(scenario.faults, 1):
        if why := not_yet(scenario, fault):
            yield f"faults / {number} / {fault.kind}: {why}."
    if scenario.environment.water is not None:
        yield "environment / water: water is not simulated yet."
