"""The reader under attack: damaged scenarios, files that never end, bombs, odd encodings, texts that hide something.

What is held is plain: no traceback, no hang, no great memory, every fault with its place. No source is needed for that.
"""

from __future__ import annotations

import os
import time
import tracemalloc
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.command.main import main
from sim.scenario import ScenarioErrors, filled_in, read_file, read_text, tree
from sim.strength.catalogue import OwnRecordError, catalogue
from tests.abuse.attack import attack
from tests.abuse.mutations import SEEDS, WHOLE, damaged, encoded

SMALL = SEEDS["nothing-judged"]
DROP = SEEDS["lamplighters-drop"]


class Drawn:
    """The choices of a mutation, drawn by hypothesis."""

    def __init__(self, data: st.DataObject) -> None:
        self.data = data

    def pick(self, among):
        return among[self.data.draw(st.integers(0, len(among) - 1))]

    def whole(self, low: int, high: int) -> int:
        return self.data.draw(st.integers(low, high))

    def text(self) -> str:
        return self.data.draw(st.text(max_size=12))


def told(text: str) -> str:
    """All faults of a text; fails where it has none."""
    with pytest.raises(ScenarioErrors) as errors:
        read_text(text)
    return str(errors.value)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(st.data())
def test_damaged_files_are_refused_in_words_or_are_rigs(data: st.DataObject) -> None:
    choices = Drawn(data)
    seed = SEEDS[choices.pick(sorted(SEEDS))]
    attack(encoded(choices, damaged(choices, seed)), WHOLE / "damaged.yaml")


@pytest.mark.slow
@settings(max_examples=3000, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(st.data())
def test_many_damaged_files_are_refused_in_words_or_are_rigs(data: st.DataObject) -> None:
    choices = Drawn(data)
    seed = SEEDS[choices.pick(sorted(SEEDS))]
    attack(encoded(choices, damaged(choices, seed)), WHOLE / "damaged.yaml")


# --- files -------------------------------------------------------------------------------------------------------


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
@pytest.mark.parametrize("command", ["check", "run", "compare"])
def test_a_pipe_nobody_writes_to_is_refused_at_once(command: str, tmp_path: Path, capsys) -> None:
    os.mkfifo(tmp_path / "rig.yaml")
    assert main([command, str(tmp_path / "rig.yaml")]) == 2
    assert "a pipe or a device, and no file" in capsys.readouterr().err


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no endless file here")
def test_an_endless_file_is_refused_at_once(capsys) -> None:
    tracemalloc.start()
    assert main(["check", "/dev/zero"]) == 2
    assert tracemalloc.get_traced_memory()[1] < 50e6
    tracemalloc.stop()
    assert "a pipe or a device, and no file" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["check", "run"])
def test_a_hundred_megabytes_are_not_taken_in(command: str, tmp_path: Path, capsys) -> None:
    file = tmp_path / "rig.yaml"
    file.touch()
    os.truncate(file, 100_000_000)
    tracemalloc.start()
    begun = time.thread_time()
    assert main([command, str(file)]) == 2
    assert time.thread_time() - begun < 5.0
    assert tracemalloc.get_traced_memory()[1] < 50e6
    tracemalloc.stop()
    assert "more than 2 MB" in capsys.readouterr().err


def test_a_recorded_trace_of_a_hundred_megabytes_is_refused(tmp_path: Path, capsys) -> None:
    text = SEEDS["two-of-everything"]
    (tmp_path / "rig.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "trace.csv").touch()
    os.truncate(tmp_path / "trace.csv", 100_000_000)
    assert main(["check", str(tmp_path / "rig.yaml")]) == 2
    assert "the file has more than 20 MB" in capsys.readouterr().err


ODD = ["utf-16", "utf-32", "utf-16-le", "cp037", "latin-1"]


@pytest.mark.parametrize("encoding", ODD)
def test_other_encodings_are_refused_with_a_place(encoding: str, tmp_path: Path) -> None:
    text = DROP.replace("The lamplighter's drop", "Größer")
    (tmp_path / "rig.yaml").write_bytes(text.encode(encoding))
    with pytest.raises(ScenarioErrors) as errors:
        read_file(tmp_path / "rig.yaml")
    assert len(errors.value.faults) <= 3
    assert min(fault.line for fault in errors.value.faults) >= 1


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    (tmp_path / "rig.yaml").write_bytes(DROP.encode("utf-8-sig"))
    assert filled_in(read_file(tmp_path / "rig.yaml")) == filled_in(read_text(DROP))


@pytest.mark.parametrize(
    "name",
    ["../trace.csv", "/etc/passwd", "a/../../x.csv", "C:\\x.csv", "..\\x.csv", '"a\\0b.csv"', '"a\\eb"', "x" * 3000],
)
def test_paths_that_climb_out_or_lead_nowhere(name: str, tmp_path: Path) -> None:
    text = SEEDS["two-of-everything"].replace("{file: trace.csv, smooth: 8 Hz}", f"{{file: {name}, smooth: 8 Hz}}")
    (tmp_path / "rig.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "trace.csv").write_bytes((WHOLE / "trace.csv").read_bytes())
    with pytest.raises(ScenarioErrors, match="follow / file"):
        read_file(tmp_path / "rig.yaml")


def test_links_out_of_the_folder_and_in_circles(tmp_path: Path) -> None:
    (tmp_path / "rig.yaml").write_text(SEEDS["two-of-everything"], encoding="utf-8")
    link = tmp_path / "trace.csv"
    link.symlink_to(WHOLE / "trace.csv")
    with pytest.raises(ScenarioErrors, match="leads out of the scenario's folder"):
        read_file(tmp_path / "rig.yaml")
    link.unlink()
    link.symlink_to("trace.csv")
    with pytest.raises(ScenarioErrors, match=r"trace\.csv"):
        read_file(tmp_path / "rig.yaml")


# --- bombs and hidden text ---------------------------------------------------------------------------------------

BOMB = "a0: &a0 [lol, lol]\n" + "".join(f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]\n" for i in range(1, 30))


@pytest.mark.parametrize(
    "text", [BOMB, BOMB + DROP, "a: &a {b: *a}\n", "<<: &x {<<: *x}\n", "a: !!python/name:os.system a"]
)
def test_bombs_do_not_go_off(text: str) -> None:
    begun = time.thread_time()
    assert "alias" in told(text) or "tag" in told(text)
    assert time.thread_time() - begun < 5.0


HIDDEN = ["\\0", "\\e[31m", "\\a", "\\r", "\\b", "\\u202e", "\\u2066", "\\u2028", "\\x9b", "\\ufeff"]
IN_TEXTS = ["title: The lamplighter's drop", "revision: A", "from: certificate", "name: operator stop"]


@pytest.mark.parametrize("hidden", HIDDEN)
@pytest.mark.parametrize("was", IN_TEXTS)
def test_what_a_terminal_would_act_on_is_refused_and_shown(hidden: str, was: str) -> None:
    key, _, value = was.partition(": ")
    faults = told(DROP.replace(was, f'{key}: "{value}{hidden}12"'))
    assert "text that can be shown" in faults
    assert all(line.isprintable() for line in faults.splitlines())


def test_keys_that_cannot_be_printed_are_shown() -> None:
    faults = told(DROP.replace("revision: A", '"rev\\e[2Jision": A'))
    assert "\\x1b" in faults
    assert "\x1b" not in faults


def test_half_a_character_pair_is_refused_by_the_slow_reader_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where PyYAML has no C reader, half a pair gets past it; a file it is written to would break."""
    monkeypatch.setattr(tree, "_Loader", yaml.SafeLoader)
    assert "text that can be shown" in told(DROP.replace("revision: A", 'revision: "\\ud800"'))


# --- numbers no rig has ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("was", "now", "expected"),
    [
        ("mass: 0.9 kg", "mass: 1e99 kg", "a mass of at most 1000000 kg"),
        ("mass: 0.9 kg", "mass: 1e-60 kg", "a mass of at least 1e-12 kg"),
        ("within: 3 kg}", "range: [1e-40 kg, 85 kg]}", "at least"),
        ("at: [14 m, 0 m, 12.6 m]", "at: [14 m, 1e80 m, 12.6 m]", "a position of at most 100000 m"),
        ("temperature: 32 degC", "temperature: -300 degC", "from absolute zero to 2000 degC"),
        ("speed: 6 m/s", "speed: 1e-30 m/s", "a speed of at least"),
        ("g_load: 6", "g_load: 1e90", "a plain number of at most"),
        ("legs: 2", "legs: 1000000000", "at most 100"),
        ("diameter: 6 mm\n", "diameter: 6 mm\n    elements_per_span: 100000000\n", "at most 1000"),
        ("floor: 0 m", "floor: 0 m\nrun: {tolerance: 0.5}", "at most 0.01"),
        ("floor: 0 m", "floor: 0 m\nrun: {sample_rate: 1e12 Hz}", "at most 1000000 Hz"),
    ],
)  # fmt: skip
def test_a_slip_of_the_keyboard_is_told(was: str, now: str, expected: str) -> None:
    assert was in DROP
    assert expected in told(DROP.replace(was, now, 1))


def test_a_device_that_no_load_could_move_is_told() -> None:
    text = SEEDS["two-of-everything"]
    assert "wrap: " in text
    number = text.split("wrap: ")[1].split(",")[0].split("}")[0]
    assert "at most 12" in told(text.replace(f"wrap: {number}", "wrap: 1000 rad", 1))


def test_a_note_on_one_coordinate_is_kept() -> None:
    """Found by mutation: a note within a list of plain texts ended in a traceback."""
    text = DROP.replace("at: [14 m, 0 m, 11 m] ", "at: [14 m, {value: 0 m, notes: measured twice}, 11 m] ")
    scenario = read_text(text)
    assert "measured twice" in [note.text for note in scenario.notes]
    attack(text.encode(), WHOLE / "noted.yaml")


# --- a user's own records ----------------------------------------------------------------------------------------

OWN = """
grey tail:
  like: polyester double braid
  families:
    - {sizes: metric, strength: STRENGTH,
       mass: {unit: g/m, table: {"6 mm": 26}, range_percent: [0, 0], source: our scales, status: stated}}
"""
STRENGTH = '{unit: kN, table: {"6 mm": 31}, range_percent: [0, 8], source: test report 7, status: stated}'


@pytest.mark.parametrize(
    "text",
    [
        BOMB,
        "a: &a\n  b: *a\n",
        "[" * 5000,
        "a: {b: 2001-99-99}\n",
        "a: {like: [1]}\n",
        OWN.replace("STRENGTH", STRENGTH.replace("31", ".inf")),
        OWN.replace("STRENGTH", STRENGTH.replace("31", ".nan")),
        OWN.replace("STRENGTH", STRENGTH.replace("31", "-31")),
        OWN.replace("STRENGTH", STRENGTH.replace("6 mm", "1/0")),
        OWN.replace("STRENGTH", STRENGTH.replace("6 mm", "six")),
        OWN.replace("STRENGTH", STRENGTH).replace("sizes: metric", "sizes: any, diameter_mm: [1, 1e15]"),
    ],
)
def test_own_records_that_are_none(text: str, tmp_path: Path) -> None:
    (tmp_path / "own.yaml").write_text(text, encoding="utf-8")
    begun = time.thread_time()
    with pytest.raises(OwnRecordError, match=r"own\.yaml"):
        catalogue(tmp_path)
    assert time.thread_time() - begun < 5.0


def test_own_records_are_read_where_they_are_right(tmp_path: Path) -> None:
    (tmp_path / "own.yaml").write_text(OWN.replace("STRENGTH", STRENGTH), encoding="utf-8")
    assert catalogue(tmp_path)["grey tail"].at(0.006).breaking_strength_N == pytest.approx(31e3)
