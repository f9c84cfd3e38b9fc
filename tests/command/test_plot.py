"""`plot`: what there is, what is drawn of it, where it goes, and what it says of its source."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure
from pypdf import PdfReader

from plots import cases_figure, history_figure, rig_figure, sweep_figure
from plots.page import Size, TooSmall
from sim.command.main import main
from sim.command.plot import parse_size
from sim.command.status import Refused
from sim.results.cautions import SHORT
from sim.results.folder import read_result, write_result
from sim.results.model import Trace
from sim.results.shown import shown
from tests.plots import builders
from tests.plots.looking import curves, panel, words_of
from tests.plots.moving_results import moving_result
from tests.results.made_up import INPUTS

POINTS_PER_MM = 72 / 25.4


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_result(tmp_path / "drop", builders.simple_result(), INPUTS)


def plotted(capsys, *arguments: object) -> list[Path]:
    """The files a command wrote, as it says itself."""
    assert main(["plot", *map(str, arguments)]) == 0
    return [Path(line) for line in capsys.readouterr().out.splitlines() if line.startswith("/")]


def test_without_a_choice_it_lists_what_there_is_and_draws_nothing(folder: Path, capsys) -> None:
    assert main(["plot", str(folder)]) == 0
    page = capsys.readouterr().out.splitlines()
    result = read_result(folder)
    for name in (*result.cases, *result.sweeps, *result.elements, "lamplighter"):
        assert f"- {name}" in page
    assert [path.name for path in folder.parent.iterdir()] == ["drop"]


def test_a_pdf_has_the_size_asked_its_fonts_and_the_results_hash(folder: Path, capsys) -> None:
    # A4 is 210 mm x 297 mm (ISO 216).
    (path,) = plotted(capsys, folder, "--case", "planned move", "--size", "A4", "--format", "pdf")
    assert path == folder.parent / "drop-plots" / "history planned move.pdf"
    (sheet,) = PdfReader(path).pages
    assert float(sheet.mediabox.width) / POINTS_PER_MM == pytest.approx(210, abs=0.1)
    assert float(sheet.mediabox.height) / POINTS_PER_MM == pytest.approx(297, abs=0.1)
    said = " ".join(sheet.extract_text().split())
    digest = hashlib.sha256((folder / "result.json").read_bytes()).hexdigest()
    assert f"result.json sha256 {digest}" in said
    assert SHORT in said
    seen = read_result(folder).cases["planned move"]
    assert shown(seen.peaks["head sheave"].force_N, "N") in said
    assert shown(seen.performers["lamplighter"].lowest_height_m, "m") in said
    for font in sheet["/Resources"]["/Font"].values():  # pyright: ignore[reportIndexIssue]
        (inner,) = font.get_object()["/DescendantFonts"]
        assert "/FontFile2" in inner.get_object()["/FontDescriptor"]


def test_the_same_result_gives_the_same_bytes(folder: Path, capsys) -> None:
    for out in ("a", "b"):
        plotted(capsys, folder, "--kind", "rig", "--format", "pdf,svg,png", "--out", folder.parent / out)
    for path in sorted((folder.parent / "a").iterdir()):
        assert path.read_bytes() == (folder.parent / "b" / path.name).read_bytes()


def test_several_at_once_and_what_kind_follows(folder: Path, capsys) -> None:
    def names(*arguments: str) -> list[str]:
        return [p.name for p in plotted(capsys, folder, *arguments)]

    assert names("--element", "drop line") == ["cases drop line.svg"]
    assert names("--element", "drop line", "--element", "lamplighter", "--case", "all") == [
        "cases drop line, lamplighter.svg"
    ]
    assert names("--element", "winch", "--case", "planned move") == ["history winch, planned move.svg"]
    assert names("--case", "all", "--format", "svg", "--format", "png") == [
        "history planned move.svg", "history planned move.png",
        "history power loss, worst force.svg", "history power loss, worst force.png",
    ]  # fmt: skip
    assert names("--stop", "all", "--element", "winch") == ["sweep winch, power loss.svg"]
    assert names("--kind", "rig", "--kind", "sweep") == ["rig.svg", "sweep power loss.svg"]


def test_every_name_that_is_not_there_is_told_at_once(folder: Path, capsys) -> None:
    asked = ["--kind", "pie", "--case", "planned", "--element", "drop lin", "--stop", "x"]
    assert main(["plot", str(folder), *asked]) == 2
    said = capsys.readouterr().err
    for name in ("pie", "planned", "drop lin", "x"):
        assert f"'{name}'. There are: " in said
    assert main(["plot", str(folder), "--kind", "rig", "--format", "bmp"]) == 2
    assert "There is no format 'bmp'. There are: svg, pdf, png, html, gif, mp4." in capsys.readouterr().err
    assert main(["plot", str(folder), "--kind", "rig", "--size", "90 x 60 mm"]) == 2
    assert "mm wide; 90 mm were asked for" in capsys.readouterr().err
    assert main(["plot", str(folder.parent), "--kind", "rig"]) == 2
    assert not (folder.parent / "drop-plots").exists() or not list((folder.parent / "drop-plots").iterdir())


def test_a_history_that_was_changed_since_is_not_drawn(folder: Path, capsys) -> None:
    path = folder / "traces/planned move.csv"
    path.write_text(path.read_text().replace("\n0.001,", "\n0.0011,", 1))
    assert main(["plot", str(folder), "--case", "planned move"]) == 2
    assert "traces/planned move.csv is no longer what was written" in capsys.readouterr().err


def test_a_file_of_somebody_else_is_left_alone_and_our_own_replaced(folder: Path, capsys) -> None:
    out = folder.parent / "mine"
    out.mkdir()
    (out / "rig.svg").write_text("my own drawing")
    assert main(["plot", str(folder), "--kind", "rig", "--out", str(out)]) == 2
    assert (out / "rig.svg").read_text() == "my own drawing"
    assert "left as it is" in capsys.readouterr().err
    for _ in range(2):
        assert len(plotted(capsys, folder, "--kind", "rig", "--format", "png,pdf", "--out", out)) == 2


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("A4", (210, 297)), ("a4 landscape", (297, 210)), ("A5", (148, 210)), ("A3", (297, 420)),  # ISO 216
        ("letter", (215.9, 279.4)),  # 8.5 in x 11 in
        ("160 mm", (160, None)), ("16cm x 90 mm", (160, 90)), ("160x90mm", (160, 90)), ("6 × 4 in", (152.4, 101.6)),
    ],
)  # fmt: skip
def test_sizes(text: str, mm: tuple[float, float | None]) -> None:
    size = parse_size(text)
    assert size is not None
    assert size.width_in * 25.4 == pytest.approx(mm[0])
    assert (size.height_in and size.height_in * 25.4) == (mm[1] and pytest.approx(mm[1]))


@pytest.mark.parametrize("text", ["", "A9", "160", "x", "10 mm", "1e9 mm", "160 x 90 x 3 mm", "-160 mm", "9999 cm"])
def test_sizes_that_are_none(text: str) -> None:
    with pytest.raises(Refused, match="--size"):
        parse_size(text)


# --- the figures ----------------------------------------------------------------------------------------------------


def test_only_what_was_chosen_is_drawn() -> None:
    result = builders.simple_result()
    history = history_figure(result, "planned move", things=["drop line", "head sling"])
    drawn = [str(line.get_label()) for axes in history.axes for line in curves(axes)]
    assert len(drawn) == 4
    assert all(name.startswith(("drop line", "head sling")) for name in drawn)
    sweep = sweep_figure(result, "power loss", things=["lamplighter"])
    assert {str(line.get_label()) for a in sweep.axes[1:] for line in curves(a)} == {"lamplighter"}


def test_cases_lie_over_one_another_with_their_own_figures() -> None:
    result = builders.simple_result()
    figure = cases_figure(result, ["drop line", "lamplighter", "head sling"])
    axes = panel(figure, "Tension")
    assert [str(line.get_label()) for line in curves(axes)] == list(result.cases)
    trace = result.traces["planned move"].columns["tension_N:drop line:head sheave -> lamplighter"]
    assert np.nanmax(np.asarray(curves(axes)[0].get_ydata())) == trace.max() / 1000
    said = words_of(figure)
    for case in result.cases.values():
        peak = case.peaks["drop line"]
        assert f"peak {shown(peak.force_N, 'N')} at {shown(peak.time_s, 's')}" in said
    assert "one leg bears 58% of it" in said
    with pytest.raises(ValueError, match="none of the cases has a history of nobody"):
        cases_figure(result, ["nobody"])


@pytest.mark.parametrize("width_in", [7.0, 8.27, 16.0])
def test_figures_fill_the_sheet_asked_for(width_in: float) -> None:
    result, size = builders.simple_result(), Size(width_in, 11.0)
    things = ("drop line", "lamplighter")
    for figure in (
        rig_figure(result.drawing, result, size=size),
        history_figure(result, "planned move", things=things, size=size),
        sweep_figure(result, "power loss", things=things, size=size),
        cases_figure(result, things, size=size),
    ):
        assert tuple(figure.get_size_inches()) == pytest.approx((width_in, 11.0))
        _nothing_written_over_the_edge(figure)


def _nothing_written_over_the_edge(figure: Figure) -> None:
    figure.draw_without_rendering()
    for axes in figure.axes:
        box = axes.get_tightbbox()
        assert box is not None
        assert box.x0 >= -1
        assert box.y0 >= -1
        assert box.x1 <= figure.bbox.x1 + 1
    labels = [axes.yaxis.label.get_window_extent() for axes in figure.axes if axes.get_ylabel()]
    for a, b in pairwise(labels):
        assert a.y0 >= b.y1 - 1, "the names of two panels lie over one another"


def test_a_sheet_that_is_too_small_says_how_much_is_needed() -> None:
    result = builders.simple_result()
    with pytest.raises(TooSmall, match=r"at least \d+ mm high; 76 mm were asked for"):
        history_figure(result, "planned move", size=Size(9.0, 3.0))
    with pytest.raises(TooSmall, match=r"at least \d+ mm wide; 76 mm were asked for"):
        rig_figure(result.drawing, result, size=Size(3.0))


# --- what moves -----------------------------------------------------------------------------------------------------


@pytest.fixture
def moving_folder(tmp_path: Path) -> Path:
    return write_result(tmp_path / "moving", moving_result(), INPUTS)


def test_a_case_as_it_moves(moving_folder: Path, capsys) -> None:
    (path,) = plotted(capsys, moving_folder, "--kind", "moving")
    assert path.name == "moving planned move.html"
    digest = hashlib.sha256((moving_folder / "result.json").read_bytes()).hexdigest()
    assert f"result.json sha256 {digest}" in path.read_text()
    assert plotted(capsys, moving_folder, "--kind", "moving") == [path]  # our own is replaced


def test_a_size_beside_a_moving_drawing_is_refused(folder: Path, capsys) -> None:
    """An option that is passed over looks like one that was obeyed."""
    for kinds in (("--kind", "moving"), ("--kind", "rig", "--kind", "moving")):
        assert main(["plot", str(folder), *kinds, "--size", "A4"]) == 2
        assert "a moving drawing takes none" in capsys.readouterr().err
    assert not (folder.parent / "drop-plots").exists()


def test_a_choice_that_no_kind_takes_is_refused(folder: Path, capsys) -> None:
    asked = ["--kind", "rig", "--case", "planned move", "--stop", "power loss", "--element", "drop line"]
    assert main(["plot", str(folder), *asked]) == 2
    told = capsys.readouterr().err
    assert all(f"{option} is for the kinds " in told for option in ("--case", "--stop", "--element"))
    assert main(["plot", str(folder), "--kind", "history", "--stop", "power loss"]) == 2
    assert "--stop is for the kinds sweep, and history takes none." in capsys.readouterr().err


def test_formats_go_to_the_kinds_that_have_them(moving_folder: Path, capsys) -> None:
    both = plotted(capsys, moving_folder, "--kind", "moving", "--kind", "rig", "--format", "html,png")
    assert [path.name for path in both] == ["rig.png", "moving planned move.html"]
    for asked, said in (
        (["--kind", "moving", "--format", "svg"], "The format svg fits none of the kinds moving."),
        (["--kind", "moving", "--kind", "rig", "--format", "png"], "The kind moving is written as html, gif, mp4"),
        (["--kind", "moving", "--size", "A4"], "a moving drawing takes none"),
    ):
        assert main(["plot", str(moving_folder), *asked]) == 2
        assert said in capsys.readouterr().err


def test_no_encoder_is_told_in_a_sentence_and_nothing_is_left(moving_folder: Path, capsys, monkeypatch) -> None:
    monkeypatch.setenv("PATH", str(moving_folder))
    assert main(["plot", str(moving_folder), "--kind", "moving", "--format", "mp4"]) == 3
    assert "There is no ffmpeg on this machine, so no MP4 can be written; html and gif can." in capsys.readouterr().err
    assert list((moving_folder.parent / "moving-plots").iterdir()) == []


def test_a_result_without_places_says_so(folder: Path, capsys) -> None:
    trace = builders.simple_trace()
    blind = Trace(trace.time_s, {n: c for n, c in trace.columns.items() if not n.startswith("height_m")})
    result = replace(builders.simple_result(), traces={"planned move": blind})
    old = write_result(folder.parent / "old", result, INPUTS)
    assert main(["plot", str(old), "--kind", "moving"]) == 2
    assert "does not say where lamplighter is" in capsys.readouterr().err
