"""Moves: what drives are asked to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag
from typing_extensions import override

from sim.scenario.kinds import Acceleration, Frequency, Jerk, Length, Speed, Time
from sim.scenario.parts.fields import AboveZero, NotNegative, Position, Words
from sim.scenario.parts.part import Part, key_at
from sim.scenario.refused import Refused, nearest_word, quoted

Names = Annotated[tuple[Words, ...], Field(min_length=1)]


class DriveMove(Part):
    """What all moves of drives share."""

    drive: Words | None = None
    """The drive that moves."""
    drives: Names | None = None
    """Several drives that move alike, instead of drive."""
    start: Annotated[Time, NotNegative] = Time.of(0.0)
    """When it begins."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (("drive", "drives"),)

    @property
    def drive_names(self) -> tuple[str, ...]:
        """The drives that move, one or several."""
        return (self.drive,) if self.drive is not None else (self.drives or ())


class LineMove(DriveMove):
    """Line paid out or taken in at a drive: up to speed, and to rest again."""

    pay_out: Annotated[Length, AboveZero] | None = None
    """Of line, at the drive."""
    take_in: Annotated[Length, AboveZero] | None = None
    """Of line, at the drive."""
    speed: Annotated[Speed, AboveZero]
    """Of line, that the move tries to reach."""
    acceleration: Annotated[Acceleration, AboveZero]
    """Up to speed."""
    slow_down_in: Annotated[Length, AboveZero] | None = None
    """Line within which the move comes to rest; part of pay_out or take_in."""
    deceleration: Annotated[Acceleration, AboveZero] | None = None
    """To rest, instead of slow_down_in."""
    jerk: Annotated[Jerk, AboveZero] | None = None
    """Rate of change of acceleration; left out: unlimited."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (("pay_out", "take_in"), ("slow_down_in", "deceleration"))

    @override
    def check_values(self) -> Iterator[Refused]:
        total = self.pay_out or self.take_in
        if total and self.slow_down_in and self.slow_down_in.si >= total.si:
            expected = f"less than the whole move of {total.text}"
            yield Refused(quoted(self.slow_down_in.text), expected, at="slow_down_in")


def _read_smooth(written: Any) -> Any:
    if written == "none":
        return written
    if isinstance(written, str) and not any(c.isdigit() for c in written):
        raise Refused(quoted(written), "a frequency such as 8 Hz, or none", nearest_word(written, ["none"]))
    return Frequency.read(written)


class TraceFile(Part):
    """A recorded motion: columns time_s and paid_out_m or paid_out_ft."""

    file: Words
    """Path relative to the scenario file, in its folder or below."""
    smooth: Annotated[Annotated[Frequency, AboveZero] | Literal["none"], BeforeValidator(_read_smooth)]
    """Corner frequency of the smoothing, or none."""


class FollowMove(DriveMove):
    """A drive that follows a recorded motion; the record's time counts from start."""

    follow: TraceFile
    """The record."""


class FlyMove(Part):
    """A performer flown along a path by several drives; line lengths follow from unstretched geometry."""

    fly: Words
    """The performer."""
    drives: Names
    """The drives whose lines end on the performer."""
    through: Annotated[tuple[Position, ...], Field(min_length=1)]
    """Positions of the suspension point after the first, in order."""
    start: Annotated[Time, NotNegative] = Time.of(0.0)
    """When it begins."""
    speed: Annotated[Speed, AboveZero]
    """Along the path."""
    acceleration: Annotated[Acceleration, AboveZero]
    """Along the path, up to speed and to rest."""
    jerk: Annotated[Jerk, AboveZero] | None = None
    """Rate of change of acceleration; left out: unlimited."""

    @property
    def drive_names(self) -> tuple[str, ...]:
        """The drives that move."""
        return self.drives

    @classmethod
    @override
    def check_written(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        if isinstance(written.get("drives"), list) and len(set(map(str, written["drives"]))) < len(written["drives"]):
            yield Refused("a drive twice", "each drive once", at=key_at(written, "drives"))


def _sort_of_move(written: Any) -> str:
    """Which model reads this move: by the key that only it has."""
    if isinstance(written, Mapping):
        return next((key for key in ("fly", "follow") if key in written), "line")
    return {FlyMove: "fly", FollowMove: "follow"}.get(type(written), "line")


Move = Annotated[
    Annotated[LineMove, Tag("line")] | Annotated[FollowMove, Tag("follow")] | Annotated[FlyMove, Tag("fly")],
    Discriminator(_sort_of_move),
]
