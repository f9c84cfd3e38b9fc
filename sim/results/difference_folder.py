"""The folder of a difference: every difference as a table, and figures.

    difference.json      the two results, what counted as the same, how many numbers met which level, the SHA-256 of
                         every file
    differences.csv      one row for each difference, worst first within its kind, SI
    plots/               the figures furthest apart, and the curves of both results over one another
    result/              of a rerun: its result folder

It appears whole or not at all.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sim.results.difference import LEVELS, Difference, Value
from sim.results.difference_words import verdict_of_differences
from sim.results.plain import to_plain
from sim.results.stamped import Stamped
from sim.results.two_results import Compared
from sim.results.whole import refuse_if_there, whole_folder

DIFFERENCE, TABLE, AGAIN = "difference.json", "differences.csv", "result"
_FOLDER = Stamped(DIFFERENCE, "stopload difference 1", "difference")
_COLUMNS = (
    "kind", "where", "key", "first", "second", "unit", "second less first", "relative", "level", "counts", "claimed",
    "only in", "at_s",
)  # fmt: skip


@contextmanager
def difference_folder(folder: Path, overwrite: bool = False) -> Iterator[Path]:
    """Give an empty folder that becomes `folder` when the block ends well; an earlier difference goes with overwrite.

    Raises FolderError where the place is taken, OSError from the disk.
    """
    with whole_folder(folder, _FOLDER.let_go if overwrite else None) as part:
        yield part


def refuse_difference_early(folder: Path, overwrite: bool) -> None:
    """Raise FolderError now where difference_folder would."""
    refuse_if_there(folder, _FOLDER.let_go if overwrite else None)


def finish_difference(part: Path, compared: Compared) -> None:
    """Write the table and the main file, when figures and all else stand. Raises OSError."""
    write_differences(part / TABLE, compared)
    differences = compared.differences
    told = {
        "first": compared.first,
        "second": compared.second,
        "same": compared.same,
        "verdict": verdict_of_differences(compared),
        "counted_as_same": str(differences.same),
        "numbers": {LEVELS[level]: count for level, count in differences.counts.items()},
        "differences": len(differences.found),
        "differences_that_count": len(differences.counting),
        "altered": compared.altered,
        "notes": compared.notes,
    }
    _FOLDER.write(part, to_plain(told, "", {}))


def write_differences(path: Path, compared: Compared) -> None:
    """Every difference as CSV, numbers with all their digits, SI. Raises OSError."""
    names = {"first": compared.first.name, "second": compared.second.name, "": ""}
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(_COLUMNS)
        for each in compared.differences.found:
            table.writerow(_row(each, names[each.only], not compared.differences.same.holds(each)))


def _row(each: Difference, only: str, counts: bool) -> list[str]:
    cells: list[Value] = [each.absolute, each.relative]
    return [
        each.kind.value, each.words, "/".join(each.path), _cell(each.first), _cell(each.second), each.unit,
        *map(_cell, cells), LEVELS[each.level], "yes" if counts else "no", _cell(each.claimed or None), only,
        _cell(each.at_s),
    ]  # fmt: skip


def _cell(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return repr(value) if isinstance(value, float) else str(value)
