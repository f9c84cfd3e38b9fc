"""A user's own records: they override ours, say where they come from, and are refused in words."""

from pathlib import Path

import pytest
import yaml

from sim.strength.catalogue import (
    OwnRecordError,
    catalogue,
    find,
    names,
    own_files,
    own_records_from,
    written_record,
)
from sim.strength.judge import judge
from sim.strength.own import line_data
from sim.strength.prepare import StrengthError, prepare
from tests.strength.lamplighter import scenario

OWN = """
aramid copolymer 12-strand:
  like: aramid copolymer 12-strand
  families:
    - sizes: metric
      strength:
        {unit: kN, table: {"6 mm": 31, "8 mm": 52}, range_percent: [0, 8], source: test report 7, status: stated}
      mass:
        {unit: g/m, table: {"6 mm": 26.5, "8 mm": 47}, range_percent: [-2, 2], source: our own scales, status: stated}
  damping_ratio: {value: 0.02, range: [0.02, 0.03], source: ring-down of our rig, status: stated}
grey tail:
  like: polyester double braid
  notes: [Our own tail.]
"""


def folder(tmp_path: Path, text: str = OWN) -> Path:
    (tmp_path / "own.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def test_own_records_override_ours(tmp_path: Path) -> None:
    own = folder(tmp_path)
    ours, theirs = find("aramid copolymer 12-strand").at(0.006), find("aramid copolymer 12-strand", own).at(0.006)
    assert theirs.breaking_strength_N == pytest.approx(31e3)
    assert theirs.mass_kg_per_m == pytest.approx(0.0265)
    assert theirs.sources["breaking_strength_N"].source == "test report 7"
    assert theirs.damping_ratio == 0.02
    assert theirs.line_friction == ours.line_friction  # what the record does not say stays ours
    assert any("own.yaml, SHA-256" in note for note in theirs.notes)
    assert ours.breaking_strength_N == pytest.approx(3000 * 9.80665, rel=1e-3)


def test_own_types_join_the_list(tmp_path: Path) -> None:
    own = folder(tmp_path)
    assert names(own) == (*names(), "grey tail")
    assert find("grey tail", own).at(0.010).fibre == "polyester"


def test_the_environment_names_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STOPLOAD_LINES", str(folder(tmp_path)))
    rig = scenario(("lines/drop line/breaking_strength", None))
    assert line_data(rig.lines["drop line"]).breaking_strength_N == pytest.approx(31e3)
    said = " ".join(judge(rig, {}).assumptions)
    assert "own.yaml, SHA-256" in said
    assert "test report 7" in judge(rig, {}).elements["drop line"].strength_origin


def test_the_files_a_scenario_uses_are_found_with_what_they_build_on(tmp_path: Path) -> None:
    files = {
        "base.yaml": "plain tail: {like: polyester double braid}\n",
        "own.yaml": "grey tail: {like: plain tail, notes: [Ours.]}\n",
        "zebra.yaml": "striped tail: {like: music wire}\n",
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    copy = tmp_path / "copy"
    copy.mkdir()
    assert own_files(["grey tail"]) == {}
    with own_records_from(tmp_path):
        used = own_files(["grey tail", "music wire"])
        assert used == {name: files[name].encode() for name in ("base.yaml", "own.yaml")}
        assert own_files(["striped tail"]) == {"zebra.yaml": files["zebra.yaml"].encode()}
        whole = find("grey tail")
    for name, content in used.items():
        (copy / name).write_bytes(content)
    with own_records_from(copy):
        assert find("grey tail") == whole
        assert "striped tail" not in names()
    assert "grey tail" not in names()


def test_a_missing_folder_is_told_before_any_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STOPLOAD_LINES", str(tmp_path / "nowhere"))
    with pytest.raises(StrengthError, match="is not a folder"):
        prepare(scenario())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("grey tail: {like: polyester double brade}", "nearest: polyester double braid"),
        ("A: {like: music wire, damping_ratio: {value: 2, range: [0, 1], source: a b, status: stated}}", "outside"),
        ("grey tail: {like: music wire, damping: 3}", "damping"),
        ("grey tail: {like: music wire, fibre: spider silk}", "spider silk"),
        ("grey tail: [1, 2]", "its keys"),
        ("grey tail: {like: music wire", "line 1: found a bracket that does not close"),
    ],
)  # fmt: skip
def test_faults_name_file_and_cause(tmp_path: Path, text: str, expected: str) -> None:
    with pytest.raises(OwnRecordError, match=expected) as caught:
        catalogue(folder(tmp_path, text))
    assert "own.yaml" in str(caught.value)


def test_the_same_name_twice(tmp_path: Path) -> None:
    (tmp_path / "also.yaml").write_text("grey tail: {like: music wire}", encoding="utf-8")
    with pytest.raises(OwnRecordError, match=r"also\.yaml"):
        catalogue(folder(tmp_path))


def test_a_written_record_reads_back_the_same(tmp_path: Path) -> None:
    for name in names():
        (tmp_path / "copy.yaml").write_text(yaml.safe_dump({name: dict(written_record(name))}), encoding="utf-8")
        copied = tmp_path / name.replace(" ", "-")
        copied.mkdir()
        (tmp_path / "copy.yaml").rename(copied / "copy.yaml")
        family = find(name).families[-1]
        size = (family.diameter_mm or (0, 0))[1] / 1000
        ours, theirs = find(name).at(size), find(name, copied).at(size)
        assert theirs.stretch == ours.stretch
        assert theirs.sources == ours.sources
