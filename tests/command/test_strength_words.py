"""What a strength is worth is said where it is printed: doubtful data apart, and the chain to what counts."""

from __future__ import annotations

import io
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from rich.console import Console

from sim.command.main import main
from sim.command.summary import print_summary
from sim.results.model import Reduction
from sim.results.shown import Units
from tests.results.made_up import made_up_result

ROOT = Path(__file__).parents[2]


def _page(assumptions: tuple[str, ...], units: Units = Units.SI) -> str:
    result = made_up_result()
    name = next(iter(result.elements))
    taken = (
        Reduction("long splice", "flyer", 0.8, "value from memory", needs_evidence=True),
        Reduction("wet", "flyer", 0.85, "yarn table"),
    )
    element = replace(result.elements[name], name=name, breaking_strength_N=29000.0, reductions=taken)
    result = replace(result, elements={**result.elements, name: element}, assumptions=assumptions)
    stream = io.StringIO()
    print_summary(Console(file=stream, width=160, markup=False, highlight=False), result, units)
    return stream.getvalue()


def _part(page: str, title: str) -> list[str]:
    after = page.split(f"\n{title}\n")[1].splitlines()
    return [line.rstrip() for line in after[: after.index("")]]


def test_doubtful_data_stand_apart_however_many_assumptions_there_are() -> None:
    many = tuple(f"assumption {i}" for i in range(30))
    page = _page((*many, "Doubtful: line: 31 kN is more than the catalogue has."))
    assert _part(page, "Doubtful") == ["- line: 31 kN is more than the catalogue has."]
    assert "Doubtful" not in "".join(_part(page, "Assumed"))
    assert "\nDoubtful\n" not in _page(many)


def test_the_chain_is_printed_in_either_units() -> None:
    # 29 kN x 0.80 x 0.85 = 19.72 kN = 4433 lbf (1 lbf = 4.4482216 N, NIST SP 811).
    (chain, *_) = [line for line in _part(_page(()), "Strength that is left") if "29.00 kN" in line]
    assert chain.endswith("29.00 kN × 0.80 long splice (needs evidence) × 0.85 wet = 19.72 kN at flyer")
    assert "= 4,433 lbf" in "".join(_part(_page((), Units.US), "Strength that is left"))


def test_check_tells_doubts_before_it_tells_assumptions(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = Path(shutil.copy(ROOT / "scenarios/cathedral-run-wire.yaml", tmp_path))
    text = file.read_text(encoding="utf-8")
    assert "{value: 23 kN, from: certificate}" in text
    file.write_text(text.replace("{value: 23 kN,", "{value: 31.1 kN,"), encoding="utf-8")
    assert main(["check", str(file)]) == 0
    page = " ".join(capsys.readouterr().out.split())
    assert page.index("1/4 in (31.1 kN): is the size right?") < page.index("Assumed")


def test_check_refuses_what_cannot_be(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = Path(shutil.copy(ROOT / "scenarios/cathedral-run-wire.yaml", tmp_path))
    text = file.read_text(encoding="utf-8").replace("{value: 23 kN,", "{value: 230 kN,")
    file.write_text(text, encoding="utf-8")
    assert main(["check", str(file)]) == 2
    assert "more than any 7x19 galvanised of 6 mm can bear" in capsys.readouterr().err
