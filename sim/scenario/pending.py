"""What the format can say and the program cannot simulate yet. Nothing of it is passed over in silence."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scenario.model import Failure, LoweringHand, PullTeam, Scenario, Winch


def not_simulated(scenario: Scenario) -> tuple[str, ...]:
    """What was read and checked but is not simulated yet, each as one plain sentence that names its key."""
    return (*_drives(scenario), *_stops(scenario), *_rest(scenario))


def not_yet(scenario: Scenario, fault: Failure) -> str:
    """Why a single failure is not simulated yet; '' where it is."""
    drive = scenario.drives.get(fault.of)
    if isinstance(drive, PullTeam | LoweringHand):
        return f"what fails of a drive moved by people is not simulated yet ('{fault.of}')"
    if fault.kind == "lost point":
        point = scenario.sheaves.get(fault.of) or scenario.anchors[fault.of]
        if point.at is None:
            return f"losing what is on a mount or carried is not simulated yet ('{fault.of}')"
    follows = next((stop for stop in scenario.stops if stop.name == fault.then), None)
    if follows is not None and follows.category is None:
        return f"what people do with their hands is not simulated yet ('{fault.then}')"
    return ""


def _drives(scenario: Scenario) -> Iterator[str]:
    for name, drive in scenario.drives.items():
        if isinstance(drive, PullTeam | LoweringHand):
            yield f"drives / {name}: a drive of kind '{drive.kind}' is not simulated yet."
        elif isinstance(drive, Winch):
            if drive.grip is not None and drive.control == "driven":
                yield f"drives / {name} / grip: a grip behind a driven winch is not simulated yet, only an exact one's."
            if drive.layers > 1:
                yield f"drives / {name} / layers: several layers on the drum are not simulated yet."


def _stops(scenario: Scenario) -> Iterator[str]:
    for stop in scenario.stops:
        if stop.hands is not None:
            yield f"stops / {stop.name} / hands: what people do with their hands is not simulated yet."


def _rest(scenario: Scenario) -> Iterator[str]:
    for number, fault in enumerate(scenario.faults, 1):
        if why := not_yet(scenario, fault):
            yield f"faults / {number} / {fault.kind}: {why}."
    if scenario.environment.water is not None:
        yield "environment / water: water is not simulated yet."
