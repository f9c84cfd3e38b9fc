"""Data that cannot be, or that was likely meant otherwise: each slip is told in words, and right data pass silently."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml

from sim.scenario import ScenarioErrors, read_file, read_text
from sim.strength.catalogue import catalogue, find
from sim.strength.judge import judge
from sim.strength.plausible import Doubt, doubts, of_a_record
from sim.strength.prepare import StrengthError, prepare
from tests.strength.lamplighter import scenario, written

LINE = "lines/drop line"
WIRE = (f"{LINE}/type", "7x19 galvanised")
DEMOS = sorted((Path(__file__).parents[2] / "scenarios").glob("*.yaml"))
OWN: dict[str, Any] = {
    "stretch": {"10 %": "0.6 %", "20 %": "0.9 %"},
    "breaking_strength": "29 kN",
    "mass_per_length": "27 g/m",
    "damping_ratio": "3 %",
    "fibre": "aramid copolymer",
}


def found(*changes: tuple[str, Any]) -> list[Doubt]:
    return list(doubts(scenario(*changes)))


def only(*changes: tuple[str, Any]) -> Doubt:
    (doubt,) = found(*changes)
    return doubt


def own(**changes: Any) -> tuple[str, Any]:
    return f"{LINE}/type", {key: value for key, value in (OWN | changes).items() if value is not None}


def certificate(text: str, size: str = "6 mm") -> list[tuple[str, Any]]:
    return [WIRE, (f"{LINE}/diameter", size), (f"{LINE}/breaking_strength", text)]


@pytest.mark.parametrize("file", DEMOS, ids=lambda file: file.stem)
def test_the_demos_are_plausible(file: Path) -> None:
    assert list(doubts(read_file(file))) == []


def test_right_data_pass_silently() -> None:
    assert found() == []
    assert found(own()) == []
    assert found(*certificate("23 kN")) == []
    assert found(*certificate("7000 lbf", "1/4 in")) == []


def test_an_inch_certificate_on_a_metric_size() -> None:
    # 1/4 in has 7000 lbf (FAA AC 43.13-1B, Table 7-3); 6 mm has 23.1 kN (EN 12385): 12 % less area and another make.
    doubt = only(*certificate("31.1 kN"))
    assert "1/4 in (31.1 kN): is the size right?" in doubt.says
    assert not doubt.impossible


def test_a_metric_certificate_on_an_inch_size() -> None:
    # EN 12385, 7x19, 1770: 6 mm 23.07 kN.
    assert "6 mm (23.1 kN)" in only(*certificate("23.1 kN", "1/4 in")).says


@pytest.mark.parametrize("size", ["6.4 mm", "3.2 mm", "4.8 mm", "9.6 mm", "6.7 mm", "3.4 mm"])
def test_an_inch_size_rounded_to_millimetres(size: str) -> None:
    kN = 0.64074 * float(size.split()[0]) ** 2
    assert "if " in only(*certificate(f"{kN} kN", size)).says
    assert "no usual metric size" in only(*certificate(f"{kN} kN", size)).says


@pytest.mark.parametrize(
    ("strength", "size", "meant"),
    [
        ("7000 N", "1/4 in", "lbf written as N"),
        ("2350 N", "6 mm", "kgf written as N"),
        ("48 kN", "6 mm", "two parts of line"),
        ("4.7 kN", "6 mm", "working load limit at 5:1"),
        ("2.35 kN", "6 mm", "kgf written as N"),
        ("27.5 kN", "6 mm", "a mean of tests"),
        ("24 N", "6 mm", "kN written as N"),
    ],
)
def test_what_a_certificate_likely_means(strength: str, size: str, meant: str) -> None:
    assert meant in only(*certificate(strength, size)).says


def test_a_strength_no_such_wire_can_have() -> None:
    # Solid steel of 0.31 N/tex (2.4 GPa) of 6 mm bears 68 kN; no rope fills the circle.
    with pytest.raises(StrengthError, match="more than any 7x19 galvanised of 6 mm can bear"):
        prepare(scenario(*certificate("235 kN")))


def test_a_strength_said_to_be_a_mean() -> None:
    change = ("sheaves/head sheave/breaking_strength", {"value": "60 kN", "from": "mean of five tests"})
    doubt = only(change)
    assert doubt.of == "head sheave"
    assert "the minimum is meant" in doubt.says
    assert found(("sheaves/head sheave/breaking_strength", {"value": "60 kN", "from": "by means of a test"})) == []


MEAN = {"value": "30 kN", "from": "average of five pulls"}


@pytest.mark.parametrize(
    ("where", "of"),
    [
        ("lines/drop line/breaking_strength", "drop line"),
        ("hardware/lead sling/breaking_strength", "lead sling"),
        ("hardware/head sling/leg_breaking_strength", "head sling"),
        ("drives/winch/breaking_strength", "winch"),
        ("performers/lamplighter/harness/breaking_strength", "lamplighter harness"),
        ("performers/lamplighter/harness/points/hip", "hip"),
    ],
)
def test_a_mean_is_told_wherever_a_strength_stands(where: str, of: str) -> None:
    point = {"offset": ["0.2 m", "0 m", "0 m"], "breaking_strength": MEAN}
    said = [
        each for each in found((where, point if where.endswith("hip") else MEAN)) if "said to be a mean" in each.says
    ]
    assert [each.of for each in said] == [of]


def test_the_mean_of_a_type_written_in_place_is_told() -> None:
    assert "average of five pulls" in only(own(breaking_strength=MEAN | {"value": "29 kN"})).says


@pytest.mark.parametrize(
    ("law", "expected"),
    [
        # 6 mm of solid polyester weighs 39 g/m (1380 kg/m3, yarn table); 25 g/m of yarn at 0.84 N/tex bear 21 kN
        ("mass: {unit: g/m, table: {6 mm: 60}", "more than a solid bar of polyester of 6 mm"),
        ("strength: {unit: kN, table: {6 mm: 60}", "the yarn of polyester itself has at most 0.9"),
    ],
)
def test_a_record_of_ones_own_that_cannot_be(
    law: str, expected: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    laws = {"mass": "mass: {unit: g/m, table: {6 mm: 25}", "strength": "strength: {unit: kN, table: {6 mm: 9}"}
    laws[law.partition(":")[0]] = law
    rest = "range_percent: [-5, 5], source: our own scales, status: stated}"
    family = ", ".join(f"{each}, {rest}" for each in laws.values())
    record = f"grey line: {{like: polyester double braid, families: [{{sizes: metric, {family}}}]}}\n"
    (tmp_path / "own.yaml").write_text(record, encoding="utf-8")
    monkeypatch.setenv("STOPLOAD_LINES", str(tmp_path))
    with pytest.raises(StrengthError, match=expected) as caught:
        prepare(scenario((f"{LINE}/type", "grey line"), (f"{LINE}/breaking_strength", None)))
    assert "in the record own.yaml" in str(caught.value)


def test_a_record_of_ones_own_with_a_mean() -> None:
    rope = find("polyester double braid").at(0.010)
    mean = replace(rope.sources["breaking_strength_N"], source="average of three pulls")
    record = replace(rope, record="own.yaml, SHA-256 0", sources={**rope.sources, "breaking_strength_N": mean})
    assert "said to be a mean (average of three pulls); the minimum is meant" in " ".join(
        s for _, s in of_a_record(record)
    )


@pytest.mark.parametrize("name", sorted(catalogue()))
def test_our_own_catalogue_is_plausible_in_every_size(name: str) -> None:
    # The same physical bounds, of yarn tables and densities: no type of ours may break them where a user's is refused.
    entry = catalogue()[name]
    for family in entry.families:
        for size_m in family.sizes_m():
            data = entry.at(size_m)
            assert data.material is not None
            assert [says for impossible, says in of_a_record(replace(data, record="ours")) if impossible] == []


@pytest.mark.parametrize(
    ("mass", "impossible", "meant"),
    [
        ("42 g/m", True, ""),  # a solid bar of 6 mm weighs 39.3 g/m at 1390 kg/m3 (density from memory)
        ("2.7 kg/m", True, "kg/100 m written as kg/m"),
        ("27 kg/m", True, "g/m written as kg/m"),
        ("0.027 kg/100 m", True, "kg/m written as kg/100 m"),
        ("10 g/m", False, ""),
    ],
)
def test_mass_against_a_solid_bar(mass: str, impossible: bool, meant: str) -> None:
    doubt = next(each for each in found(own(mass_per_length=mass)) if "solid bar" in each.says)
    assert doubt.impossible is impossible
    assert meant in doubt.says


def test_strength_against_the_yarn() -> None:
    # 290 kN at 27 g/m is 10.7 N/tex; aramid copolymer yarn has about 2.4 (value from memory).
    with pytest.raises(StrengthError, match=r"10\.7 N/tex; the yarn of aramid copolymer itself has at most 2\.5"):
        prepare(scenario(own(breaking_strength="290 kN", stretch={"29 kN": "1 %"})))
    weak = [each for each in found(own(breaking_strength="6.5 kN", stretch={"3 kN": "0.6 %"})) if "yarn's" in each.says]
    assert "lbf written as N" in weak[0].says


def test_stiffer_than_the_yarn() -> None:
    # 0.06 % at 10 % of 29 kN is 4.8 MN, 179 N/tex; aramid copolymer yarn has about 52 (value from memory).
    stiff = own(stretch={"10 %": "0.06 %", "20 %": "0.09 %"})
    with pytest.raises(StrengthError, match="ten times too small"):
        prepare(scenario(stiff))


def test_hardly_stiff_at_all() -> None:
    assert "hardly anything" in only(own(stretch={"10 %": "10 %"})).says


def test_stretch_at_two_loads_that_contradict() -> None:
    # The same stretch at two loads is refused by the reader; nearly the same is told here.
    said = found(own(stretch={"10 %": "0.6 %", "20 %": "0.7 %"}))
    assert [each.impossible for each in said if "at two loads" in each.says] == [False]
    assert [each.impossible for each in said if "the yarn of" in each.says] == [True]  # 2.9 MN is 107 N/tex
    assert "would soften" in only(own(stretch={"10 %": "0.6 %", "20 %": "2 %"})).says
    table = written()
    table["lines"]["drop line"]["type"] = OWN | {"stretch": {"10 %": "0.6 %", "20 %": "0.6 %"}}
    with pytest.raises(ScenarioErrors, match=r"0\.6 % after 10 %: 0\.6 %"):
        read_text(yaml.safe_dump(table), "rig.yaml")


def test_percent_of_nothing_and_a_bare_ton_are_refused_by_the_reader() -> None:
    table = written()
    table["lines"]["drop line"]["type"] = {key: value for key, value in OWN.items() if key != "breaking_strength"}
    table["sheaves"]["head sheave"]["breaking_strength"] = "6 ton"
    with pytest.raises(ScenarioErrors) as caught:
        read_text(yaml.safe_dump(table), "rig.yaml")
    said = str(caught.value)
    assert "percent, but of nothing" in said
    assert "long ton" in said


def test_the_base_of_percentages() -> None:
    assert "is that meant?" in only(own(breaking_strength="25 kN")).says
    assert "not those of one line" in only(own(breaking_strength="20 kN")).says


def test_an_unknown_fibre_is_said() -> None:
    assert "unknown to the catalogue" in only(own(fibre="spider silk")).says


def test_doubts_stand_first_among_the_assumptions() -> None:
    assumptions = judge(scenario(*certificate("27.5 kN"), (f"{LINE}/terminations/lamplighter", "spelter socket")), {})
    assert assumptions.assumptions[0].startswith("Doubtful: drop line: 27.5 kN is more than the catalogue has")
