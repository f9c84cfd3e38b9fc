"""Drives: what holds the end of a line and moves it. A drive may hold several lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field
from typing_extensions import override

from sim.scenario.kinds import Angle, Force, Frequency, Length, Mass, Power, Ratio, Share, Speed, Time, Torque
from sim.scenario.parts.fields import AboveZero, AtMostWhole, Count, NotNegative, Plain, Position, at_most
from sim.scenario.parts.part import Part, key_at
from sim.scenario.parts.strength import DesignFactors, Strength
from sim.scenario.refused import Refused, listed

_LIMITS_OF_A_DRIVEN_WINCH = ("force", "power", "top_speed", "bandwidth")


class Brake(Part):
    """A brake: after its delay it rises to its force within its rise, and holds by friction up to that force."""

    force: Annotated[Force, AboveZero] | None = None
    """At the line."""
    torque: Annotated[Torque, AboveZero] | None = None
    """At the drum, instead of force; needs the winch's drum_diameter."""
    delay: Annotated[Time, NotNegative]
    """From power off to the first brake force."""
    rise: Annotated[Time, NotNegative]
    """From the first brake force to the full one."""
    design_factor: DesignFactors | None = None
    """Required force of this brake alone over the force at the drum. Left out: all brakes together hold what hangs."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (("force", "torque"),)


class Winch(Strength):
    """A winch: follows its move exactly, or as its motor can."""

    kind: Literal["winch"]
    at: Position
    """Where the line leaves the drum."""
    control: Literal["exact", "driven"] = "exact"
    """Exact: follows its move until power is off. Driven: within force, power, top_speed and bandwidth."""
    moving_mass: Annotated[Mass, AboveZero]
    """Drum, gear and motor as felt at the line."""
    brakes: tuple[Brake, ...] = ()
    """Each with its own delay and rise; their forces add."""
    force: Annotated[Force, AboveZero] | None = None
    """The most a driven winch gives at the line."""
    power: Annotated[Power, AboveZero] | None = None
    """The most a driven winch gives."""
    top_speed: Annotated[Speed, AboveZero] | None = None
    """Of a driven winch, at the line."""
    bandwidth: Annotated[Frequency, AboveZero] | None = None
    """Of a driven winch's speed loop."""
    drum_diameter: Annotated[Length, AboveZero] | None = None
    """At the middle of the line on its first layer."""
    layers: Annotated[Count, AboveZero, at_most(100)] = 1
    """Of line on the drum while it works; it stays on the outermost, where a torque holds least."""
    groove: Literal["fitted", "wide", "flat"] = "fitted"
    """How the drum holds the line; a smooth drum is flat. For the reduction in strength."""
    grip: Annotated[Force, AboveZero] | None = None
    """Force at which a clutch or a rope grab slips."""

    @classmethod
    @override
    def check_written(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        driven = written.get("control") == "driven"
        missing = [key for key in _LIMITS_OF_A_DRIVEN_WINCH if key not in written]
        if driven and missing:
            expected = f"{listed(_LIMITS_OF_A_DRIVEN_WINCH, 'and')} beside it"
            yield Refused(f"control: driven without {listed(missing, 'and')}", expected, at=written["control"])
        for key in _LIMITS_OF_A_DRIVEN_WINCH:
            if not driven and key in written:
                yield Refused(f"{key} of an exact winch", "control: driven beside it", at=key_at(written, key))
        if written.get("layers", "1") != "1" and "drum_diameter" not in written:
            yield Refused("layers without drum_diameter", "drum_diameter too", at=key_at(written, "layers"))
        for brake in written.get("brakes", ()) if isinstance(written.get("brakes"), list) else ():
            if isinstance(brake, Mapping) and "torque" in brake and "drum_diameter" not in written:
                found = "torque of a brake without drum_diameter of its winch"
                yield Refused(found, "drum_diameter too", at=key_at(brake, "torque"))


class PullTeam(Strength):
    """People on a line."""

    kind: Literal["pull team"]
    at: Position
    """Where their hands are."""
    people: Annotated[Count, AboveZero, at_most(1000)]
    """How many pull."""
    force_each: Annotated[Force, AboveZero]
    """Of one person at rest; falls to nothing at top_speed."""
    top_speed: Annotated[Speed, AboveZero]
    """Of line, at no force."""
    team_loss: Annotated[Share, NotNegative, AtMostWhole] = Share.of(0.0)
    """What the team gives less than its people singly."""
    reaction: Annotated[Time, NotNegative]
    """From the call to the first change of force."""
    grip_each: Annotated[Force, AboveZero]
    """Beyond which line slips through one person's hands."""


MOST_FRICTION_TIMES_WRAP = 12.0
"""Its exponential is the load held over the force of the hand: 160,000, more than any knot (our own choice)."""


class LoweringDevice(Strength):
    """What the tail runs round: a bar, a wrap, a descender."""

    wrap: Annotated[Angle, AboveZero] | None = None
    """Angle of contact; needs friction."""
    friction: Annotated[Ratio, AboveZero, at_most(10)] | None = None
    """Coefficient of friction of the line on it."""
    holds_ratio: Annotated[Plain, AboveZero] | None = None
    """Load held over force of the hand, instead of wrap and friction."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (("wrap", "holds_ratio"),)
    at_most_one: ClassVar[tuple[tuple[str, ...], ...]] = (("friction", "holds_ratio"),)
    needs: ClassVar[Mapping[str, tuple[str, ...]]] = {"wrap": ("friction",), "friction": ("wrap",)}

    @override
    def check_values(self) -> Iterator[Refused]:
        if self.holds_ratio is not None and self.holds_ratio < 1:
            yield Refused(f"'{self.holds_ratio:g}'", "1 or more: the device helps the hand", at="holds_ratio")
        if self.friction and self.wrap and self.friction.high_si * self.wrap.high_si > MOST_FRICTION_TIMES_WRAP:
            found = f"friction times wrap of {self.friction.high_si * self.wrap.high_si:.3g}"
            yield Refused(found, f"at most {MOST_FRICTION_TIMES_WRAP:g}, which makes fast whatever pulls", at="wrap")


class LoweringHand(Strength):
    """One person who holds the tail below a friction device."""

    kind: Literal["lowering hand"]
    at: Position
    """Where the device is."""
    device: LoweringDevice
    """What the tail runs round."""
    grip_each: Annotated[Force, AboveZero]
    """Beyond which line slips through the hands."""
    reaction: Annotated[Time, NotNegative]
    """From the call to the first change of grip."""


Drive = Annotated[Winch | PullTeam | LoweringHand, Field(discriminator="kind")]
