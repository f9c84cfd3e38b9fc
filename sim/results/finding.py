"""A limit against what was found: as stated, and at the worst that what is known of the lines leaves open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


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
