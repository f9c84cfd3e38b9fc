"""What a line type fails at without a run: facts of the trade, and figures by hand."""

from __future__ import annotations

import pytest

from sim.scenario import Scenario, read_text
from sim.strength.catalogue import find, names
from sim.strength.evidence import evidence_needed
from sim.strength.fitness import Tread, ends_not_made, size_for, smallest_tread, too_hot, too_sharp
from sim.strength.making import EFFORTS, hardest, making
from sim.strength.sizes import Size, sizes_within
from sim.strength.surroundings import heat
from sim.strength.terminations import terminations

RIG = """
title: a hoist
environment: {temperature: HOT, wet: WET}
performers:
  flyer: {mass: 80 kg, at: [4 m, 0 m, 3 m], body_below: 1.3 m, harness: {stiffness: 45 kN/m}}
lines:
  lift line:
    type: TYPE
    diameter: SIZE
    route: [winch, lead sheave, head sheave, flyer]
    terminations: {winch: wraps on the drum, flyer: END}
    MORE: none
sheaves:
  lead sheave: {at: [0 m, 0 m, 9 m], tread_diameter: 200 mm}
  head sheave: {at: [4 m, 0 m, 9 m], tread_diameter: TREAD}
drives:
  winch:
    {kind: winch, at: [0 m, 0 m, 0.4 m], moving_mass: 60 kg, drum_diameter: 300 mm, brakes: [BRAKE]}
stops: none
limits: none
"""


def rig(
    kind: str = "7x19 galvanised",
    size: str = "5 mm",
    tread: str = "100 mm",
    hot: str = "20 degC",
    end: str = "swaged sleeve with thimble",
    wet: str = "false",
    more: str = "",
) -> Scenario:
    text = (
        RIG.replace("BRAKE", "{force: 2 kN, delay: 80 ms, rise: 60 ms}")
        .replace("TYPE", kind)
        .replace("SIZE", size)
        .replace("TREAD", tread)
        .replace("HOT", hot)
    )
    text = text.replace("END", end).replace("WET", wet).replace("    MORE: none\n", more)
    return read_text(text, "hoist")


def sharp(kind: str, size_mm: float, tread_mm: float) -> str:
    found = too_sharp(
        find(kind).at(size_mm / 1000), Tread("head sheave", tread_mm / 1000, f"{tread_mm:g} mm"), f"{size_mm:g} mm"
    )
    return found.says if found else ""


def test_five_millimetres_of_wire_over_eighty_fails_and_over_a_hundred_passes() -> None:
    # Trade check case, common practice, no source: sheaves of 20:1 for wire.
    said = sharp("7x19 galvanised", 5, 80)
    assert "D:d is 16 at 5 mm over head sheave (80 mm), and 20 is the least" in said
    assert "common practice, no source; needs evidence" in said
    assert sharp("7x19 galvanised", 5, 100) == ""
    assert sharp("7x19 galvanised", 5.01, 100) != ""
    # 3:1 for the aramid copolymer braid, common practice, no source.
    assert sharp("aramid copolymer 12-strand", 6, 18) == ""
    assert sharp("aramid copolymer 12-strand", 6, 17) != ""


def test_the_smallest_tread_counts_drum_and_bars_too() -> None:
    scenario = rig(tread="80 mm")
    assert smallest_tread(scenario, scenario.lines["lift line"]) == Tread("head sheave", 0.08, "80 mm")
    scenario = rig(tread="400 mm")
    found = smallest_tread(scenario, scenario.lines["lift line"])
    assert (found.at if found else "") == "lead sheave"


def hot(kind: str, temperature: str, more: str = "") -> str:
    scenario = rig(hot=temperature, more=more)
    data = find(kind).at(0.003 if kind == "music wire" else 0.008)
    return " | ".join(each.says for each in too_hot(scenario, scenario.lines["lift line"], data))


def test_hmpe_in_boiling_water_has_lost_more_than_half_and_is_out_above_140() -> None:
    # Trade check case, common practice, no source.
    for kind in ("HMPE 12-strand", "HMPE 12-strand for bending", "low-stretch double braid"):
        boiled = heat(find(kind).material, 100.0, "pot").reduction
        assert boiled is not None
        assert boiled.factor < 0.5, kind
        said = hot(kind, "100 degC")
        assert "not for use above 65 degC" in said
        assert f"{boiled.factor:.0%} of its strength would be left" in said
        assert "no strength that counts above 140 degC" in hot(kind, "141 degC")
        assert "no strength that counts" not in hot(kind, "140 degC")


def test_wire_and_para_aramid_stand_what_hmpe_does_not() -> None:
    assert hot("7x19 galvanised", "100 degC") == ""
    assert hot("para-aramid 12-strand", "140 degC") == ""
    assert "121 degC" in hot("7x19 galvanised", "130 degC")


def test_heat_counts_at_the_hot_end_of_its_spread_and_at_the_place_that_has_it() -> None:
    assert hot("HMPE 12-strand", "60 degC") == ""
    assert hot("HMPE 12-strand", "{value: 60 degC, range: [50 degC, 70 degC]}") != ""
    at_lamp = hot("HMPE 12-strand", "20 degC", "    temperature_at: {head sheave: 90 degC}\n")
    assert "90 degC at head sheave" in at_lamp
    assert "|" not in at_lamp


def test_wire_is_not_held_by_hand() -> None:
    # Common practice, no source: bare wire is hauled by machines, hands hold a textile tail.
    line = rig(kind="HMPE 12-strand", end="held by hand").lines["lift line"]
    assert "the end at flyer is 'held by hand'" in next(ends_not_made(line, find("7x19 galvanised"))).says
    assert list(ends_not_made(line, find("polyester double braid"))) == []
    # Any other end may be changed for one that the type is made with.
    assert list(ends_not_made(rig(end="long splice with thimble").lines["lift line"], find("7x7 stainless"))) == []


def chosen(kind: str, bound: str, tread: str) -> tuple[str, str]:
    scenario = rig(tread=tread)
    mm = float(bound.split()[0]) if bound.endswith("mm") else 6.35
    size, why = size_for(scenario, scenario.lines["lift line"], find(kind), Size(mm / 1000, bound))
    return (size.written if size else "", " ".join(each.says for each in why))


@pytest.mark.parametrize(
    ("kind", "bound", "tread", "size"),
    [
        ("7x19 galvanised", "6 mm", "150 mm", "6 mm"),
        ("7x19 galvanised", "6 mm", "100 mm", "5 mm"),  # 20:1
        ("7x19 galvanised", "1/4 in", "150 mm", "1/4 in"),
        ("7x19 galvanised", "6.2 mm", "150 mm", "6.2 mm"),
        ("HMPE 12-strand", "6 mm", "100 mm", "6 mm"),
        ("HMPE 12-strand", "6 mm", "40 mm", "5 mm"),  # 8:1
        ("polyester double braid", "30 mm", "200 mm", "24 mm"),
        ("music wire", "6 mm", "200 mm", ""),
        ("low-stretch double braid", "6 mm", "200 mm", ""),
    ],
)
def test_the_thickest_size_that_bound_and_sheave_allow(kind: str, bound: str, tread: str, size: str) -> None:
    found, why = chosen(kind, bound, tread)
    assert (found, bool(why)) == (size, not size)


def test_why_no_size_is_possible() -> None:
    assert (
        "not made in 6 mm or thinner: the catalogue has 8 to 14 mm"
        in chosen("low-stretch double braid", "6 mm", "200 mm")[1]
    )
    # 200 / 0.508 by hand.
    assert (
        "D:d is 394 at 0.020 in, its thinnest, over lead sheave (200 mm)" in chosen("music wire", "6 mm", "250 mm")[1]
    )


def test_sizes_go_by_their_names() -> None:
    written = [size.written for size in sizes_within(find("7x19 galvanised"), Size(0.005, "5 mm"))]
    assert written[:2] == ["1.5 mm", "1/16 in"]
    assert written[-2:] == ["3/16 in", "5 mm"]
    for name in names():
        for size in sizes_within(find(name), Size(0.03, "30 mm")):
            assert find(name).at(size.diameter_m).diameter_m == size.diameter_m


def test_every_end_says_how_it_is_made() -> None:
    for word in terminations():
        found = making(word)
        assert found is not None, word
        assert found.effort in EFFORTS
    assert making("splice of 2.5 fids") == making("long splice")
    assert making("glue") is None
    assert hardest(["wraps on the drum", "long splice"]) == "with hand tools"
    assert hardest(["swaged sleeve", "held by hand", "glue"]) == "with a press or a machine"
    assert hardest([]) == ""


def needed(**given: str) -> set[str]:
    return set(evidence_needed(rig(**given), "lift line"))


def test_evidence_is_asked_for_what_counts_here() -> None:
    wire = needed()
    # EN 12385 strength and mass, and the sleeve's 95 %, were read; 20:1 and the damping were not.
    assert {"least D:d", "damping"} <= wire
    assert wire.isdisjoint({"breaking strength", "mass", "swaged sleeve with thimble"})
    braid = needed(kind="HMPE 12-strand", end="long splice with thimble")
    assert "breaking strength" in braid
    assert {each for each in braid if each.startswith("temperature")} == set()  # room temperature
    warm = needed(kind="HMPE 12-strand", end="long splice with thimble", hot="40 degC")
    assert "temperature 40 degC" in warm
    # What soaked line holds is common practice, and it is run with it.
    soaked = needed(kind="HMPE 12-strand", end="long splice with thimble", wet="true")
    assert {"water it holds", "wet"} <= soaked
    assert "water it holds" not in braid
    certified = needed(kind="HMPE 12-strand", more="    breaking_strength: {value: 30 kN, from: certificate}\n",
                       end="long splice with thimble")  # fmt: skip
    assert braid - certified == {"breaking strength"}
    assumed = needed(kind="HMPE 12-strand", more="    breaking_strength: 30 kN\n", end="long splice with thimble")
    assert "breaking strength" in assumed
