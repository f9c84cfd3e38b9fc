"""The folder of a comparison: whole or not at all, and read back to the same."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from sim.results.comparison import Comparison, Figures, HookStop, Margin, Variant, Worst
from sim.results.comparison_folder import (
    comparison_folder,
    finish_comparison,
    read_comparison,
    refuse_comparison_early,
    variant_folders,
)
from sim.results.folder import read_result, write_result
from sim.results.whole import FolderError
from tests.results.made_up import INPUTS, made_up_result

HOOK = HookStop(
    "lamplighter", "power loss", "drop line", 84.0, 823.8, 575e3, 36.4, 15.8e3, None, 4.6, 0.27, True, 2.9, 5.7, 0.53,
    4603.0, 3667.0, 4017.0,
)  # fmt: skip
FIGURES = Figures(
    peak_g=Worst(1.0 / 3.0, "lamplighter", "power loss, worst g"),
    peak_tension_N=Worst(4870.0, "drop line", "power loss", "head sheave -> lamplighter"),
    paid_out_m=8.4,
    least_margin=Margin(0.02, "drop line", "emergency", 3.05, 3.0),
)
DONE = Variant("wire, 5 mm", {"lines / drop line / type": "7x19 galvanised"}, 1, "not judged", "", "wire, 5 mm",
               ("its certificate is left behind",), FIGURES, HOOK)  # fmt: skip
LOST = Variant("60 stone", {"drives / winch / moving_mass": "60 stone"}, 2, "not run", 'found "60 stone"')


def comparison() -> Comparison:
    result = made_up_result()
    return Comparison("The drop", "types", (DONE, LOST), ("Most changed.",), {"g_load": 6.0}, result.drawing,
                      {"version": "0.1.0"}, 2)  # fmt: skip


def write(folder: Path, overwrite: bool = False) -> Comparison:
    with comparison_folder(folder, overwrite) as part:
        write_result(part / DONE.folder, made_up_result(), INPUTS)
        return finish_comparison(part, comparison(), INPUTS.scenario)


def test_it_reads_back_to_what_was_written(tmp_path: Path) -> None:
    written = write(tmp_path / "out")
    assert read_comparison(tmp_path / "out") == written
    assert (tmp_path / "out/input.yaml").read_bytes() == INPUTS.scenario
    assert read_result(tmp_path / "out" / DONE.folder).title == made_up_result().title


def test_the_table_has_a_row_for_every_variant_and_exact_figures(tmp_path: Path) -> None:
    write(tmp_path / "out")
    with (tmp_path / "out/table.csv").open(encoding="utf-8", newline="") as file:
        done, lost = csv.DictReader(file)
    assert float(done["peak_g"]) == 1.0 / 3.0
    assert (done["peak_g: of"], done["peak_g: case"]) == ("lamplighter", "power loss, worst g")
    assert (done["least_margin: of"], float(done["least_margin: margin"])) == ("drop line", 0.02)
    assert float(done["hook: EA_N"]) == 575e3
    assert (done["lines / drop line / type"], done["drives / winch / moving_mass"]) == ("7x19 galvanised", "")
    assert (lost["cause"], lost["peak_g"], lost["hook: EA_N"], lost["exit_status"]) == ('found "60 stone"', "", "", "2")


def test_nothing_is_left_where_a_variant_cannot_be_written(tmp_path: Path) -> None:
    def fill_the_disk() -> None:
        with comparison_folder(tmp_path / "out") as part:
            write_result(part / DONE.folder, made_up_result(), INPUTS)
            raise OSError("the disk is full")

    with pytest.raises(OSError, match="full"):
        fill_the_disk()
    assert list(tmp_path.iterdir()) == []


def test_an_earlier_comparison_goes_only_when_told_and_only_alone(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write(out)
    with pytest.raises(FolderError, match="--replace"):
        refuse_comparison_early(out, overwrite=False)
    write(out, overwrite=True)
    (out / "my notes.txt").write_text("mine")
    with pytest.raises(FolderError, match=r"my notes\.txt"):
        write(out, overwrite=True)
    assert (out / "my notes.txt").read_text() == "mine"
    result = tmp_path / "result"
    write_result(result, made_up_result(), INPUTS)
    with pytest.raises(FolderError, match="not the folder of a comparison"):
        refuse_comparison_early(result, overwrite=True)
    with pytest.raises(FolderError):
        read_comparison(result)


def test_variants_get_folders_of_their_own() -> None:
    given = variant_folders(["plots", "a/b", "a:b", "input.yaml", "table.csv"])
    assert len({name.casefold() for name in given.values()}) == 5
    assert not {"plots", "input.yaml", "table.csv"} & {*given.values()}
