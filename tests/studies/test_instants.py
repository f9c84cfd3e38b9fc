"""Which instants are looked at more closely: known curves with a peak between their rows."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from sim.studies.instants import CLOSER_S, CLOSEST_S, GRID_S, SETTLED, closer, merged, settled

Curve = Callable[[np.ndarray], np.ndarray]
FIRST_S = 0.3


def _looked_at(curve: Curve) -> tuple[np.ndarray, np.ndarray]:
    """All instants at which a curve would be run, and its values there."""
    times = _grid()
    for step_s in CLOSER_S:
        times = merged(times, closer(times, curve(times), step_s, FIRST_S))
    for step_s in CLOSEST_S:
        if not settled(curve(times)):
            times = merged(times, closer(times, curve(times), step_s, FIRST_S))
    return times, curve(times)


def _grid() -> np.ndarray:
    return np.asarray(FIRST_S + GRID_S * np.arange(101), np.float64)


def _peak(t: np.ndarray, at: float, width: float, height: float) -> np.ndarray:
    return height * np.exp(-(((t - at) / width) ** 2))


SHAPES: dict[str, Curve] = {
    "smooth": lambda t: 5.0 + np.cos(7.0 * (t - 1.2345)),
    "kink": lambda t: 9.0 - 4.0 * np.abs(t - 1.2345),
    "steep kink": lambda t: 9.0 - 30.0 * np.abs(t - 1.2345),
    "jump": lambda t: np.where(t < 1.23456, 3.0 + t, 3.0),
    "two alike": lambda t: _peak(t, 0.72, 0.03, 1.0) + _peak(t, 1.7132, 0.03, 1.002),
    "rising to the end": lambda t: t,
}


@pytest.mark.parametrize("shape", SHAPES)
def test_the_worst_is_found_to_a_millisecond_and_a_thousandth(shape: str) -> None:
    curve = SHAPES[shape]
    times, values = _looked_at(curve)
    dense = np.arange(FIRST_S, times[-1], 1e-6)
    truth = curve(dense)
    assert values.max() >= truth.max() * (1.0 - SETTLED)
    assert abs(times[values.argmax()] - dense[truth.argmax()]) <= CLOSER_S[-1]
    assert len(times) < 190


def test_of_two_peaks_the_one_hidden_between_rows_is_found() -> None:
    """On the grid the first looks worse; the second, between two rows, is."""
    curve = SHAPES["two alike"]
    grid = _grid()
    assert grid[curve(grid).argmax()] < 1.0
    times, values = _looked_at(curve)
    assert times[values.argmax()] == pytest.approx(1.7132, abs=1e-3)


def test_what_cannot_matter_is_not_looked_at() -> None:
    times = _grid()
    assert closer(times, np.full(101, 3.0), 0.005, FIRST_S) == []
    assert closer(times, np.full(101, -np.inf), 0.005, FIRST_S) == []
    low = _peak(times, 0.8, 0.05, 1.0) + _peak(times, 1.6, 0.05, 0.5)
    assert all(abs(t - 0.8) < 2 * GRID_S for t in closer(times, low, 0.005, FIRST_S))


def test_a_row_without_a_figure_counts_for_nothing() -> None:
    times = _grid()
    values = 9.0 - np.abs(times - 1.2345)
    values[[int(values.argmax()) + 1, 80]] = -np.inf
    new = closer(times, values, 0.005, FIRST_S)
    top = times[values.argmax()]
    assert new
    assert all(abs(t - top) < 2 * GRID_S for t in new)
    assert settled(np.full(3, -np.inf))


def test_instants_lie_on_one_lattice_and_none_twice() -> None:
    times, _ = _looked_at(SHAPES["steep kink"])
    assert np.diff(times).min() > 1e-5
    steps = (times - FIRST_S) / CLOSEST_S[-1]
    assert steps == pytest.approx(np.round(steps), abs=1e-6)
