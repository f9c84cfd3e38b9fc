"""Creep under a hang, spin and heat of the demos' lines, against sums by hand."""

from __future__ import annotations

import math

import pytest

from sim.results.lines import Creep, Heat, LineFigures, Spin
from sim.strength.creep import crept
from sim.strength.spin import lay_of
from tests.demos.demos import G, changed
from tests.studies.asked import figures, of_demo


def creep_of(demo: str, line: str) -> Creep:
    found = of_demo(demo)[line].creep
    assert found is not None
    return found


def typed(fibre: str, diameter: str = "6 mm") -> dict[str, LineFigures]:
    return figures(
        changed(
            "lamplighters-drop",
            ("type: aramid copolymer 12-strand", f"type: {fibre}"),
            (
                "    diameter: 6 mm\n    breaking_strength: {value: 29 kN",
                f"    diameter: {diameter}\n    breaking_strength: {{value: 29 kN",
            ),
        )
    )


def test_creep_goes_with_the_logarithm_of_time():
    # by hand: from a minute to an hour are 1.778 tenfold times, to a day 3.158
    assert crept(1e-3, 3600.0) == pytest.approx(1.7782e-3, rel=1e-4)
    assert crept(1e-3, 86_400.0) == pytest.approx(3.1584e-3, rel=1e-4)
    assert crept(1e-3, 600.0) - crept(1e-3, 60.0) == pytest.approx(1e-3)
    assert crept(1e-3, 1.0) == 0.0


def test_a_hang_on_fibre_lengthens_by_its_rate_over_all_line_that_is_out():
    found = creep_of("lamplighters-drop", "drop line")
    assert found.per_decade_percent == 0.03  # some hundredths of a percent a decade, from memory
    assert found.first_hour_m == pytest.approx(27.74 * 3e-4 * math.log10(60), rel=1e-3)
    assert found.first_day_m == pytest.approx(27.74 * 3e-4 * math.log10(1440), rel=1e-3)
    assert found.load_percent == pytest.approx(100 * (84 + 1) * G / 29_000, rel=0.01)
    assert {"creep per tenfold time": "from memory"}.items() <= {b.what: b.status for b in found.basis}.items()


def test_no_figure_is_guessed_for_what_does_not_creep_so():
    wire = creep_of("cathedral-run-wire", "nave line")
    assert wire.per_decade_percent is wire.first_hour_m is wire.first_day_m is None
    assert wire.says.startswith("None that matters")
    # HMPE lengthens without end under a standing load, so that the logarithm would say too little
    hmpe = typed("HMPE 12-strand")["drop line"].creep
    assert hmpe is not None
    assert hmpe.first_hour_m is None
    assert "without end" in hmpe.says
    # LCP: none seen in 569 days at a third of the strength (a fibre seller's page)
    lcp = typed("LCP 12-strand")["drop line"].creep
    assert lcp is not None
    assert lcp.first_day_m == 0.0
    assert lcp.basis[1].status == "read"


def test_above_the_load_of_the_figure_there_is_none():
    weak = changed("lamplighters-drop", ("breaking_strength: {value: 29 kN", "breaking_strength: {value: 4 kN"))
    found = figures(weak)["drop line"].creep
    assert found is not None
    assert found.load_percent == pytest.approx(100 * 85 * G / 4000, rel=0.01)  # 21 %, the figure is for up to 20 %
    assert found.first_hour_m is None


def test_wire_turns_who_hangs_free_on_it():
    found = of_demo("cathedral-run-wire")["nave line"].spin
    assert isinstance(found, Spin)
    hang_N = (80 + 1) * G + 3 * 0.13716 * G  # at the middle of the 6 m hang
    assert (found.on, found.free) == ("sexton", True)
    assert found.torque_Nm == pytest.approx(0.07 * 0.006 * hang_N, rel=2e-3)
    # 60 degrees in each lay of 6.5 diameters at a fifth of 23 kN; the longest hang is 16 m, a little more on the bounce
    lays = found.hang_m / (6.5 * 0.006)
    assert found.hang_m == pytest.approx(16.0, abs=0.1)
    assert found.turns == pytest.approx(lays * 60 / 360 * hang_N / (0.2 * 23_000), rel=0.03)
    assert all(each.status == "from memory" for each in found.basis if each.what in ("torque factor", "turns"))


def test_wire_does_not_turn_who_hangs_on_two_lines_and_turns_a_bridle_on_one():
    two = changed(
        "ferrymans-crossing",
        ("type: aramid copolymer 12-strand", "type: 7x7 galvanised"),
        ("{west winch: wraps on the drum, ferryman: long splice with thimble}", "{west winch: wraps on the drum}"),
        ("{east winch: wraps on the drum, ferryman: long splice with thimble}", "{east winch: wraps on the drum}"),
    )
    west = figures(two)["west line"].spin
    assert west is not None
    assert (west.free, west.turns) == (False, None)
    assert west.torque_Nm is not None
    bridle = of_demo("weathercocks-bridle")
    lift, leg = bridle["lift line"].spin, bridle["left leg"].spin
    assert lift is not None
    assert leg is not None
    assert (lift.on, lift.free) == ("ring", True)
    assert (leg.on, leg.free) == ("weathercock", False)
    assert lift.torque_Nm is lift.turns is None  # a braid
    assert "half to each side" in lift.says


def test_a_swivel_at_the_performers_end_is_named():
    made = changed(
        "cathedral-run-wire",
        ("drives:\n", "hardware:\n  hook swivel: {kind: swivel, holds: nave line, end: sexton}\n\ndrives:\n"),
    )
    found = figures(made)["nave line"].spin
    assert found is not None
    assert found.swivel == "hook swivel"
    plain = of_demo("cathedral-run-wire")["nave line"].spin
    assert plain is not None
    assert (plain.swivel, plain.turns) == ("", found.turns)
    fall = of_demo("stonemasons-fall")["catch line"].spin
    assert fall is not None
    assert fall.swivel == "catch swivel"


def test_ropes_made_not_to_turn_turn_less_and_nothing_is_claimed_above_a_fifth():
    plain, resistant = lay_of("7x19"), lay_of("19x7 rotation-resistant")
    assert plain is not None
    assert resistant is not None
    assert resistant.torque_Nm(1000, 0.006) < plain.torque_Nm(1000, 0.006)
    turns = plain.turns(0.1, 10.0, 0.006), resistant.turns(0.1, 10.0, 0.006)
    assert turns[0] is not None
    assert turns[1] is not None
    assert turns[1] < 0.25 * turns[0]
    assert plain.turns(0.21, 10.0, 0.006) is None
    assert lay_of("12-strand braid") is None


def heat_of(*changes: tuple[str, str]) -> Heat:
    found = figures(changed("lamplighters-drop", *changes))["drop line"].heat
    assert found is not None
    return found


def test_the_hottest_stated_place_counts_and_gets_no_credit_without_a_test():
    hot = heat_of(
        (
            "    terminations:\n",
            "    temperature_at: {head sheave: {value: 90 degC, within: 10 degC}}\n    terminations:\n",
        )
    )
    assert (hot.hottest_degC, hot.at) == (100.0, "head sheave")
    assert (hot.limit_degC, hot.margin_degC) == (200.0, 100.0)
    assert hot.strength_left == pytest.approx(0.92)
    assert hot.says.startswith("No credit near lamps, flame")
    assert {b.what: b.status for b in hot.basis}["strength left hot"] == "from memory"
    plain = of_demo("lamplighters-drop")["drop line"].heat
    assert plain is not None
    assert (plain.hottest_degC, plain.at) == (32.0, "all along it")


def test_what_nobody_states_is_not_known_and_what_is_too_hot_has_no_margin():
    unstated = of_demo("cathedral-run-wire")["nave line"].heat
    assert unstated is not None
    assert unstated.hottest_degC is unstated.margin_degC is unstated.strength_left is None
    melts = heat_of(
        ("type: aramid copolymer 12-strand", "type: HMPE 12-strand"), ("temperature: 32 degC", "temperature: 80 degC")
    )
    assert melts.margin_degC == pytest.approx(65 - 80)


def test_wire_beside_fibre_of_the_same_strength():
    fibre, wire = of_demo("lamplighters-drop")["drop line"].recoil, of_demo("cathedral-run-wire")["nave line"].recoil
    assert fibre is not None
    assert wire is not None
    assert fibre.beside is not None
    assert wire.beside is not None
    # 7x19 of 29 kN: d^2 = 29000 / 640.74, EA = 41.8 kN per mm2 of d^2 (EN 12385 factors), half F^2 over EA
    square = 29_000 / 640.74
    assert fibre.beside.diameter_m == pytest.approx(1e-3 * math.sqrt(square), rel=1e-4)
    assert fibre.beside.energy_at_break_J_per_m == pytest.approx(0.5 * 29_000**2 / (41_800 * square), rel=1e-4)
    assert fibre.beside.snap_back_speed_m_s == pytest.approx(
        29_000 / math.sqrt(41_800 * square * 0.00381 * square), rel=1e-4
    )
    assert wire.beside.type == "aramid copolymer 12-strand"
    assert wire.snap_back_speed_m_s is not None
    assert wire.beside.snap_back_speed_m_s > 2 * wire.snap_back_speed_m_s
