"""Fewer points without losing an extreme; labels without overlap."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from plots import labels, text
from plots.decimate import keep_extremes

values = st.lists(st.floats(-1e6, 1e6), min_size=50, max_size=400)


@given(values, st.integers(1, 12))
def test_every_stretch_keeps_its_range(series: list[float], buckets: int) -> None:
    v = np.array(series)
    t = np.linspace(0.0, 3.0, len(v))
    kept_t, kept_v = keep_extremes(t, v, buckets)
    assert len(kept_t) <= max(2 * buckets + 2, 2)
    assert np.all(np.diff(kept_t) > 0)
    assert (kept_v[0], kept_v[-1], kept_v.min(), kept_v.max()) == (v[0], v[-1], v.min(), v.max())
    bucket, kept = (np.minimum((buckets * x / 3.0).astype(int), buckets - 1) for x in (t, kept_t))
    for k in range(buckets):
        assert (kept_v[kept == k].min(), kept_v[kept == k].max()) == (v[bucket == k].min(), v[bucket == k].max())


def test_gaps_stay_gaps_and_hide_no_extreme() -> None:
    v = np.sin(np.linspace(0, 20, 5000))
    v[100:110] = np.nan
    v[3000] = 9.0
    _, kept = keep_extremes(np.linspace(0, 1, 5000), v, 20)
    assert np.isnan(kept).sum() == 10
    assert np.nanmax(kept) == 9.0
    assert np.nanmin(kept) == np.nanmin(v)


@given(st.lists(st.tuples(st.floats(0, 10), st.floats(0.1, 0.9)), min_size=1, max_size=10))
def test_spread_blocks_do_not_overlap_and_stay_inside(blocks: list[tuple[float, float]]) -> None:
    wanted, tall = [b[0] for b in blocks], [b[1] for b in blocks]
    centres = labels.spread(wanted, tall, 0.0, 10.0)
    order = sorted(range(len(blocks)), key=lambda i: centres[i])
    for low, high in pairwise(order):
        assert centres[high] - tall[high] / 2 >= centres[low] + tall[low] / 2 - 1e-9
    assert all(t / 2 - 1e-9 <= c <= 10 - t / 2 + 1e-9 for c, t in zip(centres, tall, strict=True))


@given(st.lists(st.tuples(st.floats(0, 10), st.floats(0.1, 4)), min_size=1, max_size=10))
def test_no_stem_crosses_a_text(places: list[tuple[float, float]]) -> None:
    starts, widths = [p[0] for p in places], [p[1] for p in places]
    levels = labels.staircase(starts, widths)
    for i, a in enumerate(starts):
        for j, b in enumerate(starts):
            if i != j and a < b and levels[j] >= levels[i]:
                assert a + widths[i] <= b


def test_wrap_keeps_every_letter_and_its_width() -> None:
    words = "a rather long name " + "点灯夫" * 12 + " end"
    lines = text.wrap(words, 12.0)
    assert "".join(lines).replace(" ", "") == words.replace(" ", "")
    assert all(text.width_em(line) <= 12.0 for line in lines)
