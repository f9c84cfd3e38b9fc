"""The formula of a span that hangs, beside the catenary itself (any text on the catenary) and its own differences."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sim.dynamics.hanging import catenary

EXACT = [(u, math.sinh(u) / u, 0.375 * (math.sinh(u) * math.cosh(u) - u) / (u * math.sinh(u))) for u in
         np.geomspace(0.05, 12.0, 60)]  # fmt: skip
"""h / 2a; length of level ends over their way, sinh u / u; the sag whose two thirds its weight lies deeper, over it."""


def test_length_of_any_sag():
    """Nowhere off by more than 0.2 %; while the line is nearly straight, by the sixth power of the sag."""
    for _, length, sag in EXACT:
        ours = catenary(sag, 1.0, 0.0)[0]
        assert ours == pytest.approx(length, rel=min(2e-3, 2.0 * sag**6 + 1e-9))


@pytest.mark.parametrize("height", [0.0, 0.7, -5.0])
def test_ends_at_unlike_heights_lengthen_it_as_the_catenary_says(height: float):
    """l^2 = v^2 + e^2, and the weight sinks by 2/3 d e / l."""
    for _, level, sag in EXACT:
        length, sink = catenary(sag, 1.0, height)[:2]
        assert length == pytest.approx(math.hypot(height, level), rel=2e-3)
        assert sink == pytest.approx(sag * level / math.hypot(height, level), rel=2e-3)


@pytest.mark.parametrize("way", [(1.0, 0.0), (1.0, 0.8), (0.05, -2.0), (3.0, 3.0)])
@pytest.mark.parametrize("sag", [1e-3, 0.1, 0.6, 4.0])
def test_its_derivatives_are_those_of_its_values(way: tuple[float, float], sag: float):
    level, height = way
    step = 1e-6

    def values(d: float, h: float, v: float) -> np.ndarray:
        return np.array(catenary(d, h * h, v)[:2])

    found = catenary(sag, level * level, height)
    by_level = (values(sag, level + step, height) - values(sag, level - step, height)) / (2 * step)
    by_height = (values(sag, level, height + step) - values(sag, level, height - step)) / (2 * step)
    by_sag = (values(sag + step, level, height) - values(sag - step, level, height)) / (2 * step)
    assert np.array((found[2], found[5])) * level == pytest.approx(by_level, rel=1e-5, abs=1e-8)
    assert (found[3], found[6]) == pytest.approx(by_height, rel=1e-5, abs=1e-8)
    assert (found[4], found[7]) == pytest.approx(by_sag, rel=1e-5, abs=1e-8)


def test_line_that_hangs_double_from_one_place():
    """Half of it on either side: it is 8/3 of its sag long, and its weight lies a quarter of its length down."""
    length, sink = catenary(3.0, 0.0, 0.0)[:2]
    assert length == pytest.approx(8.0)
    assert 2.0 / 3.0 * sink == pytest.approx(length / 4.0)
