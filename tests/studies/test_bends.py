"""Bends counted by hand on the demos, and by following many pieces of line one by one."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sim.scenario import changed as with_changes
from sim.strength.bends import wire_life
from sim.studies.bends import Bent, Counted, _one_way, _stretches  # pyright: ignore[reportPrivateUsage]
from tests.demos.demos import changed
from tests.studies.asked import figures, of_demo


def at(demo: str, line: str) -> dict[str, tuple[int, float]]:
    bends = of_demo(demo)[line].bends
    assert bends is not None
    return {each.name: (each.bends, round(each.run_over_m, 2)) for each in bends.places}


def test_what_is_let_down_is_bent_once_where_sheaves_lie_further_apart_than_it_runs():
    # 8.4 m paid out, 14 m between the sheaves: no piece passes both; what comes off the drum was bent before
    assert at("lamplighters-drop", "drop line") == {"lead sheave": (1, 8.4), "head sheave": (0, 8.4)}


def test_up_and_down_over_two_sheaves_and_a_block():
    # From the winch: 11.5 m to the lead sheave, 7.9 m to the head sheave, 9 m to the block, 9 m to the dead end.
    # 9 m in: the line from 11.5 to 20.5 m goes over the lead sheave, from 19.4 to 28.4 over the head sheave, and 4.5 m
    # over the block, as the performer rises by half; 6 m out: 14.5 to 20.5 and 22.4 to 28.4 go back, and 3 m.
    # From 19.4 to 20.5 m: the lead sheave twice, the head sheave once.
    found = at("chimney-sweeps-rise", "hoist line")
    assert found["lead sheave"] == (2, 15.0)
    assert found["head sheave"] == (1, 15.0)
    assert found["flying block"] == (0, pytest.approx(7.5, abs=0.01))
    assert found["winch"] == (0, 9.0)  # taken in only: what comes off again was bent when it went on
    bends = of_demo("chimney-sweeps-rise")["hoist line"].bends
    assert bends is not None
    assert (bends.per_move, bends.per_thousand_moves, bends.per_season) == (3, 3000, None)


def test_there_and_back_on_a_counterweight_and_on_its_winch():
    # 4.5 m up, 4 m down again, sheaves 5 m apart
    assert at("moths-flight", "balance line")["balance sheave"] == (2, pytest.approx(8.5, abs=0.05))
    assert at("moths-flight", "winch line") == {"winch": (0, 4.5), "winch sheave": (2, 8.5)}


def test_a_lowering_hand_bends_its_line_round_the_device_and_hands_alone_do_not():
    # 6.5 m let out; 12.2 m from the device to the head sheave, so no piece passes both
    assert at("beekeepers-descent", "lowering line") == {"hand": (1, 6.5), "head sheave": (0, 6.5)}
    for name, of in of_demo("chandlers-flight").items():
        assert of.bends is not None, name
        assert all("team" not in each.name for each in of.bends.places)


def test_legs_that_pass_nothing_are_not_bent():
    legs = of_demo("weathercocks-bridle")
    assert legs["left leg"].bends is legs["right leg"].bends is None
    # 5 m of lift taken in, followed from the winch: where the ring is nobody has to know
    assert at("weathercocks-bridle", "lift line")["head sheave"][1] == 5.0


def test_a_season_and_a_stated_life():
    made = changed(
        "chimney-sweeps-rise",
        ("stops:\n", "moves_per_season: 240\n\nstops:\n"),
        ("    type: LCP 12-strand\n", "    type: LCP 12-strand\n    bending_life: 18000\n"),
    )
    found = figures(made)["hoist line"].bends
    assert found is not None
    assert (found.per_season, found.life_bends) == (720, 18_000)
    assert (found.moves_in_life, found.seasons_in_life) == (6000.0, 25.0)
    # a bending life is of one type and size: another type leaves it behind, as it does its certificate
    other = with_changes(made, {"lines": {"hoist line": {"type": "HMPE 12-strand"}}}, "other")
    assert other.lines["hoist line"].bending_life is None
    assert other.moves_per_season == 240


def test_wire_over_a_small_sheave_lasts_as_the_published_table_has_it():
    made = changed("cathedral-run-wire", ("tread_diameter: 200 mm", "tread_diameter: 96 mm"))
    bends = figures(made)["nave line"].bends
    assert bends is not None
    # D:d 16 lasts 2.1 where 25 lasts 6.6 (wire-rope tables, the same on three pages)
    assert bends.places[0].D_to_d == pytest.approx(16.0)
    assert bends.places[0].relative_life == pytest.approx(2.1 / 6.6)
    assert wire_life().at(16.0) == 2.1
    assert "broken wire" in bends.retire
    # fibre: no figure, and none beyond the table
    drop = of_demo("lamplighters-drop")["drop line"].bends
    assert drop is not None
    assert all(each.relative_life is None for each in drop.places)


@pytest.mark.parametrize("seed", range(12))
def test_the_count_is_that_of_pieces_followed_one_by_one(seed: int):
    """Places that wander along a line, each with an arc of its own; every piece of a fine grid is watched."""
    random = np.random.default_rng(seed)
    time = np.linspace(0.0, 1.0, 4001)
    tracks, arcs = [], []
    for k in range(3):
        waves = sum(
            random.uniform(0.3, 2.0) * np.sin(random.uniform(1, 12) * time + random.uniform(0, 6)) for _ in range(3)
        )
        tracks.append(np.asarray(3.0 * k + waves))
        arcs.append(random.uniform(0.0, 0.3))
    bent = tuple(
        Bent(low, high, str(k))
        for k, (track, arc) in enumerate(zip(tracks, arcs, strict=True))
        for low, high in _stretches(track, 1e-6, arc, "both")
    )
    pieces = np.linspace(-10.0, 16.0, 2601)
    count = np.zeros(len(pieces), int)
    for track, arc in zip(tracks, arcs, strict=True):
        # a piece is bent while it lies within the arc, or passes it between two looks
        ahead, behind = pieces[:, None] > track + arc, pieces[:, None] < track - arc
        straight = ahead | behind
        onto = straight[:, :-1] & ~straight[:, 1:]
        through = (ahead[:, :-1] & behind[:, 1:]) | (behind[:, :-1] & ahead[:, 1:])
        count += (onto | through).sum(axis=1)
    by_stretch = np.array([sum(each.low_m < piece < each.high_m for each in bent) for piece in pieces])
    edges = np.array([edge for each in bent for edge in (each.low_m, each.high_m)])
    clear = np.abs(pieces[:, None] - edges).min(axis=1) > 1e-3  # between two looks an edge is not known better
    assert clear.mean() > 0.9
    assert (by_stretch[clear] == count[clear]).all()
    assert sum(Counted(bent, ()).worst().values()) >= count.max() > 2


def test_small_to_and_fro_is_left_out():
    time = np.linspace(0.0, 1.0, 1001)
    wobble = 5.0 * time + 0.002 * np.sin(200 * time)
    assert [*_one_way(wobble, 0.006)] == [(pytest.approx(0.0, abs=1e-3), pytest.approx(5.0, abs=2e-3))]
    assert len([*_one_way(0.5 * np.sin(2 * math.pi * 3 * time), 0.006)]) == 7
