"""`stopload compare` through the whole program, and what it refuses before it runs anything."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.command.main import main
from sim.results.cautions import FULL
from sim.results.comparison_folder import read_comparison
from sim.results.folder import read_result
from sim.results.model import Result
from sim.results.shown import bare
from sim.scenario import Scenario
from sim.studies import compare
from tests.results.made_up import made_up_result

ROOT = Path(__file__).parents[2]
RUN = ROOT / "scenarios/cathedral-run-fibre.yaml"
MASS = "drives / winch / moving_mass"


def refused(capsys: pytest.CaptureFixture[str], tmp_path: Path, *options: str) -> str:
    """What is told where nothing is run; nothing may be written then."""
    assert main(["compare", str(RUN), "--out", str(tmp_path / "out"), *options]) == 2
    assert list(tmp_path.iterdir()) == []
    captured = capsys.readouterr()
    return captured.err + captured.out


def test_what_there_is_to_compare_must_be_said(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    said = refused(capsys, tmp_path)
    assert all(word in said for word in ("no compare cases", "--types", "--diameters", "--over"))


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--over", f"{MASS}"), "KEY: VALUE"),
        (("--over", f"{MASS}: 40 kg,,60 kg"), "comma between"),
        (("--over", "moves / 9 / speed: 1 m/s"), "from 1 to 1"),
        (("--over", f"{MASS}: 40 stone, 60 stone"), "40 stone"),
        (("--over", "drives / winsh / moving_mass: 40 kg"), "did you mean winch"),
        (("--types", "HMPE 12-strnd"), "HMPE 12-strand"),
        (("--types", "HMPE 12-strand", "--line", "nave"), "There is no line 'nave'. There are: nave line."),
        (("--over", f"{MASS}: {', '.join(f'{n} kg' for n in range(1, 102))}"), "101 variants are more than 100"),
        (("--types", "a", "--diameters", "1 mm", "--over", f"{MASS}: 1 kg"), "at most two"),
    ],
)
def test_what_cannot_be_is_told_before_anything_runs(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, options: tuple[str, ...], told: str
) -> None:
    assert told in refused(capsys, tmp_path, *options)


def test_two_masses_and_one_that_is_none(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    out = tmp_path / "out"
    arguments = ["compare", str(RUN), "--over", f"{MASS}: 45 kg, 60 stone, 180 kg", "--out", str(out)]
    assert main(arguments) == 2  # one variant is wrong, and yet the others are run
    captured = capsys.readouterr()
    assert f"60 stone: {MASS}: 60 stone: found '60 stone'" in captured.err
    page = " ".join(captured.out.split())
    comparison = read_comparison(out)
    assert [each.status for each in comparison.variants] == [0, 2, 0]
    assert [each.folder for each in comparison.variants] == ["45 kg", "", "180 kg"]
    for each in comparison.variants:
        assert (out / each.folder / "result.json").is_file() == bool(each.folder)
        if each.folder:
            result = read_result(out / each.folder)
            assert each.figures.peak_g is not None
            assert each.figures.peak_g.value == max(c.performers["sexton"].peak_g for c in result.cases.values())
            assert bare(each.figures.peak_g.value, "g") in page
            written = (out / each.folder / "input.yaml").read_text(encoding="utf-8")
            assert f"moving_mass: {each.name}" in written
            assert each.hook is not None
            assert each.hook.law_N == pytest.approx(each.hook.added_N, rel=0.35)
    assert all(sentence in page for caution in FULL for sentence in [caution])
    assert "Most changed:" in page
    assert (out / "plots" / "overview.svg").is_file()
    assert main(arguments) == 2
    assert "--replace" in capsys.readouterr().err


def test_stopped_on_ones_word_it_keeps_what_is_finished(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def study(scenario: Scenario, *_how: object, **_more: object) -> Result:
        asked.append(scenario.source_name)
        if len(asked) > stop_at:
            raise KeyboardInterrupt
        return made_up_result()

    monkeypatch.setattr(compare, "run_scenario", study)
    monkeypatch.setattr(compare, "hook_stop", lambda *_: None)
    monkeypatch.setattr(compare, "felt_on_floor", lambda *_: [])
    arguments = ["compare", str(RUN), "--over", f"{MASS}: 40 kg, 50 kg, 60 kg", "--out", str(tmp_path / "out")]
    stop_at = 0
    assert main(arguments) == 3
    assert list(tmp_path.iterdir()) == []
    asked.clear()
    stop_at = 1
    assert main(arguments) == 3
    found = read_comparison(tmp_path / "out").variants
    assert [each.cause for each in found] == ["", "stopped on your word", "stopped on your word"]
    assert read_result(tmp_path / "out" / "40 kg").title == made_up_result().title
    assert "stopped on your word" in capsys.readouterr().out


@pytest.mark.slow
def test_five_lines_of_one_drop(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The demo: stiffer lines are stiffer at the hook, every peak lies near the law's, curves lie over one another."""
    demo, out = ROOT / "scenarios/lamplighters-five-lines.yaml", tmp_path / "out"
    assert main(["compare", str(demo), "--out", str(out)]) in (0, 1)
    assert "At the hook" in capsys.readouterr().out
    comparison = read_comparison(out)
    assert not any(each.cause for each in comparison.variants)
    hooks = {each.name: each.hook for each in comparison.variants if each.hook is not None}
    assert len(hooks) == 5
    stiffness = {name: hook.hook_N_per_m for name, hook in hooks.items()}
    assert sorted(stiffness, key=lambda name: stiffness[name]) == [
        "polyester 10 mm", "as written", "galvanised wire 5 mm", "stainless wire 6 mm", "HMPE"
    ]  # fmt: skip
    for name, hook in hooks.items():
        assert hook.law_N == pytest.approx(hook.added_N, rel=0.35), name
    figure = (out / "plots/compared power loss.svg").read_text(encoding="utf-8")
    assert all(f">{name}<" in figure for name in hooks)
