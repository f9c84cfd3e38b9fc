"""When a line is taken out of use: how bends count, and what the catalogue says to look for, by kind of line."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from pydantic import TypeAdapter

from sim.strength.data_file import parsed
from sim.strength.laws import DATA, Said
from sim.strength.line_type import LineType


@cache
def _said() -> Mapping[str, Said]:
    written = parsed((DATA / "retirement.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, Said]).validate_python(written)


def retirement(entry: LineType) -> Said:
    """The words for a type of the catalogue."""
    if entry.material.single_wire:
        return _said()["single"]
    if not entry.textile:
        return _said()["wire"]
    covered = any(word in entry.construction for word in ("double braid", "kernmantle", "cover"))
    return _said()["cover" if covered else "braid"]


def counting() -> Said:
    """How bends are counted, in words."""
    return _said()["counting"]
