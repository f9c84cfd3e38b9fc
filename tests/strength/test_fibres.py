"""Materials against published yarn tables, and what is left of them in heat and water; each check names its source."""

from itertools import pairwise

import pytest

from sim.strength.catalogue import catalogue
from sim.strength.fibres import fibres, group_of, known_fibre
from sim.strength.laws import UNSOURCED, ByTemperature, Number, Said
from sim.strength.terminations import terminations

NAMES = sorted(fibres())


def test_yarns_without_a_read_source_say_so() -> None:
    fibre = fibres()["aramid copolymer"]
    for number in (fibre.relative_density, fibre.yarn_strength_N_per_tex, fibre.yarn_modulus_N_per_tex):
        assert number.status == "from memory"
    # ASTM A228: 1800 to 2413 MPa over 7850 kg/m3 is 0.229 to 0.307 N/tex.
    low, high = fibres()["bright steel"].yarn_strength_N_per_tex.range
    assert low < 1800 / 7850 < 2413 / 7850 < high


def test_hmpe_in_boiling_water() -> None:
    # More than half lost at 100 degC, out above 140 degC: common practice, no source.
    # 55 to 60 % left at 60 degC: value from memory.
    hmpe = fibres()["HMPE"]
    warm, boiling = hmpe.strength_left.at(60), hmpe.strength_left.at(100)
    assert warm is not None
    assert boiling is not None
    assert 0.55 <= warm.value <= 0.60
    assert boiling.high < 0.5
    assert hmpe.out_above_degC.value == 140
    assert hmpe.strength_left.at(141) is None


@pytest.mark.parametrize(("degC", "left"), [(151, 0.90), (250, 0.75)])
def test_wire_slings_in_heat(degC: float, left: float) -> None:
    # The table of slings goes in steps (trade page, secondary).
    found = fibres()["galvanised steel"].strength_left.at(degC)
    assert found is not None
    assert found.value == left


def test_para_aramid_in_heat() -> None:
    fibre = fibres()["para-aramid"]
    hot = fibre.strength_left.at(175)
    assert hot is not None
    assert 0.75 <= hot.value <= 0.80  # value from memory
    assert fibre.out_above_degC.status == "read"


@pytest.mark.parametrize("name", NAMES)
def test_what_floats(name: str) -> None:
    # Densities of the yarn table: of the fibres here only HMPE and polypropylene are lighter than water.
    assert fibres()[name].floats is (name in ("HMPE", "polypropylene"))


@pytest.mark.parametrize("name", NAMES)
def test_heat_never_adds_strength(name: str) -> None:
    fibre = fibres()[name]
    left = [found for degC in range(-20, 500, 5) if (found := fibre.strength_left.at(degC)) is not None]
    assert all(b.value <= a.value for a, b in pairwise(left))
    assert all(0 < each.low <= each.value <= each.high <= 1 for each in left)
    assert fibre.strength_left.highest_degC >= fibre.limit_degC.value - 1e-9


@pytest.mark.parametrize("temperatures", [{20: 1.0, 10: 0.9}, {20: 0.9, 40: 1.0}, {20: 1.1}, {20: 0.0}, {}])
def test_a_curve_that_cannot_be_is_refused(temperatures: dict[float, float]) -> None:
    with pytest.raises(ValueError, match=r"temperatures rise|factor is above"):
        ByTemperature(temperatures, (-5, 5), "fibre_heat", "from memory")


def test_words_say_where_they_come_from() -> None:
    with pytest.raises(ValueError, match="have a source"):
        Said("Good.", "read")
    with pytest.raises(ValueError, match="have a source"):
        Said("No figure.", "unknown", "fibre_memory")
    for name, line in catalogue().items():
        for said in (line.flex_fatigue, line.abrasion, line.visibility, line.recoil, line.material.light):
            assert said.says.endswith("."), name
            assert bool(said.source_in_words) is (said.status != "unknown")


def test_a_number_from_memory_is_never_called_read() -> None:
    for fibre in fibres().values():
        for value in vars(fibre).values():
            if isinstance(value, Number | Said | ByTemperature) and value.status == "read" and value.source:
                assert value.source not in {"fibre_memory", "fibre_heat", "light_memory", "creep_memory", "wet_nil"}
    assert "from memory" in UNSOURCED


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("aramid copolymer braid", "aramid copolymer"),
        ("para-aramid", "para-aramid"),
        ("7x19 stainless", "stainless steel"),
        ("7x19", "galvanised steel"),
        ("music wire", "bright steel"),
        ("HMPE in a polyester cover", "HMPE in a polyester cover"),
        ("Nylon", "polyamide"),
        ("spider silk", None),
    ],
)
def test_the_longest_word_decides(words: str, name: str | None) -> None:
    found = known_fibre(words)
    assert (found.name if found else None) == name


def test_groups() -> None:
    assert group_of("polyester", True) == "conventional"
    assert group_of("spider silk", True) == "high-modulus"
    assert group_of("7x19 stainless", False) == "wire"
    assert group_of("", True) == "unstated"


def test_every_type_names_terminations_that_exist_in_its_material() -> None:
    for name, line in catalogue().items():
        group = group_of(line.fibre, line.textile)
        assert line.terminated_by, name
        for word in line.terminated_by:
            assert terminations()[word].fits(group), f"{name}: {word}"
