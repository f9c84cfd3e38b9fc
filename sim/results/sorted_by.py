"""What line types that suit a scenario may be sorted by, for the command line to load at once."""

from __future__ import annotations

from enum import StrEnum


class SortedBy(StrEnum):
    """What the types that remain are sorted by; none of it changes a figure."""

    MARGIN = "margin"
    STRETCH = "stretch"
    WEIGHT = "weight"
    THIN = "thin"
    ENDS = "ends"
    EVIDENCE = "evidence"
