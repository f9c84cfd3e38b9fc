"""What lines pass or are tied to: sheaves, bars, mounts, anchors, junctions, counterweights."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Discriminator, Tag
from typing_extensions import override

from sim.scenario.kinds import Inertia, Length, Mass, Ratio, Share, Stiffness, Time
from sim.scenario.parts.fields import (
    AboveZero,
    AtMostWhole,
    NotNegative,
    PercentAboveOne,
    Position,
    Words,
    YesNo,
    at_most,
    word_or_table,
)
from sim.scenario.parts.part import Part, key_at
from sim.scenario.parts.performers import Start
from sim.scenario.parts.strength import Strength
from sim.scenario.refused import Refused


class BearingFriction(Part):
    """A bearing by its own figures."""

    friction: Annotated[Ratio, NotNegative, PercentAboveOne]
    """Coefficient of friction on the pin."""
    pin_diameter: Annotated[Length, AboveZero]
    """Where that friction acts."""


class Sheave(Strength):
    """A sheave or, with `turns: no`, a bar or a carabiner. Fixed, on a mount, or carried by something that moves."""

    at: Position | None = None
    """Where it stands."""
    mount: Words | None = None
    """The mount it hangs on, instead of at."""
    carried_by: Words | None = None
    """Performer, counterweight or junction that carries it, instead of at: a moving block."""
    offset: Position | None = None
    """From the carrier's or the mount's position."""
    tread_diameter: Annotated[Length, AboveZero] | None = None
    """Where the line lies; of a bar or a carabiner, its own diameter. Due where it turns."""
    mass: Annotated[Mass, NotNegative] = Mass.of(0.0)
    """Of a disc of the tread diameter."""
    inertia: Annotated[Inertia, NotNegative] | None = None
    """About the pin, instead of a disc's."""
    bearing: Annotated[
        Annotated[Literal["ball", "roller", "plain"], Tag("word")] | Annotated[BearingFriction, Tag("table")],
        Discriminator(word_or_table),
    ] = "ball"
    """By its sort, or by its figures."""
    bending_loss: Annotated[Share, NotNegative, AtMostWhole] | None = None
    """Loss of the line in bending on and off, of its tension; left out: the line type's own."""
    groove: Literal["fitted", "wide", "flat"] = "fitted"
    """How the groove holds the line; for the reduction in strength."""
    turns: YesNo = True
    """No: a bar or a carabiner that the line slides over."""
    line_friction: Annotated[Ratio, NotNegative, at_most(10)] | None = None
    """Coefficient of friction of the line on something that does not turn."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (("at", "mount", "carried_by"),)
    at_most_one: ClassVar[tuple[tuple[str, ...], ...]] = (("at", "offset"),)

    @classmethod
    @override
    def check_written(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        still = str(written.get("turns", "yes")).casefold() in ("no", "false")
        if still and "line_friction" not in written:
            at = key_at(written, "turns")
            yield Refused("turns: no without line_friction", "line_friction: such as 0.2", at=at)
        if not still and "line_friction" in written:
            at = key_at(written, "line_friction")
            yield Refused("line_friction of a sheave that turns", "turns: no beside line_friction", at=at)
        if not still and "tread_diameter" not in written:
            yield Refused("no tread_diameter", "tread_diameter: such as 120 mm")


class Mount(Strength):
    """What sheaves and anchors hang on where it gives: a truss, a crane jib."""

    at: Position
    """Where it is under load at the start."""
    stiffness: Annotated[Stiffness, AboveZero]
    """Force per displacement, the same in all directions."""
    mass: Annotated[Mass, AboveZero]
    """That moves with it."""
    damping_ratio: Annotated[Ratio, NotNegative, PercentAboveOne]
    """Of the mount's mass on its stiffness."""


class Anchor(Strength):
    """A place where a line ends."""

    at: Position | None = None
    """Where it stands."""
    mount: Words | None = None
    """The mount it is on, instead of at."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (("at", "mount"),)


class Junction(Strength):
    """A place where several lines meet and end: a bridle's apex."""

    at: Position
    """At the start; a starting guess where its legs have lengths."""
    mass: Annotated[Mass, AboveZero]
    """Of ring, shackles and the like."""


class Counterweight(Strength):
    """A weight on a line, guided or free."""

    mass: Annotated[Mass, AboveZero]
    """Of weight and carriage."""
    at: Position
    """At the start."""
    start: Start = "hanging"
    """At rest on its line; standing on the floor; or held until release."""
    release: Annotated[Time, NotNegative] | None = None
    """When a held counterweight is let go."""
    guide: Literal["vertical", "none"] = "vertical"
    """Along which it may move."""

    @classmethod
    @override
    def check_written(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        held = written.get("start") == "held"
        if held != ("release" in written):
            found = "start: held without release" if held else "release without start: held"
            yield Refused(found, "start: held and release together", at=key_at(written, "start" if held else "release"))
