"""Result folders that somebody damaged: every command that reads one says so in words, and none hangs or climbs out.

JSON cut short, values of other kinds, numbers no rig has, files that are missing, longer, empty or links. What was
altered is also signed anew now and then, as whoever alters on purpose would: then only the reading itself can find it.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.command.main import main
from sim.results.folder import RESULT
from sim.scenario import filled_in, read_text
from tests.abuse.mutations import at, places
from tests.report.made import made_up_folder
from tests.results.made_up import INPUTS, made_up_result
from tests.studies.hoist import hoist_text

NUMBERS = ["NaN", "Infinity", "-Infinity", "1e400", "-1e308", "1e308", "0", "-1", "9" * 400, "1e-320", "true", "null"]
VALUES: list[Any] = [
    *(None, True, 0, -1, 10**400, 1e308, "", "x", "nan", "../../../etc/passwd", "/etc/passwd", "a\x00b", "\x1b[31m"),
    *([], {}, [[]], {"": ""}, [None], {"value": 1}, "\u202e", "finished", "SI", "0", "💥" * 50, [1e308, 1e308]),
]
ROWS = [b"nan,inf,1e999\n", b"x,y\n", b'"\n']
COMMANDS = ("report", "plot", "diff", "rerun")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A result with histories, a sweep and a scenario this version reads."""
    text = hoist_text(0.5).replace("every instant", "0.4 s")
    inputs = type(INPUTS)(text.encode(), filled_in(read_text(text, "here")))
    return made_up_folder(tmp_path_factory.mktemp("whole"), made_up_result(), inputs)


@pytest.fixture(autouse=True, scope="module")
def _nothing_run_nor_drawn() -> Iterator[None]:
    """What is attacked is the reading: figures are drawn from what was read by code that has tests of its own."""
    with pytest.MonkeyPatch.context() as here:
        here.setattr("sim.studies.scenario.run_scenario", lambda *_given, **_more: made_up_result())
        here.setattr("sim.report.drawers.cpu_count", lambda: 1)
        yield


def _damaged_json(draw: Any, text: str) -> str:
    """The text with a value, a key or some characters changed."""
    kind = draw(st.sampled_from(["value", "value", "value", "number", "drop", "rename", "cut", "byte"]))
    if kind == "cut":
        return text[: draw(st.integers(0, len(text) - 1))]
    if kind == "byte":
        place = draw(st.integers(0, len(text) - 1))
        return text[:place] + draw(st.characters(codec="utf-8")) + text[place + 1 :]
    data = json.loads(text)
    way = draw(st.sampled_from(places(data)))
    parent, last = at(data, way[:-1]), way[-1]
    if kind == "drop":
        del parent[last]
    elif kind == "rename" and isinstance(parent, dict):
        parent[draw(st.sampled_from(["x", "", "../x", "name", "a/b"]))] = parent.pop(last)
    elif kind == "number":
        parent[last] = "@@"
        return json.dumps(data).replace('"@@"', draw(st.sampled_from(NUMBERS)), 1)
    else:
        parent[last] = draw(st.sampled_from(VALUES))
    return json.dumps(data, indent=2)


def _damaged_file(draw: Any, folder: Path) -> None:
    """One other file gone, empty, cut, changed, a folder or a link that leads out or nowhere."""
    files = sorted(path for path in folder.rglob("*") if path.is_file() and path.name != RESULT)
    file = draw(st.sampled_from(files))
    kind = draw(st.sampled_from(["gone", "empty", "cut", "cell", "bytes", "folder", "out", "circle", "wide"]))
    content = file.read_bytes()
    file.unlink()
    if kind == "folder":
        file.mkdir()
    elif kind == "out":
        file.symlink_to("/etc/passwd")
    elif kind == "circle":
        file.symlink_to(file.name)
    elif kind != "gone":
        lines = content.splitlines(keepends=True)
        row = draw(st.integers(0, max(len(lines) - 1, 0)))
        damaged = {
            "empty": b"",
            "cut": content[: len(content) // 2],
            "bytes": content[: len(content) // 2] + b"\xff\x00" + content[len(content) // 2 :],
            "wide": content + b"1," * 10_000 + b"\n",
            "cell": b"".join(
                [*lines[:row], draw(st.sampled_from([b"nan,inf,1e999\n", b"x,y\n", b'"\n'])), *lines[row:]]
            ),
        }
        file.write_bytes(damaged[kind])


def _signed_anew(folder: Path) -> None:
    """Hashes and seal made to fit again, as far as it still is JSON."""
    path = folder / RESULT
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        for name in [name for name in data["written"] if (folder / name).is_file()]:
            data["written"][name] = f"sha256 {hashlib.sha256((folder / name).read_bytes()).hexdigest()}"
        data.pop("seal", None)
        start = json.dumps(data, ensure_ascii=False, indent=2).removesuffix("\n}")
        path.write_text(
            f'{start},\n  "seal": "sha256 {hashlib.sha256(start.encode()).hexdigest()}"\n}}\n', encoding="utf-8"
        )
    except (ValueError, KeyError, TypeError, AttributeError, OSError, RecursionError):
        return


def _told(command: str, folder: Path, whole: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Run a command on it; whatever it says, it is no fault of the program's, and nothing is written beside."""
    beside = {entry.name for entry in folder.parent.iterdir()}
    more = {"diff": [str(whole)], "plot": ["--kind", "cases", "--case", "all"], "report": [], "rerun": []}[command]
    out = folder.parent / "out"
    if command in ("report", "plot"):
        more += ["--out", str(out / "report.html" if command == "report" else out)]
    status = main([command, str(folder), *more])
    told = "".join(capsys.readouterr())
    assert status in (0, 1, 2, 3)
    assert "fault of stopload" not in told, told
    assert "Traceback" not in told, told
    assert "root:" not in told  # what stands in /etc/passwd
    if out.exists():
        for path in out.rglob("*"):
            if path.suffix in (".html", ".svg"):
                assert b"root:x:" not in path.read_bytes()
    assert {entry.name for entry in folder.parent.iterdir()} <= {*beside, "out"}


def _attack(data: st.DataObject, whole: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "result"
        shutil.copytree(whole, folder)
        for _ in range(data.draw(st.integers(1, 3))):
            if data.draw(st.integers(0, 2)):
                path = folder / RESULT
                try:
                    text = path.read_text(encoding="utf-8")
                    json.loads(text)
                except ValueError:
                    break
                path.write_text(_damaged_json(data.draw, text), encoding="utf-8", errors="replace")
            else:
                _damaged_file(data.draw, folder)
        if data.draw(st.booleans()):
            _signed_anew(folder)
        _told(data.draw(st.sampled_from(COMMANDS)), folder, whole, capsys)


CHECKS = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.function_scoped_fixture]


@settings(max_examples=40, deadline=None, suppress_health_check=CHECKS)
@given(data=st.data())
def test_damaged_results_are_told_in_words(data: st.DataObject, whole: Path, capsys) -> None:
    _attack(data, whole, capsys)


@pytest.mark.slow
@settings(max_examples=1500, deadline=None, suppress_health_check=CHECKS)
@given(data=st.data())
def test_many_damaged_results_are_told_in_words(data: st.DataObject, whole: Path, capsys) -> None:
    _attack(data, whole, capsys)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("file", [RESULT, "traces", "scenario.yaml", "input.yaml"])
def test_a_pipe_in_a_result_hangs_nothing(command: str, file: str, whole: Path, tmp_path: Path, capsys) -> None:
    folder = tmp_path / "result"
    shutil.copytree(whole, folder)
    path = next((folder / "traces").iterdir()) if file == "traces" else folder / file
    path.unlink()
    os.mkfifo(path)
    _told(command, folder, whole, capsys)


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("file", [RESULT, "traces", "scenario.yaml", "input.yaml"])
def test_a_link_out_of_a_result_shows_nobody_what_is_there(
    command: str, file: str, whole: Path, tmp_path: Path, capsys
) -> None:
    """Found by mutation: what input.yaml led to was quoted as a scenario with faults."""
    folder = tmp_path / "result"
    shutil.copytree(whole, folder)
    (tmp_path / "secret").write_text("root: the secret\n", encoding="utf-8")
    path = next((folder / "traces").iterdir()) if file == "traces" else folder / file
    path.unlink()
    path.symlink_to(tmp_path / "secret")
    _signed_anew(folder)
    _told(command, folder, whole, capsys)


@pytest.mark.parametrize("number", ["NaN", "Infinity", "1e400", "9" * 400])
def test_numbers_that_are_none_are_told(number: str, whole: Path, tmp_path: Path, capsys) -> None:
    """Found by mutation: a whole number too large for a float ended in a traceback."""
    folder = tmp_path / "result"
    shutil.copytree(whole, folder)
    text = (folder / RESULT).read_text(encoding="utf-8")
    assert '"static_N": ' in text
    before, _, after = text.partition('"static_N": ')
    (folder / RESULT).write_text(f'{before}"static_N": {number}{after[after.index(",") :]}', encoding="utf-8")
    for command in COMMANDS:
        assert main([command, str(folder), *([str(whole)] if command == "diff" else [])]) == 2
        told = capsys.readouterr().err
        assert "cannot be read: " in told
        assert "is no number" in told or "is beyond all numbers" in told
