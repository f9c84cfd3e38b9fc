"""The journal: rows come back exactly, a torn last row does not, and a disk that takes nothing stops no run."""

from __future__ import annotations

import json
import math
import os
from pathlib import Path

import pytest

from sim.results.journal import Journal, Row

KEY = "sha256 of it all"
ROWS = {
    ("power loss", "as stated", 0.1 + 0.2): Row({"peak_g:lamplighter": 1.0 / 3.0, "slack_s:lamplighter": 0.0}),
    ("power loss", "heaviest", 2.0): Row({"clearance_m:größer": math.nan, "force_N:line": math.inf}, "no line is left"),
}


def _written(path: Path, rows=ROWS) -> Journal:
    journal = Journal(path)
    journal.begin(KEY)
    journal.add(rows)
    journal.close()
    return journal


def _read(path: Path, key: str = KEY) -> Journal:
    journal = Journal(path)
    journal.begin(key)
    return journal


def test_rows_come_back_to_the_last_bit(tmp_path: Path) -> None:
    _written(tmp_path / "a.jsonl")
    again = _read(tmp_path / "a.jsonl")
    assert again.taken_over == again.on_disk == 2
    assert repr(again.rows) == repr(ROWS)  # repr, because not a number equals nothing


def test_nothing_is_touched_before_the_first_row(tmp_path: Path) -> None:
    journal = _read(tmp_path / "results" / "a.jsonl")
    journal.close()
    journal.discard()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name != "posix", reason="elsewhere an open file cannot be removed")
def test_a_journal_that_another_start_removes_as_it_is_taken_up_is_not_written(tmp_path: Path, monkeypatch) -> None:
    """What is written into a file without a name is lost: then it must not be said to be kept."""
    first = Journal(tmp_path / "a.jsonl")
    first.begin(KEY)
    first.add(dict([*ROWS.items()][:1]))
    second, real = _read(tmp_path / "a.jsonl"), os.open

    def opened(*given) -> int:
        descriptor = real(*given)
        first.discard()
        return descriptor

    monkeypatch.setattr(os, "open", opened)
    second.add(ROWS)
    assert "no longer kept" in second.trouble
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("torn", [1, 10, 60])
def test_a_torn_last_row_is_dropped_and_written_over(tmp_path: Path, torn: int) -> None:
    path = tmp_path / "a.jsonl"
    _written(path)
    path.write_bytes(path.read_bytes()[:-torn])
    journal = _read(path)
    first, second = ROWS
    assert list(journal.rows) == [first]
    journal.add({second: ROWS[second]})
    journal.close()
    assert repr(_read(path).rows) == repr(ROWS)


def test_a_file_torn_in_its_first_line_is_begun_anew(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    _written(path)
    path.write_bytes(path.read_bytes()[:9])
    _written(path)
    assert _read(path).on_disk == 2


def test_rows_of_another_key_are_never_taken_over(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    _written(path)
    other = _read(path, "another version")
    assert other.rows == {}
    other.add({("power loss", "as stated", 1.0): Row({"a": 1.0})})
    other.close()
    assert len(_read(path, "another version").rows) == 1
    assert _read(path).rows == {}


def test_a_file_of_somebody_elses_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    path.write_text("my notes\n")
    journal = _written(path)
    assert "is no journal" in journal.trouble
    journal.discard()
    assert path.read_text() == "my notes\n"


def test_a_full_disk_is_told_once_and_the_rows_stay_in_memory(tmp_path: Path) -> None:
    """/dev/full takes no byte, like a disk that is full."""
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("needs /dev/full")
    journal = _read(tmp_path / "a.jsonl")
    journal.path = full
    journal.add(ROWS)
    assert "No space left" in journal.trouble
    assert "The runs go on" in journal.trouble
    assert journal.rows == ROWS
    assert journal.on_disk == 0
    journal.add({("power loss", "as stated", 3.0): Row()})
    assert len(journal.rows) == 3


def test_a_disk_that_fills_up_keeps_what_it_took(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.jsonl"
    journal = _read(path)
    first, second = ROWS
    journal.add({first: ROWS[first]})
    whole = journal._write

    def half(file, text):
        whole(file, text[: len(text) // 2])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(journal, "_write", half)
    journal.add({second: ROWS[second]})
    assert "No space left" in journal.trouble
    assert journal.on_disk == 1
    assert list(_read(path).rows) == [first]


def test_two_starts_in_one_folder_do_not_write_into_one_another(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    first, second = _read(path), _read(path)
    one, other = ROWS
    first.add({one: ROWS[one]})
    second.add({other: ROWS[other]})
    assert "another start" in second.trouble
    assert list(second.rows) == [other]
    second.discard()
    first.add({other: ROWS[other]})
    first.close()
    assert repr(_read(path).rows) == repr(ROWS)
    late = _read(path)
    first.add({("power loss", "as stated", 3.0): Row()})
    first.close()
    late.add({("power loss", "as stated", 4.0): Row()})
    assert "another start" in late.trouble  # nobody holds it now, but it is not what was read
    assert len(_read(path).rows) == 3


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    journal = Journal(tmp_path / "file" / "a.jsonl")
    journal.begin(KEY)
    journal.add(ROWS)
    assert "cannot be written" in journal.trouble
    assert journal.rows == ROWS


def test_every_line_is_json_with_names(tmp_path: Path) -> None:
    _written(tmp_path / "a.jsonl")
    head, *rows = (tmp_path / "a.jsonl").read_text(encoding="utf-8").splitlines()
    assert json.loads(head) == {"format": "stopload journal 1", "of": KEY}
    assert json.loads(rows[1])[3] == {"clearance_m:größer": "not a number", "force_N:line": "infinite"}
