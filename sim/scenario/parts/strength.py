"""What an element can bear, in the three ways it is written on certificates and tags."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar

from pydantic import BeforeValidator

from sim.scenario.kinds import Force
from sim.scenario.number import read_plain_number
from sim.scenario.parts.fields import AboveZero, Plain
from sim.scenario.parts.part import Part


class DesignFactor(Part):
    """Required strength over force, for the static, the working and the emergency load. Left out: not asked."""

    static: Annotated[Plain, AboveZero] | None = None
    """On the force at rest."""
    working: Annotated[Plain, AboveZero] | None = None
    """On the peak of any working case: the planned moves and category 2 stops."""
    emergency: Annotated[Plain, AboveZero] | None = None
    """On the peak of any emergency case: category 0 and 1 stops and faults."""


def _same_for_all(written: Any) -> Any:
    """A single number stands for all three."""
    if not isinstance(written, str):
        return written
    read_plain_number(written)
    return {"static": written, "working": written, "emergency": written}


DesignFactors = Annotated[
    DesignFactor, BeforeValidator(_same_for_all, json_schema_input_type=float | str | DesignFactor)
]


class Strength(Part):
    """The keys by which any element states what it can bear. None of them: the element is not judged."""

    breaking_strength: Annotated[Force, AboveZero] | None = None
    """Minimum breaking strength."""
    working_load_limit: Annotated[Force, AboveZero] | None = None
    """As marked on the piece; breaking strength is this times marked_factor."""
    marked_factor: Annotated[Plain, AboveZero] | None = None
    """The factor between breaking strength and working load limit that the piece is marked or sold with."""
    allowed_force: Annotated[Force, AboveZero] | None = None
    """A force that must not be exceeded; no factor is applied to it."""
    design_factor: DesignFactors | None = None
    """This element's own required design factors, instead of those in limits."""

    at_most_one: ClassVar[tuple[tuple[str, ...], ...]] = (("breaking_strength", "working_load_limit", "allowed_force"),)
    needs: ClassVar[Mapping[str, tuple[str, ...]]] = {
        "working_load_limit": ("marked_factor",),
        "marked_factor": ("working_load_limit",),
    }
