"""The whole scenario as one frozen model. Everything beyond the reader takes it from here.

Attribute names are the format's keys (a space in a key becomes an underscore); elements keep the names they were given.
A quantity's SI value stands under its unit: `scenario.performers["lamplighter"].mass.kg`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, JsonValue, PrivateAttr

from sim.scenario.kinds import Coordinate
from sim.scenario.parts.drives import Drive, LoweringDevice, LoweringHand, PullTeam, Winch
from sim.scenario.parts.fields import AboveZero, Count
from sim.scenario.parts.hardware import Hardware
from sim.scenario.parts.limits import Environment, Limits, RunSettings
from sim.scenario.parts.lines import Line, LineType
from sim.scenario.parts.moves import DriveMove, FlyMove, FollowMove, LineMove, Move
from sim.scenario.parts.part import Part
from sim.scenario.parts.performers import Harness, HarnessPoint, LaggingBody, Performer
from sim.scenario.parts.sheaves import Anchor, Counterweight, Junction, Mount, Sheave
from sim.scenario.parts.stops import Failure, Stop
from sim.scenario.parts.strength import DesignFactor, Strength
from sim.scenario.refused import Refused, nearest_word, quoted

__all__ = [
    "Anchor",
    "Counterweight",
    "DesignFactor",
    "Drive",
    "DriveMove",
    "Environment",
    "Failure",
    "FlyMove",
    "FollowMove",
    "Hardware",
    "Harness",
    "HarnessPoint",
    "Junction",
    "LaggingBody",
    "Limits",
    "Line",
    "LineMove",
    "LineType",
    "LoweringDevice",
    "LoweringHand",
    "Mount",
    "Move",
    "Note",
    "Performer",
    "PullTeam",
    "RunSettings",
    "Scenario",
    "Sheave",
    "Source",
    "Stop",
    "Strength",
    "Winch",
]

SECTIONS: Mapping[str, tuple[type[Part], ...]] = {
    "performers": (Performer,),
    "lines": (Line,),
    "sheaves": (Sheave,),
    "hardware": (Hardware,),
    "drives": (Winch, PullTeam, LoweringHand),
    "mounts": (Mount,),
    "anchors": (Anchor,),
    "junctions": (Junction,),
    "counterweights": (Counterweight,),
}
"""The sections whose keys are names of elements, and the models of those elements."""


@dataclass(frozen=True)
class Note:
    """A `notes` text and the keys that lead to the table it stands in (list places count from 0)."""

    where: tuple[str | int, ...]
    text: str


@dataclass(frozen=True)
class Source:
    """Where a scenario came from: the file (None for a text), its name in messages, and its very text."""

    name: str = "scenario"
    text: str = ""
    path: Path | None = None
    notes: tuple[Note, ...] = ()


MAY_BE_NONE = ("stops", "limits")
"""Sections that are due, and that may be the word none."""


def _list_or_none(written: Any) -> Any:
    return _none_as(written, (), "a list, or the word none")


def _table_or_none(written: Any) -> Any:
    return _none_as(written, {}, "a table, or the word none")


def _none_as(written: Any, nothing: Any, expected: str) -> Any:
    """The written word `none` as an empty collection; an empty collection itself says nothing and is refused."""
    if isinstance(written, str):
        if written != "none":
            raise Refused(quoted(written), expected, nearest_word(written, ["none"]))
        return nothing
    if isinstance(written, dict | list) and not written:
        raise Refused("nothing", f"{expected}, written out", "none")
    return written


_Stops = Literal["none"] | Annotated[tuple[Stop, ...], Field(min_length=1)]


class Scenario(Part):
    """A rig, what it is asked to do, and what must hold."""

    title: Annotated[str, Field(min_length=1)]
    """What the rig does, for people."""
    revision: str = ""
    """Of this description."""
    prepared_by: str = ""
    """Who answers for this description."""
    environment: Environment = Environment()
    """Surroundings."""
    floor: Coordinate | None = None
    """Height of the floor; left out: there is none."""
    performers: Annotated[Mapping[str, Performer], Field(min_length=1)]
    """Performers by name."""
    lines: Annotated[Mapping[str, Line], Field(min_length=1)]
    """Lines by name."""
    sheaves: Mapping[str, Sheave] = {}
    """Sheaves, bars and carabiners by name."""
    hardware: Mapping[str, Hardware] = {}
    """Shackles, slings and the like by name."""
    drives: Mapping[str, Drive] = {}
    """Winches, pull teams and lowering hands by name."""
    mounts: Mapping[str, Mount] = {}
    """Trusses, crane jibs: what gives under load, by name."""
    anchors: Mapping[str, Anchor] = {}
    """Where lines end for good, by name."""
    junctions: Mapping[str, Junction] = {}
    """Where several lines meet, by name."""
    counterweights: Mapping[str, Counterweight] = {}
    """Counterweights by name."""
    moves: tuple[Move, ...] = ()
    """What drives are asked to do."""
    moves_per_season: Annotated[Count, AboveZero] | None = None
    """How often the moves are done in a season, rehearsals counted; for bends."""
    stops: Annotated[tuple[Stop, ...], BeforeValidator(_list_or_none, json_schema_input_type=_Stops)]
    """Due: a list, or the word none (then empty)."""
    faults: tuple[Failure, ...] = ()
    """Single failures to look at."""
    limits: Annotated[Limits, BeforeValidator(_table_or_none, json_schema_input_type=Literal["none"] | Limits)]
    """Due: a table, or the word none (then `limits.none`)."""
    run: RunSettings = RunSettings()
    """How runs are made."""
    compare: Mapping[str, Mapping[str, JsonValue]] = {}
    """Case name -> the keys it changes, as written. `compare_cases` gives the changed scenarios."""

    _source: Source = PrivateAttr(default=Source())

    @property
    def source_text(self) -> str:
        """The file's text as read, '' for a scenario made by code."""
        return self._source.text

    @property
    def path(self) -> Path | None:
        """The file it was read from; trace files are named relative to its folder."""
        return self._source.path

    @property
    def source_name(self) -> str:
        """What messages call the file."""
        return self._source.name

    @property
    def notes(self) -> tuple[Note, ...]:
        """All `notes` of the file and where they stand."""
        return self._source.notes

    def with_source(self, source: Source) -> Scenario:
        """The same scenario, known to come from there."""
        copy = self.model_copy()
        copy._source = source
        return copy

    def elements(self) -> Iterator[tuple[str, str, Part]]:
        """(section, name, model) of every named element."""
        for section in SECTIONS:
            for name, element in getattr(self, section).items():
                yield section, name, element
