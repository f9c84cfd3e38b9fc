"""Splices counted in fids: `splice of 2.5 fids with thimble`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

import numpy as np
from pydantic import TypeAdapter
from pydantic.dataclasses import dataclass

from sim.strength.data_file import parsed
from sim.strength.fibres import Group
from sim.strength.laws import DATA, STRICT, Sourced, Status, source_text

HOW_WRITTEN = "splice of 3 fids with thimble"
"""An example, for messages; any number of fids, with or without thimble."""

_WRITTEN = re.compile(r"splice of (\d+(?:\.\d+)?) fids?( with thimble)?")


class SpliceTooShort(ValueError):
    """A splice shorter than any whose strength is known."""


@dataclass(frozen=True, config=STRICT)
class Splice:
    """Efficiency by the length buried, in fids."""

    fids: Mapping[float, float]
    source: str
    status: Status

    def at(self, fids: float) -> Sourced:
        """Efficiency with this many fids buried. Raises SpliceTooShort below the first point."""
        lengths, values = list(self.fids), list(self.fids.values())
        if fids < lengths[0]:
            raise SpliceTooShort(
                f"a splice of {fids:g} fids is shorter than any whose strength is known ({lengths[0]:g})"
            )
        value = float(np.interp(fids, lengths, values))
        return Sourced(value, value * 0.85, min(1.0, value * 1.1), source_text(self.source), self.status)


def counted_with_thimble(word: str) -> bool:
    """Whether the word is a splice given in fids, with a thimble."""
    written = _WRITTEN.fullmatch(word)
    return written is not None and written[2] is not None


@cache
def splices() -> Mapping[str, Mapping[str, Splice]]:
    """By group of material, 'with thimble' or 'bare'."""
    written = parsed((DATA / "splices.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, dict[str, Splice]]).validate_python(written)


def is_counted(word: str) -> bool:
    """Whether the word is a splice given in fids."""
    return _WRITTEN.fullmatch(word) is not None


def splice(word: str, group: Group) -> Sourced | None:
    """Efficiency of a splice given in fids, None where the word is none or the material is not spliced so.

    Where the material is unstated the lowest holds. Raises SpliceTooShort.
    """
    written = _WRITTEN.fullmatch(word)
    if written is None:
        return None
    fids, how = float(written[1]), "with thimble" if written[2] else "bare"
    groups = list(splices()) if group == "unstated" else [group]
    found = [splices()[each][how].at(fids) for each in groups if each in splices()]
    return min(found, key=lambda each: each.value, default=None)
