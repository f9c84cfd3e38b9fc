"""Performers: body, harness, how they start."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Discriminator, Tag
from typing_extensions import override

from sim.scenario.kinds import Area, Coordinate, Frequency, Length, Mass, Ratio, Share, Stiffness, Time
from sim.scenario.parts.fields import (
    AboveZero,
    AtMostWhole,
    NotNegative,
    PercentAboveOne,
    Position,
    word_or_table,
)
from sim.scenario.parts.part import Part, key_at
from sim.scenario.parts.strength import Strength
from sim.scenario.refused import Refused, nearest_word, quoted

Start = Literal["hanging", "standing", "held"]
BODY_BELOW_UNSAID_M = 1.2
"""From suspension point to lowest part of the body where nobody said, m (common practice, no source)."""


class HarnessPoint(Strength):
    """One point of the harness that lines may end at. The body does not rotate."""

    offset: Position
    """From the performer's suspension point `at`."""


def _read_stiffness(written: Any) -> Any:
    if written == "rigid":
        return written
    if isinstance(written, str) and not any(c.isdigit() for c in written):
        expected = "a stiffness such as 45 kN/m, or rigid"
        raise Refused(quoted(written), expected, nearest_word(written, ["rigid"]))
    return Stiffness.read(written)


class Harness(Strength):
    """The strap between suspension point and body. `harness: rigid` is the same as `harness: {stiffness: rigid}`."""

    stiffness: Annotated[Annotated[Stiffness, AboveZero] | Literal["rigid"], BeforeValidator(_read_stiffness)]
    """Force per stretch between suspension point and body; `rigid` gives the upper bound of force."""
    damping_ratio: Annotated[Ratio, NotNegative, PercentAboveOne] = Ratio.of(0.0)
    """Of the body on the harness alone."""
    points: Mapping[str, HarnessPoint] = {}
    """Harness points by name; a route may end at one as at a performer."""

    @property
    def rigid(self) -> bool:
        """True where body and suspension point are one."""
        return isinstance(self.stiffness, str)


class LaggingBody(Part):
    """A body of two masses: the torso, and a part of the whole that lags behind it on a spring and damper."""

    lagging_mass: Annotated[Share, AboveZero, AtMostWhole]
    """Share of the performer's mass that lags."""
    frequency: Annotated[Frequency, AboveZero]
    """Of the lagging mass with the torso held still."""
    damping_ratio: Annotated[Ratio, NotNegative, PercentAboveOne]
    """Of the lagging mass with the torso held still."""

    @override
    def check_values(self) -> Iterator[Refused]:
        if self.lagging_mass.high_si >= 1:
            yield Refused(quoted(self.lagging_mass.text), "less than the whole body", at="lagging_mass")


class Platform(Part):
    """What a standing performer stands on."""

    height: Coordinate
    """Of its top, in the coordinates of the file."""


class Release(Strength):
    """What holds a held performer and lets go: a release and what it hangs on, as one."""


def _read_harness(written: Any) -> Any:
    if not isinstance(written, str):
        return written
    if written != "rigid":
        raise Refused(quoted(written), "rigid, or a table with stiffness", nearest_word(written, ["rigid"]))
    return {"stiffness": written}


class Performer(Part):
    """One performer, on whom one or several lines end."""

    mass: Annotated[Mass, AboveZero]
    """With costume and harness, without hook_mass."""
    at: Position
    """Suspension point at the start."""
    body_below: Annotated[Length, NotNegative] | None = None
    """From the suspension point down to the lowest part of the body; due where clearance or landing is judged."""
    start: Start = "hanging"
    """At rest on the lines; standing on floor or platform; or held until release."""
    release: Annotated[Time, NotNegative] | None = None
    """When a held performer is let go."""
    held_by: Release | None = None
    """What holds a held performer until then, by its strength; left out: it is not judged, and the result says so."""
    platform: Platform | None = None
    """What a standing performer stands on, where it is not the floor."""
    harness: Annotated[Harness, BeforeValidator(_read_harness, json_schema_input_type=Literal["rigid"] | Harness)] = (
        Harness(stiffness="rigid")
    )
    """Elastic, or rigid."""
    body: Annotated[
        Annotated[Literal["rigid"], Tag("word")] | Annotated[LaggingBody, Tag("table")], Discriminator(word_or_table)
    ] = "rigid"
    """One mass, or two."""
    hook_mass: Annotated[Mass, AboveZero] = Mass.of(1.0)
    """Of hook, swivel and the harness's metal: the mass of the suspension point itself."""
    drag_area: Annotated[Area, NotNegative] = Area.of(0.0)
    """Drag coefficient times frontal area, in air."""

    needs: ClassVar[Mapping[str, tuple[str, ...]]] = {
        "release": ("start",),
        "held_by": ("start",),
        "platform": ("start",),
    }

    @classmethod
    @override
    def check_written(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        start = written.get("start")
        if start == "held" and "release" not in written:
            yield Refused("start: held without release", "release: the time of letting go, such as 0.5 s", at=start)
        for key, due in (("release", "held"), ("held_by", "held"), ("platform", "standing")):
            if key in written and start in ("hanging", "standing", "held") and start != due:
                yield Refused(f"{key} with start: {start}", f"{key} only with start: {due}", at=key_at(written, key))
