"""A drum with several layers of line: the arm at which line pulls, which grows by what each layer adds.

A layer adds between 0.87 line diameters, where turns nest in the grooves below, and one where they cross: the whole
diameter is taken (common practice, no source). How many turns lie on a layer is not asked, so the layers do not change
during a run: line is on the outermost of those stated, where a brake of a given torque holds least, and at the strong
end of brakes on the first, where it holds most. Usual: one to three layers, drum of 20 to 40 line diameters (common
practice, no source).
"""

from __future__ import annotations


def arm_m(drum_diameter_m: float, layers: int, line_diameter_m: float) -> float:
    """Radius (m) of the middle of the line on its outermost layer. drum_diameter_m: at the middle of the first."""
    return 0.5 * drum_diameter_m + (layers - 1) * line_diameter_m
