"""What a rigger is told in words: how bends count, when a line is taken out of use, what turns, what heat means."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from pydantic import TypeAdapter

from sim.results.lines import Basis
from sim.strength.data_file import parsed
from sim.strength.laws import DATA, Said
from sim.strength.line_type import LineType


@cache
def _all() -> Mapping[str, Said]:
    written = parsed((DATA / "asked.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, Said]).validate_python(written)


def told(key: str) -> Said:
    """The words under a key of asked.yaml. Raises KeyError."""
    return _all()[key]


def basis_of(what: str, said: Said) -> Basis:
    """What words rest on."""
    return Basis(what, said.source_in_words, said.status)


def retirement(entry: LineType) -> Said:
    """When a line of a type of the catalogue is taken out of use."""
    if entry.material.single_wire:
        return told("retire single wire")
    if not entry.textile:
        return told("retire wire")
    covered = any(word in entry.construction for word in ("double braid", "kernmantle", "cover"))
    return told("retire cover" if covered else "retire braid")
