"""The scenario file and what it names, read once: the objects to simulate and the bytes to keep beside the result."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command.status import Refused, unreadable
from sim.results.folder import Inputs

if TYPE_CHECKING:
    from sim.scenario import Fault, Scenario


@dataclass(frozen=True)
class ReadScenario:
    """A scenario and the bytes it was read from."""

    scenario: Scenario
    inputs: Inputs


def read_scenario(file: Path) -> ReadScenario:
    """Read and check `file`. Raises Refused with all its faults at once, or saying why it cannot be read."""
    from sim.scenario import ScenarioErrors, content_of, filled_in, read_bytes

    try:
        content = content_of(file)
        scenario = read_bytes(content, file)
        named = {name: (file.parent / name).read_bytes() for name in named_files(scenario)}
    except ScenarioErrors as errors:
        raise Refused(*_faults(file, errors.faults)) from errors
    except (OSError, UnicodeError) as trouble:
        raise unreadable(file, trouble) from trouble
    return ReadScenario(scenario, Inputs(content, filled_in(scenario), named, own_types(scenario)))


def named_files(scenario: Scenario) -> list[str]:
    """The other files a scenario names, as written in it, each once."""
    from sim.scenario.model import FollowMove

    return list(dict.fromkeys(move.follow.file for move in scenario.moves if isinstance(move, FollowMove)))


def own_types(scenario: Scenario) -> dict[str, bytes]:
    """The files of the user's own line types that a scenario uses. A fault in them is told when the rig is built."""
    from sim.strength.catalogue import OwnRecordError, own_files

    try:
        return own_files(line.type for line in scenario.lines.values() if isinstance(line.type, str))
    except (OwnRecordError, OSError):
        return {}


def _faults(file: Path, faults: tuple[Fault, ...] | list[Fault]) -> list[str]:
    number = "one fault" if len(faults) == 1 else f"{len(faults)} faults"
    return [f"{file}: {number}, nothing was run", *(f"  {fault}" for fault in faults)]


def cannot_be_built(file: Path, sentences: Iterable[str]) -> Refused:
    """What to tell of a file without fault that describes a rig which cannot be, or cannot hang as described."""
    return Refused(f"{file}: this rig cannot be built", *(f"  {sentence}" for sentence in sentences))
