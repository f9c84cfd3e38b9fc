"""What is left of strengths where forces act, told before anything is judged: to pick the worst of many runs."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from sim.strength.elements import HOLDING, Element


def strength_left_N(elements: Iterable[Element], keys: Collection[str]) -> dict[str, float]:
    """For each key of a force, the least that anything which bears it can bear of it (N).

    After the reductions of each place, over the part of the force that the place takes; as `judge_element` has it, a
    place none of whose keys is there bears the force of the whole element. Keys that nothing of a known strength bears
    are left out, and so is what holds by slipping.
    """
    left: dict[str, float] = {}
    for element in elements:
        if element.breaking_strength_N is None or element.kind in HOLDING:
            continue
        for place in element.places:
            at = [key for key in place.keys if key in keys] or [key for key in (element.fallback,) if key in keys]
            for key in at if place.share > 0.0 else []:
                bears_N = element.breaking_strength_N * place.efficiency / place.share
                left[key] = min(left.get(key, bears_N), bears_N)
    return left
