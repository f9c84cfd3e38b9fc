"""Lines and line types written in place."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag, WrapValidator
from typing_extensions import override

from sim.scenario.kinds import Force, Length, MassPerLength, Ratio, Share, Temperature, Time, either
from sim.scenario.parts.fields import (
    AboveZero,
    AtMostWhole,
    Count,
    NotNegative,
    PercentAboveOne,
    Words,
    at_most,
    word_or_table,
)
from sim.scenario.parts.part import Part, key_at
from sim.scenario.parts.strength import Strength
from sim.scenario.refused import Refused, quoted


def _each_once(written: Any, read: Callable[[Any], Any]) -> Any:
    points = read(written)
    if len(points) < len(written):
        raise Refused("the same load twice", "each load once")
    return points


Load = Annotated[Share | Force, BeforeValidator(either(Share, Force))]
StretchCurve = Annotated[Mapping[Annotated[Load, AboveZero], Annotated[Share, AboveZero]], WrapValidator(_each_once)]
"""Load -> stretch, in rising order; loads all in percent of the type's own strength, or all as forces."""


class LineType(Part):
    """A type of line written in place instead of a name from the catalogue."""

    stretch: StretchCurve | None = None
    """Load -> stretch. One pair is a linear line; beyond the last pair the curve goes on straight."""
    stiffness_EA: Annotated[Force, AboveZero] | None = None
    """Force per strain of a linear line, instead of stretch."""
    breaking_strength: Annotated[Force, AboveZero] | None = None
    """The type's own strength: what percentages in stretch are of. Never the certificate's."""
    mass_per_length: Annotated[MassPerLength, AboveZero]
    """Of the unstretched line."""
    damping_ratio: Annotated[Ratio, NotNegative, PercentAboveOne] | None = None
    """Of the performer's bounce on the longest hang."""
    damping_time: Annotated[Time, NotNegative] | None = None
    """Ratio of the viscous to the elastic coefficient of the line itself, instead of damping_ratio."""
    damping_limit: Annotated[Share, AboveZero, AtMostWhole] = Share.of(1.0)
    """The most that damping ever is of the line's elastic tension: below 100 %, large movements are damped less."""
    fibre: Words | None = None
    """Generic name of the fibre, or wire by construction and finish."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (
        ("stretch", "stiffness_EA"),
        ("damping_ratio", "damping_time"),
    )

    @override
    def check_values(self) -> Iterator[Refused]:
        loads = [*(self.stretch or {})]
        if any(type(load) is not type(loads[0]) for load in loads):
            yield Refused("percentages and forces", "loads all in percent, or all as forces", at="stretch")
        elif loads and isinstance(loads[0], Share) and self.breaking_strength is None:
            expected = "breaking_strength of the type beside stretch (or the loads as forces)"
            yield Refused("loads in percent, but of nothing", expected, at="stretch")
        else:
            yield from self._check_rising()

    def _check_rising(self) -> Iterator[Refused]:
        pairs = [*(self.stretch or {}).items()]
        for (load, strain), (next_load, next_strain) in pairwise(pairs):
            if next_load.si <= load.si or next_strain.si <= strain.si:
                found = f"{next_load.text}: {next_strain.text} after {load.text}: {strain.text}"
                yield Refused(found, "load and stretch that both rise", at="stretch")


class Line(Strength):
    """A line from end to end, over everything it passes."""

    type: Annotated[Annotated[Words, Tag("word")] | Annotated[LineType, Tag("table")], Discriminator(word_or_table)]
    """A name from the catalogue (`stopload lines`), or a type written in place."""
    diameter: Annotated[Length, AboveZero] | None = None
    """Nominal; due with a catalogue type."""
    route: Annotated[tuple[Words, ...], Field(min_length=2)]
    """Names in order: an end, what the line passes, an end."""
    terminations: Mapping[str, Words] = {}
    """End (as named in route) -> how the line is made fast there. An end without one is not judged."""
    slack: Annotated[Length, NotNegative] | None = None
    """Line more than the straight way between its ends at the start."""
    length: Annotated[Length, AboveZero] | None = None
    """Unstretched length from end to end at the start."""
    start_tension: Annotated[Force, NotNegative] | None = None
    """Tension at the start, where several arrangements could hang."""
    elements_per_span: Annotated[Count, AboveZero, at_most(1000)] = 1
    """Pieces each span is cut into; more than one shows waves in the line."""
    condition: Literal["new", "bedded"] = "bedded"
    """Fresh from the reel, or worked in."""
    stiffness: Literal["dynamic", "static"] = "dynamic"
    """Which of the type's stretch curves is used."""
    temperature_at: Mapping[str, Temperature] = {}
    """Place of the route, or span such as `head sheave -> flyer` -> how hot the line is there; for its strength."""
    wear_allowance: Annotated[Share, NotNegative, AtMostWhole] | None = None
    """Part of the strength counted as lost to wear."""
    bending_life: Annotated[Count, AboveZero, at_most(1e12)] | None = None
    """Bends until the line is taken out of use, over such sheaves at such loads: from its maker's tests."""

    at_most_one: ClassVar[tuple[tuple[str, ...], ...]] = (("slack", "length", "start_tension"),)

    @classmethod
    @override
    def check_written(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        if isinstance(written.get("type"), str) and "diameter" not in written:
            found = f"type {quoted(written['type'])} without diameter"
            yield Refused(found, "diameter: such as 6 mm", at=key_at(written, "type"))
