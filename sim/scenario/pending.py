"""What the format can say and the program cannot simulate yet. Nothing of it is passed over in silence."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scenario.model import FlyMove, LoweringHand, PullTeam, Scenario, Winch


def not_simulated(scenario: Scenario) -> tuple[str, ...]:
    """What was read and checked but is not simulated yet, each as one plain sentence that names its key."""
    return (*_drives(scenario), *_moves(scenario), *_stops(scenario), *_rest(scenario))


def _drives(scenario: Scenario) -> Iterator[str]:
    for name, drive in scenario.drives.items():
        if isinstance(drive, PullTeam | LoweringHand):
            yield f"drives / {name}: a drive of kind '{drive.kind}' is not simulated yet."
        elif isinstance(drive, Winch):
            if drive.grip is not None and drive.control == "driven":
                yield f"drives / {name} / grip: a grip behind a driven winch is not simulated yet, only an exact one's."
            if drive.layers > 1:
                yield f"drives / {name} / layers: several layers on the drum are not simulated yet."


def _moves(scenario: Scenario) -> Iterator[str]:
    for number, move in enumerate(scenario.moves, 1):
        if isinstance(move, FlyMove):
            yield f"moves / {number} / fly: flying '{move.fly}' along a path is not simulated yet."


def _stops(scenario: Scenario) -> Iterator[str]:
    for stop in scenario.stops:
        if stop.hands is not None:
            yield f"stops / {stop.name} / hands: what people do with their hands is not simulated yet."
        if stop.along is not None:
            yield f"stops / {stop.name} / along: stopping along a path is not simulated yet."


def _rest(scenario: Scenario) -> Iterator[str]:
    for number, fault in enumerate(scenario.faults, 1):
        yield f"faults / {number} / {fault.kind}: single failures are not simulated yet ('{fault.of}')."
    if scenario.environment.water is not None:
        yield "environment / water: water is not simulated yet."
