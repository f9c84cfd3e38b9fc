"""Hardware: shackles, slings, swivels, rope grabs and the like."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from typing_extensions import override

from sim.scenario.kinds import Angle, Force, Length
from sim.scenario.parts.fields import AboveZero, Count, NotNegative, Words, at_most
from sim.scenario.parts.part import key_at
from sim.scenario.parts.strength import Strength
from sim.scenario.refused import Refused, quoted

_ANGLES = ("angle_between_legs", "leg_from_vertical", "leg_from_horizontal")


class Hardware(Strength):
    """Shackle, sling and the like: it bears the force of what it holds."""

    kind: Literal["shackle", "swivel", "sling", "connector", "ring", "rope grab"] | None = None
    """What it is. Only a sling has legs, only a rope grab slips on its line or damages it."""
    holds: Words
    """The line, sheave, anchor, mount, drive, junction, counterweight or performer it holds."""
    end: Words | None = None
    """Of a line: at which end, as named in its route."""
    legs: Annotated[Count, AboveZero, at_most(100)] = 1
    """Legs of a sling that share the force."""
    angle_between_legs: Annotated[Angle, NotNegative] | None = None
    """Between outer legs."""
    leg_from_vertical: Annotated[Angle, NotNegative] | None = None
    """Of each leg."""
    leg_from_horizontal: Annotated[Angle, AboveZero] | None = None
    """Of each leg."""
    leg_breaking_strength: Annotated[Force, AboveZero] | None = None
    """Of one leg, instead of breaking_strength of the whole."""
    pin_diameter: Annotated[Length, AboveZero] | None = None
    """Of the pin, bow or bar that the eye at the line's end lies on; a bare eye is bent over it, a thimble is not."""
    slips_at: Annotated[Force, AboveZero] | None = None
    """Of a rope grab: the least force at which it slips along its line."""
    damages_at: Annotated[Force, AboveZero] | None = None
    """Of a rope grab: the least force at which it damages its line."""

    at_most_one: ClassVar[tuple[tuple[str, ...], ...]] = (
        _ANGLES,
        ("leg_breaking_strength", "breaking_strength", "working_load_limit", "allowed_force"),
    )

    needs: ClassVar[Mapping[str, tuple[str, ...]]] = {"pin_diameter": ("end",)}

    @classmethod
    @override
    def check_written(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        kind = written.get("kind")
        for key in ("slips_at", "damages_at"):
            if key in written and kind != "rope grab":
                yield Refused(f"{key} of no rope grab", "kind: rope grab beside it", at=key_at(written, key))
        if "pin_diameter" in written and kind in ("rope grab", "sling"):
            yield Refused(
                f"pin_diameter of a {kind}", "no pin_diameter: no eye lies on it", at=key_at(written, "pin_diameter")
            )

    @override
    def check_values(self) -> Iterator[Refused]:
        angles = (self.angle_between_legs, self.leg_from_vertical, self.leg_from_horizontal)
        if self.legs > 1 and not any(angles):
            yield Refused(f"{self.legs} legs without an angle", "angle_between_legs, or leg_from_vertical", at="legs")
        if self.legs > 1 and self.kind not in (None, "sling"):
            yield Refused(f"{self.legs} legs of a {self.kind}", "kind: sling", at="legs")
        if self.legs == 1 and any(angles):
            yield Refused("an angle of one leg", "legs: 2 or more beside it")
        for angle, key, most in zip(angles, _ANGLES, (180, 90, 90), strict=True):
            if angle is not None and angle.high_si > math.radians(most):
                yield Refused(quoted(angle.text), f"at most {most} deg", at=key)
