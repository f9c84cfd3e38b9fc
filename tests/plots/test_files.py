"""The files: reproducible, small, text as text, and names as they were written."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from matplotlib.figure import Figure

from plots import page, style, write_plots, write_rig_drawing
from tests.plots import builders


def texts(path: Path) -> list[str]:
    return ["".join(e.itertext()).strip() for e in ElementTree.parse(path).iter("{http://www.w3.org/2000/svg}text")]


def test_same_result_same_bytes_whatever_the_readers_settings(tmp_path: Path) -> None:
    import matplotlib

    first = write_plots(builders.simple_result(), tmp_path / "a")
    with matplotlib.rc_context({"font.size": 20, "lines.linewidth": 5, "svg.hashsalt": "x", "axes.grid": True}):
        second = write_plots(builders.simple_result(), tmp_path / "b")
        assert matplotlib.rcParams["font.size"] == 20
    assert [p.name for p in first] == [
        "rig.svg", "history planned move.svg", "history power loss, worst force.svg", "sweep power loss.svg"
    ]  # fmt: skip
    for a, b in zip(first, second, strict=True):
        assert a.read_bytes() == b.read_bytes()


def test_ten_noisy_seconds_stay_below_a_megabyte_and_names_stand_as_written(tmp_path: Path) -> None:
    rig, history = write_plots(builders.crowded_result(), tmp_path, "us")
    assert rig.stat().st_size < 1_000_000
    assert history.stat().st_size < 1_000_000
    for path in (rig, history):
        said = texts(path)
        assert "Three in the air <&> $5_each$" in said
        assert any("点灯夫" in t for t in said)
        assert any("Fire & $moke <2>_a" in t for t in said)


@pytest.mark.filterwarnings("ignore:no installed font has")
def test_png_on_request(tmp_path: Path) -> None:
    written = write_plots(builders.simple_result(), tmp_path, png=True)
    assert {p.suffix for p in written} == {".svg", ".png"}
    assert all(p.read_bytes()[:4] == b"\x89PNG" for p in written if p.suffix == ".png")


@pytest.mark.filterwarnings("ignore:no installed font has")
def test_a_picture_with_boxes_for_letters_says_so_and_the_drawing_keeps_the_letters(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    result = builders.crowded_result()
    monkeypatch.setattr(page, "_fonts_for", lambda letters: ([style.FONT], letters & {"点"}))
    kept = Figure.savefig
    monkeypatch.setattr(
        Figure, "savefig", lambda self, *a, **k: (said.extend(t.get_text() for t in self.texts), kept(self, *a, **k))
    )
    write_plots(result, tmp_path, png=True)
    assert any("Boxes stand for letters" in t for t in said)
    assert not any("Boxes stand for letters" in t for path in tmp_path.glob("*.svg") for t in texts(path))


def test_rig_alone_and_unknown_kind(tmp_path: Path) -> None:
    write_rig_drawing(builders.simple_drawing(), tmp_path / "rig.svg", "The drop")
    assert "The drop" in texts(tmp_path / "rig.svg")
    with pytest.raises(ValueError, match="svg, pdf or png"):
        write_rig_drawing(builders.simple_drawing(), tmp_path / "rig.docx", "The drop")


def test_import_is_light_and_no_global_figure_state(tmp_path: Path) -> None:
    code = (
        "import sys, pathlib, plots; assert 'matplotlib' not in sys.modules\n"
        "from tests.plots import builders\n"
        f"plots.write_plots(builders.simple_result(), pathlib.Path({str(tmp_path)!r}))\n"
        "assert 'matplotlib' in sys.modules and 'matplotlib.pyplot' not in sys.modules"
    )
    here = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", code], cwd=here, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
