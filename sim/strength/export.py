"""The catalogue as files: a table for a spreadsheet, and records that can be kept, changed and read back."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import yaml

from sim.strength.catalogue import NoSuchSize, find, written_record
from sim.strength.facts import facts
from sim.strength.laws import source_text
from sim.strength.words import NEEDS_EVIDENCE

COLUMNS = ("type", "diameter_m", "what", "value", "unit", "low", "high", "says", "status", "needs_evidence", "source")

_HEAD = """\
# Line types exported by stopload {version}. In a folder named by STOPLOAD_LINES (or by --own) a record goes before the
# program's own of the same name: change what you know better, give your source in words, and set `status: stated`.
"""


def csv_text(names: Iterable[str], diameter_m: float | None = None, own: Path | None = None) -> str:
    """Every fact of the types in every listed size, or in one (m), one a row; SI, with range, status and source.

    Types that are not made in that one size are left out. Raises UnknownLineType.
    """
    written = io.StringIO()
    table = csv.writer(written, lineterminator="\n")
    table.writerow(COLUMNS)
    for name in names:
        entry = find(name, own)
        sizes = {size for family in entry.families for size in family.sizes_m()}
        for size_m in sorted(sizes) if diameter_m is None else [diameter_m]:
            try:
                known = facts(entry, size_m)
            except NoSuchSize:
                continue
            for fact in known:
                numbers = [_digits(each) for each in (fact.value, fact.low, fact.high)]
                evidence = NEEDS_EVIDENCE if fact.needs_evidence else ""
                table.writerow(
                    [name, _digits(size_m), fact.what, numbers[0], fact.unit, *numbers[1:], fact.says, fact.status,
                     evidence, fact.source]
                )  # fmt: skip
    return written.getvalue()


def yaml_text(names: Iterable[str], version: str, own: Path | None = None) -> str:
    """The records of the types as they may stand in a user's own folder, each source written out in words.

    Raises UnknownLineType.
    """
    records = {name: _spelled_out(dict(written_record(name, own))) for name in names}
    for record in records.values():
        record.pop("record", None)  # where it was read; the copy stands for itself
    text = yaml.safe_dump(records, sort_keys=False, allow_unicode=True, width=120)
    return _HEAD.format(version=version) + text


def _spelled_out(written: Any, key: str = "") -> Any:
    """The same with every source by key replaced by its words."""
    if isinstance(written, Mapping):
        return {name: _spelled_out(value, name) for name, value in written.items()}
    if isinstance(written, list):
        return [_spelled_out(each) for each in written]
    return source_text(written) if key in ("source", "dynamic_source") and written else written


def _digits(value: float | None) -> str:
    return "" if value is None else f"{value:.6g}"
