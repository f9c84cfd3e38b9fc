"""A weight let go beside its anchor, to fall free until its rope is taut: the rope standards' rig, as a scenario."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from tests.outside import rigs
from tests.outside.rigs import G

TOP_M = 100.0
LET_GO_S = 0.1
STANDARD_FALL = {"length_m": 2.6, "free_fall_m": 4.6}
"""EN 892 and UIAA 101: 4.6 m of free fall (twice 2.3 m) onto 2.6 m of rope, factor 1.77."""


def fall(mass_kg: float, rope: Mapping[str, Any], length_m: float, free_fall_m: float, **more: Any) -> str:
    """The text of a fall. rope: the keys of the line that say what it is (type, diameter). A fall longer than the rope
    starts above the anchor, 5 mm aside so that it passes it."""
    below_m = length_m - free_fall_m
    start = rigs.at(0.005 if below_m <= 0 else 0.0, 0, TOP_M - below_m)
    more = {"duration_s": LET_GO_S + np.sqrt(2.0 * free_fall_m / G) + 1.0} | more
    return rigs.scenario(
        performers={"weight": rigs.performer(mass_kg, start, release_s=LET_GO_S)},
        lines={"rope": {**rope, "route": ["anchor", "weight"], "length": rigs.of(length_m, "m")}},
        anchors={"anchor": rigs.anchor(0, 0, TOP_M)},
        **more,
    )


def hung(mass_kg: float, rope: Mapping[str, Any], length_m: float) -> str:
    """The text of a weight at rest on a rope of this unstretched length."""
    return rigs.scenario(
        performers={"weight": rigs.performer(mass_kg, rigs.at(0, 0, TOP_M - length_m))},
        lines={"rope": {**rope, "route": ["anchor", "weight"], "length": rigs.of(length_m, "m")}},
        anchors={"anchor": rigs.anchor(0, 0, TOP_M)},
        duration_s=0.1,
    )


def impact_N(found: rigs.Run) -> float:
    """The greatest force in the rope."""
    return found.case.peaks["rope"].force_N


def stretch(found: rigs.Run, length_m: float) -> float:
    """The greatest stretch of the rope, over its unstretched length."""
    return (TOP_M - found.case.performers["weight"].lowest_height_m - length_m) / length_m
