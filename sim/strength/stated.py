"""What an element states it can bear: breaking strength, working load limit with its factor, or an allowed force."""

from __future__ import annotations

from dataclasses import dataclass

from sim.results.model import Factors
from sim.scenario.kinds import Force
from sim.scenario.model import DesignFactor, Strength
from sim.scenario.quantity import ASSUMED, DEFAULT, Quantity


@dataclass(frozen=True)
class Stated:
    """Strength before reductions (N, None: nothing stated), where it comes from, and what is asked of it."""

    strength_N: float | None
    origin: str
    required: Factors
    remark: str = ""
    allowed_only: bool = False
    """An allowed force: a limit in itself, without factor and without reductions."""
    unproven: bool = False
    """Whether nothing is said of where it comes from, or no published source stands behind it."""


def asked_of(factors: DesignFactor | None) -> Factors:
    """Required design factors as the results have them; nothing asked is all None, never a guess."""
    if factors is None:
        return Factors()
    return Factors(static=factors.static, working=factors.working, emergency=factors.emergency)


def stated(part: Strength, asked: Factors) -> Stated | None:
    """What a part of the scenario states of its strength, None where it states nothing; of a spread the low end.

    Its own design factors go before the scenario's. An allowed force asks for a factor of 1 in every class.
    """
    required = asked_of(part.design_factor) if part.design_factor else asked
    if part.breaking_strength is not None:
        strength = part.breaking_strength
        return Stated(strength.low_si, origin_of(strength), required, unproven=unproven(strength))
    if part.working_load_limit is not None and part.marked_factor is not None:
        limit, factor = part.working_load_limit, part.marked_factor
        origin = f"working load limit x {factor:g}, {origin_of(limit)}"
        return Stated(limit.low_si * factor, origin, required, unproven=unproven(limit))
    if part.allowed_force is not None:
        return allowed(part.allowed_force, "judged on its allowed force, no factor applied")
    return None


def allowed(force: Force, remark: str) -> Stated:
    """A force that must not be exceeded: it asks for a factor of 1 in every class."""
    return Stated(force.low_si, origin_of(force), Factors(1.0, 1.0, 1.0), remark, True, unproven(force))


def origin_of(quantity: Quantity) -> str:
    """Where a quantity comes from; and, where a spread is written, that its low end is what counts."""
    return quantity.origin if quantity.exact else f"{quantity.origin}, low end of the spread of {quantity.text}"


def unproven(quantity: Quantity) -> bool:
    """Whether the file does not say where a quantity comes from."""
    return quantity.origin in (ASSUMED, DEFAULT)


def required_of(part: Strength, asked: Factors) -> Factors:
    """Required design factors of a part that states no strength."""
    return asked_of(part.design_factor) if part.design_factor else asked
