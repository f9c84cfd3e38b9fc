"""The result folder: the same numbers back, nothing over anything, every file accounted for."""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import numpy as np
import pytest

from sim.results.folder import FORMAT, Inputs, changed_files, read_result, refuse_early, write_result
from sim.results.model import Result, SweepTable, Trace
from sim.results.whole import FolderError
from tests.results.made_up import INPUTS, made_up_result, strange_result


def _draw(result: Result, folder: Path) -> None:
    (folder / "rig.svg").write_text(f"<svg>{result.title}</svg>")


def _assert_same(a: object, b: object, place: str = "") -> None:
    """Equal to the last bit, not-a-number included; traces to the nine digits written."""
    if isinstance(a, Trace) and isinstance(b, Trace):
        assert list(a.columns) == list(b.columns)
        np.testing.assert_allclose(b.time_s, a.time_s, rtol=1e-12, atol=0)
        for name in a.columns:
            np.testing.assert_allclose(b.columns[name], a.columns[name], rtol=5e-9, atol=0)
    elif isinstance(a, SweepTable) and isinstance(b, SweepTable):
        np.testing.assert_array_equal(a.stop_time_s, b.stop_time_s)
        for name in a.columns:
            np.testing.assert_array_equal(a.columns[name], b.columns[name])
        assert a.causes == b.causes
    elif is_dataclass(a) and not isinstance(a, type):
        assert type(a) is type(b)
        for each in fields(a):
            if each.name != "stamp":
                _assert_same(getattr(a, each.name), getattr(b, each.name), f"{place}.{each.name}")
    elif isinstance(a, dict) and isinstance(b, dict):
        assert list(a) == list(b), place
        for key in a:
            _assert_same(a[key], b[key], f"{place}[{key}]")
    elif isinstance(a, tuple) and isinstance(b, tuple):
        assert len(a) == len(b), place
        for i, (x, y) in enumerate(zip(a, b, strict=True)):
            _assert_same(x, y, f"{place}[{i}]")
    else:
        assert type(a) is type(b), place
        assert a == b or (isinstance(a, float) and math.isnan(a) and math.isnan(b)), place  # type: ignore[arg-type]


@pytest.mark.parametrize("make", [made_up_result, strange_result])
def test_what_is_written_is_read_back(tmp_path: Path, make) -> None:
    result = make()
    write_result(tmp_path / "out", result, INPUTS, _draw)
    _assert_same(result, read_result(tmp_path / "out"))


def test_writing_what_was_read_gives_the_same_files(tmp_path: Path) -> None:
    write_result(tmp_path / "a", made_up_result(), INPUTS, _draw)
    write_result(tmp_path / "b", read_result(tmp_path / "a"), INPUTS, _draw)
    names = {p.relative_to(tmp_path / "a") for p in (tmp_path / "a").rglob("*") if p.is_file()}
    assert names == {p.relative_to(tmp_path / "b") for p in (tmp_path / "b").rglob("*") if p.is_file()}
    for name in names:
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes(), name


def test_result_json_has_the_shape_of_the_format(tmp_path: Path) -> None:
    write_result(tmp_path / "out", made_up_result(), INPUTS, _draw)
    data = json.loads((tmp_path / "out/result.json").read_text())
    assert data["format"] == FORMAT == "stopload result 1"
    assert data["findings"][0] == {
        "limit": "g_load",
        "of": "lamplighter",
        "case": "power loss, worst force",
        "found": 6.4,
        "required": 6.0,
        "unit": "",
        "within": False,
        "remark": "",
    }
    case = data["cases"]["planned move"]
    assert (case["kind"], case["outcome"]) == ("working", "finished")
    assert "stop_time_s" not in case
    assert case["performers"]["lamplighter"]["peak_g"] == 2.31
    assert case["events"][0] == {"time_s": 0.5, "what": "move starts", "where": "winch"}
    assert case["audit"]["energy_residual"] == 1.2e-7
    line = data["elements"]["drop line"]
    assert line["design_factor"] == {"static": 31.4, "working": 13.7, "emergency": 6.2}
    assert line["reductions"][0]["factor"] == 0.9
    assert data["weakest"] == "head sling"
    assert data["stamp"]["tolerance"] == 1e-6
    for kept in ("drawing", "assumptions", "not_simulated", "limits", "exit_status", "title", "revision"):
        assert kept in data


def test_no_number_is_null_and_says_what_it_was(tmp_path: Path) -> None:
    write_result(tmp_path / "out", strange_result(), INPUTS)
    text = (tmp_path / "out/result.json").read_text()
    assert "NaN" not in text
    assert "Infinity" not in text
    assert json.loads(text)["cases"]["up/down: ../x"]["performers"]["lamplighter"]["peak_g"] is None
    assert "infinite" in json.loads(text)["not_numbers"].values()
    sweep = (tmp_path / "out/sweep a.csv").read_text().splitlines()
    assert sweep[0] == "stop_time_s,peak_g:lamplighter,force_N:drop line,cause"
    assert sweep[3] == '2,,5.0000000000000001e-09,"the step fell below 1e-9 s, ""stuck"""'


def test_input_is_kept_byte_for_byte_with_the_files_it_names(tmp_path: Path) -> None:
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    assert (out / "input.yaml").read_bytes() == INPUTS.scenario
    assert (out / "scenario.yaml").read_text() == INPUTS.full_scenario
    assert (out / "takes/one.csv").read_bytes() == b"time_s,paid_out_m\n0,0\n"
    kept_as = json.loads((out / "result.json").read_text())["stamp"]["kept_as"]
    assert set(kept_as) == {"../up/two.csv", "traces/three.csv"}
    assert (out / kept_as["../up/two.csv"]).read_bytes() == b"2"
    assert (out / kept_as["traces/three.csv"]).read_bytes() == b"3"
    assert all(path.is_relative_to(out) for path in tmp_path.rglob("*") if path.is_file())


def test_every_file_is_stamped_and_a_changed_one_is_named(tmp_path: Path) -> None:
    out = write_result(tmp_path / "out", made_up_result(), INPUTS, _draw)
    assert changed_files(out) == ()
    files = {path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file()}
    assert set(json.loads((out / "result.json").read_text())["written"]) == files - {"result.json"}
    digest = hashlib.sha256(INPUTS.scenario).hexdigest()
    inputs = read_result(out).stamp["files"]
    assert isinstance(inputs, dict)
    assert inputs["input.yaml"] == f"sha256 {digest}"
    assert set(inputs) == {"input.yaml", "takes/one.csv", "input files/-up-two.csv", "input files/traces-three.csv"}
    (out / "input.yaml").write_text("title: another\n")
    (out / "plots/rig.svg").unlink()
    assert changed_files(out) == ("input.yaml", "plots/rig.svg")


def test_a_changed_number_in_the_result_itself_breaks_its_seal(tmp_path: Path) -> None:
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    text = (out / "result.json").read_text()
    assert json.loads(text)["seal"].startswith("sha256 ")
    for changed in (
        text.replace("4210.123456789", "4110.123456789", 1),
        text[: text.rindex(',\n  "seal"')] + "\n}\n",
    ):
        assert changed != text
        (out / "result.json").write_text(changed)
        assert changed_files(out) == ("result.json",)


def test_file_names_cannot_leave_the_folder_or_meet(tmp_path: Path) -> None:
    out = write_result(tmp_path / "out", strange_result(), INPUTS)
    assert sorted(p.name for p in (out / "traces").iterdir()) == ["up-down- ..-x 2.csv", "up-down- ..-x.csv"]
    assert sorted(p.name for p in out.glob("*.csv")) == ["elements.csv", "sweep a.csv", "sweep b-c.csv"]


def test_an_existing_folder_is_left_as_it_is(tmp_path: Path) -> None:
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    before = {p: p.read_bytes() for p in out.rglob("*") if p.is_file()}
    with pytest.raises(FolderError, match="exists already"):
        write_result(out, replace(made_up_result(), title="another"), INPUTS)
    assert {p: p.read_bytes() for p in out.rglob("*") if p.is_file()} == before
    write_result(out, replace(made_up_result(), title="another"), INPUTS, overwrite=True)
    assert read_result(out).title == "another"
    assert list(tmp_path.iterdir()) == [out]


def test_replacing_never_takes_what_is_no_result(tmp_path: Path) -> None:
    home = tmp_path / "documents"
    home.mkdir()
    refuse_early(home, overwrite=True)  # empty: nothing is lost
    (home / "letter.txt").write_text("dear")
    with pytest.raises(FolderError, match="not a result folder"):
        write_result(home, made_up_result(), INPUTS, overwrite=True)
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    (out / "notes.txt").write_text("mine")
    with pytest.raises(FolderError, match=r"notes\.txt"):
        refuse_early(out, overwrite=True)
    (tmp_path / "file").write_text("mine")
    with pytest.raises(FolderError, match="not a folder"):
        write_result(tmp_path / "file", made_up_result(), INPUTS, overwrite=True)
    assert (home / "letter.txt").read_text() == "dear"
    assert (out / "notes.txt").read_text() == "mine"


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (lambda out: (out / "result.json").unlink(), "not a result folder"),
        (lambda out: (out / "result.json").write_text("{"), "cannot be read"),
        (lambda out: (out / "result.json").write_text("{}"), "not in the format"),
        (lambda out: (out / "traces/planned move.csv").unlink(), "planned move.csv is missing"),
        (lambda out: (out / "traces/planned move.csv").write_text("x\n1\n"), "first column"),
        (lambda out: _edit(out, "verdict", 3), "verdict: expected a str"),
        (lambda out: _edit(out, "cases", {"a": {"kind": "working"}}), "'outcome' is missing"),
    ],
)
def test_a_spoilt_folder_is_refused_in_words(tmp_path: Path, spoil, message: str) -> None:
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    spoil(out)
    with pytest.raises(FolderError, match=message):
        read_result(out)


def _edit(out: Path, key: str, value: object) -> None:
    data = json.loads((out / "result.json").read_text())
    (out / "result.json").write_text(json.dumps({**data, key: value}))


def test_what_a_result_cannot_hold_is_refused(tmp_path: Path) -> None:
    with pytest.raises(TypeError, match="stamp/made"):
        write_result(tmp_path / "out", replace(made_up_result(), stamp={"made": object()}), Inputs(b"", ""))
    assert list(tmp_path.iterdir()) == []
