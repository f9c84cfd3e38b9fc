"""`stopload lines`: what the page says is what the catalogue has, in both systems of units, and files read back."""

import csv
import io
from pathlib import Path

import pytest

from sim.command.lines import _in_order  # pyright: ignore[reportPrivateUsage]
from sim.command.main import main
from sim.strength.catalogue import find, names
from sim.strength.export import csv_text, yaml_text
from sim.strength.facts import facts

INCH_M = 0.0254
LBF_N = 4.4482216152605


def page(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(["lines", *arguments]) == 0
    shown = capsys.readouterr()
    assert shown.err == ""
    return shown.out


def row(text: str, start: str) -> str:
    return next(line for line in text.splitlines() if line.strip().startswith(start))


def test_the_list_has_every_type_and_the_cautions(capsys: pytest.CaptureFixture[str]) -> None:
    text = page(capsys)
    for name in names():
        assert row(text, name)
    assert "floats" in text
    assert "* needs evidence" in text
    assert "approves nothing" in text
    assert "A certificate goes before" in text
    assert max(len(line) for line in text.splitlines()) <= 120


def test_the_list_in_the_size_asked(capsys: pytest.CaptureFixture[str]) -> None:
    # EN 12385, 7x19 of 5 mm, grade 1770: 16.02 kN, 9.53 kg/100 m.
    cells = row(page(capsys, "--diameter", "5 mm"), "7x19 galvanised").split()
    assert {"16", "95.2", "5"} <= set(cells)
    # FAA AC 43.13-1B, Table 7-3: 1/4 in 7000 lbf; 11 lb/100 ft (value from memory) is marked.
    cells = row(page(capsys, "--diameter", "1/4 in", "--units", "us"), "7x19 galvanised").split()
    assert {"7,000", "11*", "250"} <= set(cells)


def test_one_type_in_full(capsys: pytest.CaptureFixture[str]) -> None:
    text = page(capsys, "7x19 galvanised", "--diameter", "1/4 in")
    assert "7x19 galvanised, 1/4 in" in text
    strength = row(text, "breaking strength, minimum")
    assert "31.1 kN" in strength
    assert "31.1 to 34.3" in strength
    assert "read" in strength
    number = strength.split()[-1]
    assert "FAA Advisory Circular 43.13-1B" in row(text, f"- {number}")
    assert "needs evidence" in row(text, "D:d for strength")
    assert "needs" not in row(text, "D:d for life")
    assert "95 %" in row(text, "end: swaged sleeve with thimble")


def test_what_nobody_knows_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert "unknown" in row(page(capsys, "music wire"), "D:d for life")
    assert "?" in row(page(capsys), "music wire")


def test_us_units_turn_every_figure(capsys: pytest.CaptureFixture[str]) -> None:
    text = page(capsys, "HMPE 12-strand", "--units", "us")
    assert "149 °F" in row(text, "highest temperature")  # 65 degC
    assert "°F" in row(text, "strength left hot")
    assert "1.89 in" in row(text, "tread diameter for strength")  # 8 x 6 mm
    for sign in (" kN", " mm ", "°C", " J/m", " g/m"):
        assert sign not in text.split("Sources")[0].split("breaking strength")[1]  # the title has the nominal size


def test_several_beside_each_other(capsys: pytest.CaptureFixture[str]) -> None:
    text = page(capsys, "7x19 galvanised", "HMPE 12-strand", "music wire", "--diameter", "3 mm")
    assert row(text, "7x19 galvanised").split() == ["7x19", "galvanised", "HMPE", "12-strand", "music", "wire"]
    strength = row(text, "breaking strength, minimum")
    assert "5.77 kN" in strength  # EN 12385
    assert strength.count("kN") == 3
    assert "*" in strength  # HMPE: common practice
    assert row(text, "end: long splice with").count("–") == 2


def test_rows_keep_their_order() -> None:
    assert _in_order([["a", "d"], ["a", "b", "d"], ["b", "c", "d", "e"]]) == ["a", "b", "c", "d", "e"]


@pytest.mark.parametrize(
    ("arguments", "status", "expected"),
    [
        (["7x19 galvanized"], 2, "nearest: 7x19 galvanised"),
        (["music wire", "--diameter", "6 mm"], 2, "0.508 to 3.175 mm"),
        (["--diameter", "6"], 2, "unit"),
        (["--diameter", "0 mm"], 2, "no diameter"),
        (["--export", "lines.txt"], 2, ".csv or .yaml"),
        (["--own", "nowhere-at-all"], 2, "is not a folder"),
        (["--sort", "weight"], 2, "go with --for"),
        (["--line", "drop line"], 2, "go with --for"),
    ],
)
def test_what_cannot_be_done_is_told(
    capsys: pytest.CaptureFixture[str], arguments: list[str], status: int, expected: str
) -> None:
    assert main(["lines", *arguments]) == status
    assert expected in capsys.readouterr().err


def test_csv_has_every_number_with_range_and_source(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "lines.csv"
    assert "is written" in page(capsys, "--export", str(file))
    rows = list(csv.DictReader(io.StringIO(file.read_text(encoding="utf-8"))))
    assert {each["type"] for each in rows} == set(names())
    wanted = [
        each
        for each in rows
        if each["type"] == "7x19 stainless"
        and each["what"] == "breaking strength, minimum"
        and float(each["diameter_m"]) == pytest.approx(0.25 * INCH_M)
    ]
    assert len(wanted) == 1
    # FAA AC 43.13-1B, Table 7-3: 6400 lbf.
    assert float(wanted[0]["value"]) == pytest.approx(6400 * LBF_N, rel=1e-5)
    assert (wanted[0]["unit"], wanted[0]["status"], wanted[0]["needs_evidence"]) == ("N", "read", "")
    for each in rows:
        assert (each["needs_evidence"] == "needs evidence") is (
            each["status"] in ("from memory", "common practice", "unknown")
        )
        if each["low"]:
            assert float(each["low"]) <= float(each["value"]) <= float(each["high"])
        assert each["value"] or each["says"]
    assert main(["lines", "--export", str(file)]) == 2  # what is there stays


def test_csv_of_one_size_leaves_out_what_is_not_made_in_it() -> None:
    rows = list(csv.DictReader(io.StringIO(csv_text(names(), 0.005))))
    assert "music wire" not in {each["type"] for each in rows}
    assert {each["diameter_m"] for each in rows} == {"0.005"}


def test_yaml_reads_back_as_own_records(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    page(capsys, "--export", str(tmp_path / "all.yaml"))
    for name in names():
        size = find(name).families[-1].sizes_m()[-1]
        ours, theirs = find(name).at(size), find(name, tmp_path).at(size)
        assert theirs.record.startswith("all.yaml, SHA-256")
        assert theirs.sources == ours.sources
        assert theirs.stretch == ours.stretch
    changed = (tmp_path / "all.yaml").read_text(encoding="utf-8").replace("value: 640.74", "value: 700")
    (tmp_path / "all.yaml").write_text(changed, encoding="utf-8")
    own = tmp_path / "changed"
    own.mkdir()
    (tmp_path / "all.yaml").rename(own / "all.yaml")
    text = page(capsys, "--own", str(own), "--diameter", "6 mm")
    assert "25.2" in row(text, "7x19 galvanised")  # 700 x 36 N
    assert "own record" in text
    again = yaml_text(["7x19 galvanised"], "0", own)
    assert "SHA-256" not in again


def test_facts_follow_the_curve() -> None:
    # Aramid copolymer: 0.6 % at 10 % and 0.9 % at 20 %, common practice, no source; linear beyond: 3.3 % at break.
    known = {fact.what: fact for fact in facts(find("aramid copolymer 12-strand"), 0.006)}
    assert known["stretch at 10%, slow, bedded in"].value == pytest.approx(0.6)
    assert known["stretch at 20%, slow, new"].value == pytest.approx(1.8)
    assert known["stretch at 20%, fast, bedded in"].needs_evidence
