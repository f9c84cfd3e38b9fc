"""What is left of a strength, as a chain: from what is stated to what counts, factor by factor."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from sim.results.model import ElementResult, Reduction
from sim.results.shown import Units, bare, shown
from sim.strength.words import NEEDS_EVIDENCE


def chain(element: ElementResult, units: Units = Units.SI) -> str:
    """The chain at the element's governing place; empty where nothing is stated or nothing is taken.

    >>> splice = Reduction("long splice", "flyer", 0.8, "value from memory", needs_evidence=True)
    >>> chain_words(29000.0, [splice, Reduction("wet", "flyer", 0.85, "yarn table")])
    '29.00 kN × 0.80 long splice (needs evidence) × 0.85 wet = 19.72 kN at flyer'
    """
    if element.breaking_strength_N is None:
        return ""
    return chain_words(element.breaking_strength_N, element.reductions, units)


def chains(element: ElementResult, units: Units = Units.SI) -> Iterator[str]:
    """The chain of the governing place, then those of the line's ends that are others, each with its margin."""
    if any(taken.factor < 1.0 for taken in element.reductions) and (governing := chain(element, units)):
        yield governing
    ends = [each for each in element.places if each.kind == "termination" and each.reductions != element.reductions]
    for each in ends if element.breaking_strength_N is not None else []:
        left = "" if each.margin is None else f", margin {bare(each.margin, '')}"
        if any(taken.factor < 1.0 for taken in each.reductions):
            yield chain_words(element.breaking_strength_N or 0.0, each.reductions, units) + left


def chain_words(breaking_strength_N: float, reductions: Iterable[Reduction], units: Units = Units.SI) -> str:
    """The same for any strength (N) and the reductions of one place; each factor stands once."""
    taken = list(reductions)
    if not taken:
        return ""
    factors = " × ".join(
        f"{each.factor:.2f} {each.what}{f' ({NEEDS_EVIDENCE})' if each.needs_evidence else ''}" for each in taken
    )
    left = breaking_strength_N * math.prod(each.factor for each in taken)
    places = " and ".join(dict.fromkeys(each.at for each in taken))
    return f"{shown(breaking_strength_N, 'N', units)} × {factors} = {shown(left, 'N', units)} at {places}"
