"""Flown paths against numerical arc length, differences and plain geometry."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import CubicSpline

from profiles import ImpossibleMove, Limits, Path, flown, flown_stopped, progress_along, stopped

# Shrinking a path that fails takes minutes and makes it no clearer.
QUICK = (Phase.explicit, Phase.reuse, Phase.generate)

coordinate = st.floats(-8.0, 8.0)
place = st.tuples(coordinate, coordinate, st.floats(1.0, 8.0))


def flyable(places: list[tuple[float, float, float]]) -> bool:
    """No two neighbours closer than half a metre, and no turning back."""
    if not (np.linalg.norm(np.diff(np.array(places), axis=0), axis=1) > 0.5).all():
        return False
    try:
        return Path(tuple(places)).length_m > 0.0
    except ImpossibleMove:
        return False


def test_length_curvature_and_places_are_those_of_the_spline():
    places = ((0.0, 0.0, 4.0), (3.0, 1.0, 6.0), (6.0, 0.0, 5.0), (8.0, -2.0, 7.0))
    chords = np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(np.array(places), axis=0), axis=1))))
    spline = CubicSpline(chords, np.array(places), bc_type="natural")
    path = Path(places)

    def speed(u: float) -> float:
        return float(np.linalg.norm(spline(u, 1)))

    whole = [quad(speed, a, b, epsabs=1e-10)[0] for a, b in pairwise(chords)]
    assert path.length_m == pytest.approx(sum(whole), abs=1e-8)
    assert path.place_at_m == pytest.approx(np.concatenate(([0.0], np.cumsum(whole))), abs=1e-6)
    for along, where in zip(path.place_at_m, places, strict=True):
        assert path.position_m(along) == pytest.approx(np.array(where), abs=1e-6)
    s = np.linspace(0.0, path.length_m, 20001)
    way = np.gradient(path.position_m(s), s, axis=0)
    assert np.linalg.norm(way[1:-1], axis=1) == pytest.approx(np.ones(len(s) - 2), abs=1e-5)
    bend = np.linalg.norm(np.gradient(way, s, axis=0), axis=1)[2:-2]
    assert path.curvature_1_m == pytest.approx(bend.max(), rel=1e-3)


def test_a_straight_level_traverse_is_pythagoras():
    path = Path(((-3.0, 0.0, 4.0), (5.0, 0.0, 4.0)))
    progress = progress_along(path, Limits(2.0, 1.5, None), 0.5)
    motion = flown(path, progress, (-9.0, 0.0, 12.0))
    t = np.linspace(0.0, progress.end_s + 0.5, 3000)
    exact = np.hypot(progress.position_m(t) - 3.0 + 9.0, 8.0) - math.hypot(6.0, 8.0)
    assert motion.position_m(t) == pytest.approx(exact, abs=2e-5)
    assert motion.end_s == progress.end_s


@settings(max_examples=25, deadline=None, phases=QUICK)
@given(places=st.lists(place, min_size=2, max_size=5).filter(flyable), jerk=st.sampled_from([None, 8.0]))
def test_lengths_follow_and_limits_hold(places: list[tuple[float, float, float]], jerk: float | None):
    path, origin = Path(tuple(places)), (0.0, 0.0, 20.0)
    progress = progress_along(path, Limits(3.0, 2.0, jerk), 0.2)
    motion = flown(path, progress, origin)
    t = np.linspace(0.0, progress.end_s + 0.2, 4001)
    points = path.position_m(progress.position_m(t))
    length = np.linalg.norm(points - np.array(origin), axis=1)
    assert motion.position_m(t) == pytest.approx(length - length[0], abs=2e-5)
    assert motion.top_speed_m_s <= progress.top_speed_m_s + 1e-3
    assert progress.top_speed_m_s <= 3.0 + 1e-9
    felt = np.gradient(np.gradient(points, t, axis=0), t, axis=0)[3:-3]
    corners = np.min(np.abs(t[3:-3, None] - progress.time_s[None, :]), axis=1) < 3 * (t[1] - t[0])
    assert np.linalg.norm(felt[~corners], axis=1).max(initial=0.0) <= 2.0 * (1.0 + 1e-3)


@settings(max_examples=15, deadline=None)
@given(places=st.lists(place, min_size=2, max_size=4).filter(flyable))
def test_a_mirrored_path_gives_the_same_lengths(places: list[tuple[float, float, float]]):
    mirrored = tuple((-x, y, z) for x, y, z in places)
    one, other = (
        flown(path, progress_along(path, Limits(2.0, 2.0, 10.0)), (x, 1.0, 15.0))
        for path, x in ((Path(tuple(places)), 3.0), (Path(mirrored), -3.0))
    )
    t = np.linspace(0.0, one.end_s, 500)
    assert other.position_m(t) == pytest.approx(one.position_m(t), abs=4e-5)


def test_a_stop_along_the_path_stays_on_it_and_ends_where_the_stop_does():
    path = Path(((0.0, 0.0, 4.0), (3.0, 0.0, 6.0), (6.0, 0.0, 5.0)))
    progress = progress_along(path, Limits(2.0, 1.5, None), 0.0)
    slowed = stopped(progress, 2.0, 4.0)
    lines = [flown(path, slowed, origin) for origin in ((-5.0, 0.0, 12.0), (10.0, 0.0, 12.0))]
    end = path.position_m(slowed.end_position_m)
    for motion, origin in zip(lines, ((-5.0, 0.0, 12.0), (10.0, 0.0, 12.0)), strict=True):
        whole = math.dist(end, origin) - math.dist(path.places[0], origin)
        assert motion.position_m(slowed.end_s + 1.0) == pytest.approx(whole, abs=2e-5)
        assert motion.speed_m_s(slowed.end_s + 0.1) == 0.0


def test_what_is_no_path_is_refused():
    with pytest.raises(ImpossibleMove, match=r"place 1 .* is the same place"):
        Path(((0.0, 0.0, 1.0), (0.0, 0.0, 1.0)))
    path = Path(((0.0, 0.0, 1.0), (4.0, 0.0, 1.0)))
    with pytest.raises(ImpossibleMove, match="turns back"):
        Path(((0.0, 0.0, 1.0), (2.0, 0.0, 1.0), (0.0, 0.0, 1.0)))
    with pytest.raises(ImpossibleMove, match="leads through"):
        flown(path, progress_along(path, Limits(1.0, 1.0, None), 0.0), (2.0, 0.0, 1.0))


@settings(max_examples=25, deadline=None, phases=QUICK)
@given(places=st.lists(place, min_size=2, max_size=5).filter(flyable), share=st.floats(0.02, 0.98))
def test_jerk_in_space_is_limited_and_a_stop_goes_on_from_the_planned_motion(
    places: list[tuple[float, float, float]], share: float
):
    """Jerk as the third difference of positions over 1 ms steps, away from where it jumps."""
    path, origin = Path(tuple(places)), (1.0, 0.0, 20.0)
    progress = progress_along(path, Limits(3.0, 2.0, 8.0), 0.2)
    h = 1e-3
    t = np.arange(0.3, progress.end_s - 0.1, 0.01)
    at = [path.position_m(progress.position_m(t + k * h)) for k in (-1.5, -0.5, 0.5, 1.5)]
    jerk = np.linalg.norm(at[3] - 3 * at[2] + 3 * at[1] - at[0], axis=1) / h**3
    passed = np.interp(path.place_at_m, progress.position_m(t), t)
    jumps = np.concatenate([progress.time_s, passed])
    clear = np.min(np.abs(t[:, None] - jumps[None, :]), axis=1) > 0.02
    assert jerk[clear].max(initial=0.0) <= 8.0 * (1.0 + 2e-3)

    planned = flown(path, progress, origin)
    stop_s = progress.start_s + share * (progress.end_s - progress.start_s)
    slowed = stopped(progress, stop_s, 4.0)
    motion = flown_stopped(path, slowed, origin, planned, stop_s)
    before = np.linspace(0.0, stop_s, 500, endpoint=False)
    assert np.array_equal(motion.position_m(before), planned.position_m(before))
    after = np.linspace(stop_s, slowed.end_s + 0.5, 500)
    length = np.linalg.norm(path.position_m(slowed.position_m(after)) - np.array(origin), axis=1)
    start = math.dist(path.places[0], origin)
    assert motion.position_m(after) == pytest.approx(length - start, abs=3e-5)
    assert float(motion.speed_m_s(stop_s)) == pytest.approx(float(planned.speed_m_s(stop_s)), abs=1e-9)
    assert motion.end_s == slowed.end_s
