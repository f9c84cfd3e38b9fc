"""A limit against what was found: as stated, and at the worst that what is known of the lines leaves open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

_AT_LEAST = ("clearance", "design_factor")
"""How limits begin that ask for at least so much; all others ask for at most."""


@dataclass(frozen=True)
class Finding:
    """One limit against what was found. within None: not judged."""

    limit: str
    of: str
    case: str
    found: float | None
    required: float | None
    unit: str
    within: bool | None
    remark: str = ""


def margin(finding: Finding) -> float | None:
    """Available over required, less one; below 0 is outside. None where nothing was found, or nothing above zero asked.

    >>> margin(Finding("g_load", "lamplighter", "power loss", 4.0, 6.0, "", True))
    0.5
    """
    found, required = finding.found, finding.required
    if found is None or required is None:
        return None
    over, under = (found, required) if finding.limit.startswith(_AT_LEAST) else (required, found)
    return over / under - 1.0 if under > 0.0 else None


@dataclass(frozen=True)
class RangeFinding:
    """One limit, or element, at the worst of all that was tried within the ranges of the lines' data.

    finding: what it comes to there; stated: what it is with the lines as stated; turned: within as stated and outside
    here. stretch: of each line whose data are a range, its stretch there, times as stated. Damping is at its least.
    """

    finding: Finding
    stated: float
    turned: bool
    stretch: Mapping[str, float]
