"""Hardware as elements: shackles, swivels, slings by their legs; a rope grab, and what it does to its line."""

from __future__ import annotations

import math
from collections.abc import Iterator

from sim.results.model import Factors
from sim.scenario.kinds import Force
from sim.scenario.model import Hardware, Scenario
from sim.strength.elements import Element, Place
from sim.strength.lines import span_keys
from sim.strength.slings import leg_share
from sim.strength.stated import Stated, allowed, origin_of, required_of, stated, unproven

_SLIPS = "beyond it the grab slips, which is not in the simulation; no factor applied"
_DAMAGES = "beyond it the grab damages its line; no factor applied"


def fitting_elements(scenario: Scenario, name: str, part: Hardware, asked: Factors) -> Iterator[Element]:
    """A piece of hardware bears what it holds. Raises ValueError for sling legs that cannot bear.

    A rope grab is up to three elements: itself, the force at which it slips, and the one at which it damages its line.
    The last two are limits in themselves.
    """
    yield _itself(scenario, name, part, asked)
    if part.kind == "rope grab":
        yield from _on_its_line(scenario, name, part)


def _itself(scenario: Scenario, name: str, part: Hardware, asked: Factors) -> Element:
    """The piece; a sling given by its legs is judged on one leg."""
    what = stated(part, asked) or Stated(None, "", required_of(part, asked))
    share, remark = 1.0, what.remark
    if part.leg_breaking_strength is not None:
        share, remark = _leg(part)
        leg = part.leg_breaking_strength
        what = Stated(leg.low_si, f"of one leg, {origin_of(leg)}", required_of(part, asked), unproven=unproven(leg))
    return Element(
        name=name,
        kind=part.kind or "hardware",
        places=(Place("", (name,), share=share),),
        fallback=_held_key(scenario, part),
        breaking_strength_N=what.strength_N,
        strength_origin=what.origin,
        required=what.required,
        remark=remark,
        unproven=what.unproven,
    )


def _on_its_line(scenario: Scenario, name: str, part: Hardware) -> Iterator[Element]:
    """The rows of a rope grab's forces on its line; one row that says so where neither is stated."""

    def row(called: str, force: Force | None, remark: str) -> Element:
        what = Stated(None, "", Factors(1.0, 1.0, 1.0)) if force is None else allowed(force, remark)
        return Element(
            name=called,
            kind="rope grab",
            places=(Place("", (name,)),),
            fallback=_held_key(scenario, part),
            breaking_strength_N=what.strength_N,
            strength_origin=what.origin,
            required=what.required,
            remark=remark,
            unproven=what.unproven,
        )

    if part.slips_at is not None:
        yield row(f"{name} slip", part.slips_at, _SLIPS)
    if part.damages_at is not None:
        yield row(f"{name} on {part.holds}", part.damages_at, _DAMAGES)
    if part.slips_at is None and part.damages_at is None:
        yield row(f"{name} on {part.holds}", None, "neither slips_at nor damages_at of the grab is stated")


def _held_key(scenario: Scenario, part: Hardware) -> str:
    """The key of the force a fitting bears, where a case has none under the fitting's own name."""
    if part.holds in scenario.performers:
        return f"{part.holds} harness"
    line = scenario.lines.get(part.holds)
    if line is None or part.end not in (line.route[0], line.route[-1]):
        return part.holds
    return span_keys(part.holds, line)[0 if part.end == line.route[0] else -1]


def _leg(part: Hardware) -> tuple[float, str]:
    """Share of one leg, and how it was found. Raises ValueError for legs that cannot bear."""
    if part.legs == 1:
        return 1.0, "one leg"
    if part.angle_between_legs is not None:
        angle = part.angle_between_legs.rad / 2.0
    elif part.leg_from_vertical is not None:
        angle = part.leg_from_vertical.rad
    elif part.leg_from_horizontal is not None:
        angle = math.pi / 2.0 - part.leg_from_horizontal.rad
    else:
        raise ValueError(f"{part.legs} legs without an angle")
    share = leg_share(part.legs, angle)
    remark = f"force in one of {part.legs} legs, {share:.3f} of the whole, {math.degrees(angle):.3g} deg to it"
    return share, remark + (", legs taken to share equally" if part.legs > 2 else "")
