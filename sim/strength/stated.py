"""What an element states it can bear: breaking strength, working load limit with its factor, or an allowed force."""

from __future__ import annotations

from dataclasses import dataclass

from sim.results.model import Factors
from sim.scenario.model import DesignFactor, Strength


@dataclass(frozen=True)
class Stated:
    """Strength before reductions (N, None: nothing stated), where it comes from, and what is asked of it."""

    strength_N: float | None
    origin: str
    required: Factors
    remark: str = ""
    allowed_only: bool = False
    """An allowed force: a limit in itself, without factor and without reductions."""


def asked_of(factors: DesignFactor | None) -> Factors:
    """Required design factors as the results have them; nothing asked is all None, never a guess."""
    if factors is None:
        return Factors()
    return Factors(static=factors.static, working=factors.working, emergency=factors.emergency)


def stated(part: Strength, asked: Factors) -> Stated | None:
    """What a part of the scenario states of its strength, None where it states nothing.

    Its own design factors go before the scenario's. An allowed force asks for a factor of 1 in every class.
    """
    required = asked_of(part.design_factor) if part.design_factor else asked
    if part.breaking_strength is not None:
        return Stated(part.breaking_strength.N, part.breaking_strength.origin, required)
    if part.working_load_limit is not None and part.marked_factor is not None:
        limit, factor = part.working_load_limit, part.marked_factor
        return Stated(limit.N * factor, f"working load limit x {factor:g}, {limit.origin}", required)
    if part.allowed_force is not None:
        remark = "judged on its allowed force, no factor applied"
        return Stated(part.allowed_force.N, part.allowed_force.origin, Factors(1.0, 1.0, 1.0), remark, True)
    return None


def required_of(part: Strength, asked: Factors) -> Factors:
    """Required design factors of a part that states no strength."""
    return asked_of(part.design_factor) if part.design_factor else asked
