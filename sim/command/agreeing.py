"""Runs that would take long: told before they start; above an hour, or of much memory, only where it is said so."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from sim.command.status import Refused, Status

if TYPE_CHECKING:
    from sim.studies.expected import Expected

TOLD_ABOVE_S = 300.0
ASKED_ABOVE_S = 3600.0
ASKED_ABOVE_BYTES = 6e9
_HOW_TO_SHORTEN = (
    "  a shorter move or run: {duration: …}, stops at a time of their own instead of every instant,",
    "  fewer elements_per_span, a less stiff or heavier part where one is next to rigid or next to nothing,",
    "  a lower run: {sample_rate: …}; or say --yes.",
)


def agreeing(yes: bool, times: int = 1) -> Callable[[Expected], None]:
    """What to ask before the first run. times: how many scenarios of this kind are to be run. It raises Refused."""

    def agree(expected: Expected) -> None:
        takes_s = times * expected.takes_s
        told = (
            f"This will take {in_words(takes_s)} and {expected.memory_bytes / 1e9:.1f} GB of memory, give or take "
            f"a factor of three: {times * expected.runs:,} runs, {expected.slower:.2g} s of computing for each second "
            f"of the rig."
        )
        asked = takes_s > ASKED_ABOVE_S or expected.memory_bytes > ASKED_ABOVE_BYTES
        if asked and not yes:
            raise Refused(told, "Nothing was run. What makes it shorter:", *_HOW_TO_SHORTEN, status=Status.UNFINISHED)
        if asked or takes_s > TOLD_ABOVE_S:
            print(told, file=sys.stderr)

    return agree


def in_words(time_s: float) -> str:
    """A time as one would say it.

    >>> in_words(40.0), in_words(3000.0), in_words(20_000.0), in_words(1e6)
    ('about a minute', 'about 50 min', 'about 6 h', 'about 12 days')
    """
    if time_s < 90.0:
        return "about a minute"
    for unit, size_s, up_to in (("min", 60.0, 90.0), ("h", 3600.0, 48.0), ("days", 86400.0, 1000.0)):
        if time_s < up_to * size_s:
            return f"about {time_s / size_s:.0f} {unit}"
    return f"about {time_s / (365.25 * 86400.0):,.0f} years"
