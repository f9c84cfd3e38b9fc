"""`plot` of a comparison: its variants over one another, as the files asked for; nothing is passed over."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from sim.command.main import main
from sim.results.comparison import Comparison, Variant
from sim.results.comparison_folder import comparison_folder, finish_comparison
from sim.results.folder import write_result
from tests.plots import builders
from tests.results.made_up import INPUTS

NAMES = ("wire, 5 mm", "HMPE")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    result = builders.simple_result()
    ran = [Variant(name, {}, 0, "within limits", folder=name.replace(",", "")) for name in NAMES]
    lost = Variant("lost", {}, 2, "not run", cause="no such size")
    whole = Comparison(
        result.title, "type of drop line", (*ran, lost), (), result.limits, result.drawing, result.stamp, 2
    )
    with comparison_folder(tmp_path / "compared") as part:
        for each in ran:
            write_result(part / each.folder, replace(result, title=each.name), INPUTS)
        finish_comparison(part, whole, INPUTS.scenario)
    return tmp_path / "compared"


def test_without_a_choice_it_lists_what_there_is_and_draws_nothing(folder: Path, capsys) -> None:
    assert main(["plot", str(folder)]) == 0
    page = capsys.readouterr().out
    for told in ("- planned move", "- power loss", "- overview: ", *(f"- {name}: {folder}" for name in NAMES)):
        assert told in page
    assert "power loss, worst" not in page
    assert [path.name for path in folder.parent.iterdir()] == ["compared"]


def test_figures_of_all_variants_as_pdf_with_the_comparisons_hash(folder: Path, capsys) -> None:
    assert main(["plot", str(folder), "--format", "pdf"]) == 0
    out = folder.parent / "compared-plots"
    assert {path.name for path in out.iterdir()} == {
        "overview.pdf", "compared planned move.pdf", "compared power loss.pdf"
    }  # fmt: skip
    digest = hashlib.sha256((folder / "compare.json").read_bytes()).hexdigest()
    for path in out.iterdir():
        said = " ".join(PdfReader(path).pages[0].extract_text().split())
        assert f"compare.json sha256 {digest}" in said
        assert all(name in said for name in NAMES)
    capsys.readouterr()


def test_a_stop_or_a_case_alone(folder: Path, capsys) -> None:
    assert main(["plot", str(folder), "--stop", "power loss", "--format", "svg,png"]) == 0
    files = {path.name for path in (folder.parent / "compared-plots").iterdir()}
    assert files == {"compared power loss.svg", "compared power loss.png"}
    capsys.readouterr()


def test_what_is_of_one_variant_is_refused_with_the_way_there(folder: Path, capsys) -> None:
    asked = ["--kind", "moving", "--kind", "overview", "--element", "drop line", "--size", "A4", "--case", "nobody"]
    assert main(["plot", str(folder), *asked]) == 2
    told = capsys.readouterr().err
    for part in ("no kind 'moving'", "--element is for one variant", "--size is for one variant", "no case 'nobody'"):
        assert part in told
    assert str(folder / "wire 5 mm") in told
    assert main(["plot", str(folder), "--kind", "overview", "--stop", "power loss"]) == 2
    assert "--stop is for the kinds sweep, and overview takes none." in capsys.readouterr().err
    assert not (folder.parent / "compared-plots").exists()
