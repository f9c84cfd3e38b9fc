"""Scales: round values, each with a text that says just that value."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.figure import Figure

from plots import history_figure, scale
from tests.plots import builders


@given(st.floats(-1e5, 1e5), st.floats(1e-3, 1e6), st.integers(3, 9))
def test_every_number_says_the_value_it_stands_at(low: float, span: float, most: int) -> None:
    ticks = scale.ticks(low, low + span, most)
    assert 1 <= len(ticks) <= most + 1
    assert all(low <= tick.value <= low + span for tick in ticks)
    for tick in ticks:
        said = float(tick.text.replace("\N{MINUS SIGN}", "-"))
        assert said == pytest.approx(tick.value, rel=1e-9, abs=1e-9 * span)
    assert len({len(tick.text.partition(".")[2]) for tick in ticks}) == 1
    assert len({tick.text for tick in ticks}) == len(ticks)


def test_numbers_stand_where_their_values_lie() -> None:
    """Against the drawing library's own transform from values to the sheet."""
    figure = history_figure(builders.simple_result(), "power loss, worst force")
    assert isinstance(figure, Figure)
    panel = figure.axes[1]
    width, height = figure.get_size_inches() * figure.dpi
    low, high = panel.get_ylim()
    box = panel.get_position()
    numbers = [text for text in figure.texts if text.get_text()[-1].isdigit()]
    left = [text for text in numbers if text.get_position()[0] < box.x0]
    beside = [text for text in left if box.y0 <= text.get_position()[1] <= box.y1]
    assert len(beside) >= 3
    for text in beside:
        x, y = text.get_position()
        _, value = panel.transData.inverted().transform((x * width, y * height))
        assert float(text.get_text().replace("\N{MINUS SIGN}", "-")) == pytest.approx(value, abs=1e-6 * (high - low))
