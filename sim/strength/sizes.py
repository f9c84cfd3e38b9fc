"""The sizes a line type is made in, by the names they go by: 1/4 in where it is made so, else millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from sim.strength.laws import SAME_SIZE, size_m
from sim.strength.line_type import LineType


@dataclass(frozen=True)
class Size:
    """One diameter and its name, as a scenario would have it."""

    diameter_m: float
    written: str


def size_named(entry: LineType, diameter_m: float) -> str:
    """A diameter by the name it goes by in this type.

    >>> from sim.strength.catalogue import find
    >>> size_named(find("7x19 galvanised"), 0.00635), size_named(find("HMPE 12-strand"), 0.006)
    ('1/4 in', '6 mm')
    """
    for family in entry.families:
        for written in family.strength.table:
            if not written.endswith("mm") and abs(size_m(written) / diameter_m - 1.0) < SAME_SIZE:
                return f"{written} in"
    return f"{diameter_m * 1000:.4g} mm"


def sizes_within(entry: LineType, bound: Size) -> tuple[Size, ...]:
    """The listed sizes of a type up to a bound, thinnest first, and the bound itself where the type is made in it."""
    listed = {size for family in entry.families for size in family.sizes_m()}
    within = sorted(size for size in listed if size <= bound.diameter_m * (1.0 + 1e-9))
    found = [Size(size, size_named(entry, size)) for size in within]
    same = any(abs(size / bound.diameter_m - 1.0) <= SAME_SIZE for size in within)
    if not same and any(family.has(bound.diameter_m) for family in entry.families):
        found.append(bound)
    return tuple(found)


def sizes_in_words(entry: LineType) -> str:
    """The sizes of a type in short: a table by its ends."""
    made = []
    for family in entry.families:
        sizes = family.words().split(", ")
        made.append(sizes[0] if len(sizes) == 1 else f"{sizes[0].removesuffix(' in')} to {sizes[-1]}")
    return "; ".join(made)
