"""Energy, weight and sag of the demos' lines, against sums by hand and closed forms."""

from __future__ import annotations

import math

import pytest

from sim.dynamics.run import ready
from sim.results.lines import LineFigures
from sim.results.plain import from_plain, to_plain
from sim.strength.catalogue import find, names
from sim.strength.facts import shown_size_m
from sim.strength.recoil import beyond_its_fibre
from tests.demos.demos import G, changed, read, rig
from tests.studies.asked import asked, figures, of_demo


def test_the_long_run_of_wire_sags_and_weighs_what_a_hand_sum_gives():
    found = of_demo("cathedral-run-wire")["nave line"].own_weight
    per_metre = 0.381 * 36 / 100  # EN 12385: W = 0.381 kg per 100 m and mm2
    assert found.mass_kg_per_m == pytest.approx(per_metre, rel=1e-9)
    way = math.hypot(2, 19) + 40 + 6
    assert found.out_m == pytest.approx(way, rel=2e-3)  # less its stretch, more what hangs in the sag
    assert found.out_kg == pytest.approx(per_metre * found.out_m)
    assert found.longest_out_m == pytest.approx(found.out_m + 10, rel=1e-4)
    level = found.spans[1]
    hangs_N = (80 + 1 + 6 * per_metre) * G  # body, hook and line below the crossing sheave
    assert level.tension_N == pytest.approx(hangs_N, rel=2e-3)
    assert level.sag_m == pytest.approx(per_metre * G * 40**2 / (8 * hangs_N), rel=3e-3)
    assert level.line_in_sag_m == pytest.approx(8 * (level.sag_m or 0) ** 2 / (3 * 40), rel=1e-3)
    assert found.performer == "sexton"
    assert found.on_performer_N == pytest.approx(per_metre * G * 6 / 2, rel=2e-3)
    assert found.out_share == pytest.approx(found.out_kg / 80, rel=1e-9)
    assert found.on_performer_share == pytest.approx(per_metre * 3 / 80, rel=2e-3)


@pytest.mark.parametrize("demo", ["cathedral-run-wire", "ferrymans-crossing"])
def test_the_sag_is_the_one_that_is_run(demo: str):
    """The solver finds its own sag at rest; where a span has none there, it is below a thousandth."""
    start = ready(rig(demo)).start
    for name, of in of_demo(demo).items():
        for i, span in zip(start.layout.line_spans[name], of.own_weight.spans, strict=True):
            k = int(start.model.spans[i]["sag"])
            if k >= 0:
                assert span.sag_m == pytest.approx(start.state[k], rel=2e-3)


def test_half_the_weight_of_both_long_lines_hangs_on_the_ferryman():
    both = of_demo("ferrymans-crossing")
    for name, head in (("west line", (-8, 0, 12)), ("east line", (8, 0, 12))):
        found = both[name].own_weight
        assert found.on_performer_N == pytest.approx(0.027 * G * math.dist(head, (-2, 0, 5)) / 2, rel=0.01)


def test_a_block_on_the_performer_bears_half_of_both_its_legs():
    found = of_demo("chimney-sweeps-rise")["hoist line"].own_weight
    legs = math.dist((7.9, 0, 12), (8, 0, 3)) + math.dist((8, 0, 3), (8.1, 0, 12))
    assert found.on_performer_N == pytest.approx(found.mass_kg_per_m * G * legs / 2, rel=0.01)


def test_energy_at_break_is_of_the_certificate_over_the_longest_line():
    found = of_demo("cathedral-run-wire")["nave line"]
    recoil = found.recoil
    assert recoil is not None
    EA = 41_800 * 36  # N, of metric 7x19 in the catalogue: half F squared over EA for an even stretch
    assert recoil.breaking_strength_N == 23_000.0
    assert recoil.energy_at_break_J_per_m == pytest.approx(0.5 * 23_000**2 / EA, rel=1e-6)
    # the catalogue's range of its modulus, -17 to +18 %
    assert recoil.energy_at_break_high_J_per_m == pytest.approx(0.5 * 23_000**2 / EA / 0.83, rel=1e-6)
    assert recoil.energy_at_break_low_J_per_m == pytest.approx(0.5 * 23_000**2 / EA / 1.18, rel=1e-6)
    assert recoil.energy_at_break_J == pytest.approx(0.5 * 23_000**2 / EA * found.own_weight.longest_out_m, rel=1e-6)
    run = asked(read("cathedral-run-wire")).finished["planned move"]
    assert recoil.peak_force_N == run.peaks["nave line"].force_N
    assert recoil.snap_back_speed_m_s == pytest.approx(23_000 / math.sqrt(EA * 0.13716), rel=1e-4)
    assert {each.what: each.status for each in recoil.basis}["breaking strength"] == "stated"
    assert all(each.source for each in recoil.basis)


def test_a_line_without_any_strength_has_no_energy_at_break():
    bare = changed(
        "cathedral-run-wire",
        ("type: 7x19 galvanised", "type: {stiffness_EA: 1.5 MN, mass_per_length: 137 g/m, damping_ratio: 0.01}"),
        ("    breaking_strength: {value: 23 kN, from: certificate}\n", ""),
    )
    found = figures(bare)["nave line"]
    assert found.recoil is None
    assert any("no figure" in each for each in found.missing)


def test_what_a_curve_says_beyond_its_fibre_is_no_figure():
    # 22 kN on 25.0 kN of EA would be 88 % of stretch; polyamide yarn breaks at 15 to 28 % (handbooks, from memory)
    catch = of_demo("stonemasons-fall")["catch line"]
    assert catch.recoil is not None
    assert catch.recoil.energy_at_break_J_per_m is catch.recoil.snap_back_speed_m_s is None
    assert "88 %" in catch.missing[0]
    # what it stored in the fall is within what was measured of such ropes: half F squared over EA on all of it
    run = asked(read("stonemasons-fall")).finished["planned move"]
    expected = 0.5 * run.peaks["catch line"].force_N ** 2 / 25_027 * catch.own_weight.longest_out_m
    assert catch.recoil.energy_at_peak_J == pytest.approx(expected, rel=2e-3)


def test_only_the_types_known_at_low_loads_say_nothing_of_their_break():
    silent = set()
    for name in names():
        line = find(name).at(shown_size_m(find(name)))
        assert line.breaking_strength_N is not None
        if beyond_its_fibre(line.stretch, line.breaking_strength_N, line.material):
            silent.add(name)
    assert silent == {"low-stretch kernmantle", "dynamic kernmantle"}


def test_the_figures_are_read_back_from_their_file():
    notes: dict[str, str] = {}
    for name, of in of_demo("ferrymans-crossing").items():
        plain = to_plain(of, name, notes)
        assert from_plain(LineFigures, plain, name, notes) == of
    assert not notes
