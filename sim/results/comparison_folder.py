"""The folder of a comparison: every variant's own result folder, the table, the words and the figures.

    compare.json         all variants: changed keys, status, figures, causes, notes; words; the SHA-256 of every file
    table.csv            one row per variant, SI with the unit in the column's name
    plots/               the variants over one another
    <variant>/           its result folder, as `stopload run` writes one
    input.yaml           the scenario as it was given, byte for byte

It appears whole or not at all. Variants are written as they are done, so that none has to be kept in memory.
"""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from sim.results.comparison import Comparison, Curves, Figures, Margin, Variant, Worst
from sim.results.filenames import file_names
from sim.results.folder import PLOTS
from sim.results.plain import Notes, from_plain, to_plain
from sim.results.stamped import Stamped
from sim.results.whole import FolderError, refuse_if_there, whole_folder

COMPARISON, TABLE, INPUT = "compare.json", "table.csv", "input.yaml"
_FOLDER = Stamped(COMPARISON, "stopload comparison 1", "comparison")


@contextmanager
def comparison_folder(folder: Path, overwrite: bool = False) -> Iterator[Path]:
    """Give an empty folder that becomes `folder` when the block ends well; an earlier comparison goes with overwrite.

    Raises FolderError where the place is taken, OSError from the disk.
    """
    with whole_folder(folder, _FOLDER.let_go if overwrite else None) as part:
        yield part


def refuse_comparison_early(folder: Path, overwrite: bool) -> None:
    """Raise FolderError now where comparison_folder would, before hours of simulation."""
    refuse_if_there(folder, _FOLDER.let_go if overwrite else None)


def variant_folders(names: list[str]) -> dict[str, str]:
    """A different folder name for each variant, none of them one of ours."""
    ours = {PLOTS, COMPARISON, TABLE, INPUT}
    return {name: f"{each} variant" if each in ours else each for name, each in file_names(names, "").items()}


def finish_comparison(
    part: Path, comparison: Comparison, scenario: bytes, draw: Callable[[Comparison, Path], object] | None = None
) -> Comparison:
    """Write what belongs to no single variant; draw(comparison, folder) writes the figures. Gives what was written."""
    (part / INPUT).write_bytes(scenario)
    digest = f"sha256 {hashlib.sha256(scenario).hexdigest()}"
    comparison = replace(comparison, stamp={**comparison.stamp, "files": {INPUT: digest}})
    _write_table(part / TABLE, comparison)
    if draw is not None:
        (part / PLOTS).mkdir(exist_ok=True)
        draw(comparison, part / PLOTS)
    notes: Notes = {}
    data: dict[str, Any] = to_plain(replace(comparison, curves={}), "", notes)
    _FOLDER.write(part, {**data, "not_numbers": notes} if notes else data)
    return comparison


def read_comparison(folder: Path) -> Comparison:
    """Give back what was written, without its curves. Raises FolderError saying what is missing or wrong."""
    data = _FOLDER.read(folder)
    try:
        read: Comparison = from_plain(Comparison, data, "", data.get("not_numbers", {}))
    except (KeyError, TypeError, ValueError, AttributeError) as unfit:
        raise FolderError(f"{folder / COMPARISON} does not fit its format: {unfit}") from unfit
    return replace(read, curves=dict[str, Curves]())


# --- the table ------------------------------------------------------------------------------------------------------


def _write_table(path: Path, comparison: Comparison) -> None:
    """One row per variant in the order asked for; an empty cell where there is no figure."""
    keys = list(dict.fromkeys(key for variant in comparison.variants for key in variant.changes))
    rows = [_row(variant, keys) for variant in comparison.variants]
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, list(rows[0]) if rows else ["variant"], lineterminator="\n")
        table.writeheader()
        table.writerows(rows)


def _row(variant: Variant, keys: list[str]) -> dict[str, object]:
    row: dict[str, object] = {"variant": variant.name}
    row.update({key: variant.changes.get(key, "") for key in keys})
    row.update({"verdict": variant.verdict, "exit_status": variant.status})
    for each in fields(Figures):
        row.update(_cells(each.name, getattr(variant.figures, each.name)))
    for name in (
        "EA_N",
        "run_length_m",
        "hook_N_per_m",
        "speed_m_s",
        "slow_down_s",
        "catch_m_s",
        "instant_N",
        "law_N",
        "added_N",
    ):
        row[f"hook: {name}"] = "" if variant.hook is None else repr(getattr(variant.hook, name))
    row["notes"], row["cause"] = " ".join(variant.notes), variant.cause
    return row


def _cells(name: str, value: Worst | Margin | float | None) -> dict[str, object]:
    """One figure with whose it is and in which case; the columns are there with or without a figure."""
    if name == "least_margin":
        margin = value if isinstance(value, Margin) else None
        parts = ("margin", "of", "limit", "found", "required", "unit")
        return {f"least_margin: {part}": "" if margin is None else getattr(margin, part) for part in parts}
    if name == "paid_out_m":
        return {name: "" if value is None else value}
    worst = value if isinstance(value, Worst) else None
    return {
        name: "" if worst is None else repr(worst.value),
        f"{name}: of": "" if worst is None else worst.of,
        f"{name}: case": "" if worst is None else worst.case,
    }
