"""Stops, and single failures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Field
from typing_extensions import override

from sim.scenario.kinds import Acceleration, Force, Jerk, Mass, Ratio, Share, Speed, Time, either
from sim.scenario.parts.fields import AboveZero, NotNegative, When, Words
from sim.scenario.parts.moves import Names
from sim.scenario.parts.part import Part, key_at
from sim.scenario.refused import Refused, listed, quoted

MOVES_GO_ON = "moves go on"


def _read_category(written: Any) -> Any:
    if not isinstance(written, str):
        return written
    if written.strip() not in ("0", "1", "2"):
        raise Refused(quoted(written), "0 (power off), 1 (slowed, then power off) or 2 (slowed and held)")
    return int(written)


Category = Annotated[Literal[0, 1, 2], BeforeValidator(_read_category, json_schema_input_type=Literal[0, 1, 2])]


class Stop(Part):
    """A stop: category 0, 1 or 2 as in IEC 60204-1, or what people do with their hands."""

    name: Words
    """Of the case."""
    category: Category | None = None
    """0 power off and brake; 1 slowed, then power off and brake; 2 slowed and held, always a working case."""
    hands: Literal["hold", "lock off", "let go"] | None = None
    """Of people: what they do, instead of category."""
    when: When
    """One instant, or every instant from the first move's start until the motion has died down."""
    drives: Names | None = None
    """Which drives stop; left out: all that can, people with hands and winches with a category."""
    deceleration: Annotated[Acceleration, AboveZero] | None = None
    """Of line, in categories 1 and 2."""
    jerk: Annotated[Jerk, AboveZero] | None = None
    """Rate of change of that deceleration; left out: unlimited."""
    along: Literal["path"] | None = None
    """Of a flown path: stop along it, instead of each drive for itself."""
    during: Words | None = None
    """The stop, at one instant, that is under way already when this one comes."""
    restart_after: Annotated[Time, NotNegative] | None = None
    """In categories 1 and 2: how long the drives stand before they go on to where their moves would have ended."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (("category", "hands"),)

    @classmethod
    @override
    def check_written(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        category = written.get("category")
        if category in ("1", "2") and "deceleration" not in written:
            yield Refused(f"category {category} without deceleration", "deceleration: such as 12 m/s^2", at=category)
        for key in ("deceleration", "jerk", "along", "restart_after"):
            if key in written and (category == "0" or (category is None and "hands" in written)):
                of = "category 0" if category else "hands"
                yield Refused(f"{key} with {of}", f"{key} only with category 1 or 2", at=key_at(written, key))


class Snag(Part):
    """A line that catches at a sheave."""

    line: Words
    """Which line."""
    sheave: Words
    """Where it catches."""


By = Annotated[
    Time | Speed | Force | Mass | Share | Ratio, BeforeValidator(either(Time, Speed, Force, Mass, Share, Ratio))
]


class Failure(Part):
    """One single failure (an entry of `faults`): exactly one of the kinds, how much, when, and what happens then."""

    parted_line: Words | None = Field(default=None, alias="parted line")
    """A line that parts."""
    lost_point: Words | None = Field(default=None, alias="lost point")
    """A sheave or an anchor that comes away."""
    snag: Snag | None = None
    """A line that catches at a sheave."""
    late_brake: Words | None = Field(default=None, alias="late brake")
    """A drive whose brake comes late; by: a time."""
    weak_brake: Words | None = Field(default=None, alias="weak brake")
    """A drive whose brake is weak; by: a percentage or a force."""
    no_brake: Words | None = Field(default=None, alias="no brake")
    """A drive whose brake does not come."""
    overspeed: Words | None = None
    """A drive that runs too fast; by: a percentage or a speed."""
    late_team: Words | None = Field(default=None, alias="late team")
    """A pull team that reacts late; by: a time."""
    short_team: Words | None = Field(default=None, alias="short team")
    """A pull team short of people; by: how many."""
    slipping_hands: Words | None = Field(default=None, alias="slipping hands")
    """A pull team or lowering hand whose grip is weak; by: a percentage or a force."""
    let_go: Words | None = Field(default=None, alias="let go")
    """A pull team or lowering hand that lets go."""
    wrong_trim: Words | None = Field(default=None, alias="wrong trim")
    """A counterweight of the wrong mass; by: a mass or a percentage."""
    by: By | None = None
    """How much, where the kind has a measure."""
    when: When
    """One instant, or every instant."""
    then: Words = MOVES_GO_ON
    """The moves go on, or the stop of this name follows at once."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (
        (
            "parted line",
            "lost point",
            "snag",
            "late brake",
            "weak brake",
            "no brake",
            "overspeed",
            "late team",
            "short team",
            "slipping hands",
            "let go",
            "wrong trim",
        ),
    )
    measures: ClassVar[Mapping[str, tuple[type, ...]]] = {
        "late brake": (Time,),
        "weak brake": (Share, Force),
        "overspeed": (Share, Speed),
        "late team": (Time,),
        "short team": (Ratio,),
        "slipping hands": (Share, Force),
        "wrong trim": (Mass, Share),
    }
    """Kind of failure -> what `by` may be. Kinds not named here take no `by`."""

    @property
    def kind(self) -> str:
        """Which failure it is, in the words of the file."""
        return next(key for key in self.exactly_one[0] if getattr(self, key.replace(" ", "_")) is not None)

    @property
    def of(self) -> str:
        """The element that fails."""
        value = getattr(self, self.kind.replace(" ", "_"))
        return value.line if isinstance(value, Snag) else value

    @classmethod
    @override
    def check_written(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        kind = next((key for key in cls.exactly_one[0] if key in written), None)
        if kind is None:
            return
        if kind in cls.measures and "by" not in written:
            yield Refused(f"{kind} without by", f"by: {_measure(cls.measures[kind])}", at=key_at(written, kind))
        if kind not in cls.measures and "by" in written:
            yield Refused(f"by with {kind}", f"no by: {kind} has no measure", at=key_at(written, "by"))

    @override
    def check_values(self) -> Iterator[Refused]:
        kinds = self.measures.get(self.kind)
        if kinds and self.by is not None and type(self.by) not in kinds:
            yield Refused(quoted(self.by.text), f"{self.kind} by {_measure(kinds)}", at="by")
        elif self.kind == "short team" and self.by is not None and (self.by.si < 1 or self.by.si % 1):
            yield Refused(quoted(self.by.text), "a whole number of people", at="by")


def _measure(kinds: tuple[type, ...]) -> str:
    return listed("how many people" if kind is Ratio else kind.kind for kind in kinds)
