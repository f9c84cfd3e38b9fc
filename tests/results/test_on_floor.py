"""A largest g that is the floor's is told from one that is a line's, on the page and in the report."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from rich.console import Console

from sim.command.summary import print_summary
from sim.report.document import document
from sim.report.look import Look
from sim.report.source import read_source
from sim.report.spans import plain
from sim.results.model import Result, Trace
from sim.results.on_floor import felt_on_floor
from sim.results.shown import Units
from tests.report.made import made_up_folder
from tests.results.made_up import made_up_result


def _struck(strikes: bool) -> tuple[Result, str]:
    """The made-up result with what the floor bears in the case of the largest g, at that instant or a second later."""
    made = made_up_result()
    name = max(made.cases, key=lambda case: made.cases[case].performers["lamplighter"].peak_g)
    peak_s = made.cases[name].performers["lamplighter"].peak_g_time_s
    assert peak_s is not None
    when = peak_s if strikes else peak_s + 1.0
    time_s = np.sort(np.append(np.linspace(0.0, peak_s + 2.0, 50), when))
    column = np.where(np.abs(time_s - when) < 1e-9, 900.0, 0.0)
    old = made.traces[name]
    kept = {key: np.interp(time_s, old.time_s, values) for key, values in old.columns.items()}
    trace = Trace(time_s, {**kept, "floor_force_N:lamplighter": column})
    return replace(made, traces={**made.traces, name: trace}), name


@pytest.mark.parametrize("strikes", [True, False])
def test_it_goes_by_what_the_floor_bears_at_the_peak(strikes: bool, tmp_path: Path) -> None:
    result, name = _struck(strikes)
    g = result.cases[name].performers["lamplighter"].peak_g
    told = f"lamplighter: the largest g, {g:.2f} ({name}), is felt on the floor, not on a line."
    assert felt_on_floor(result) == ([told] if strikes else [])
    page = io.StringIO()
    print_summary(Console(file=page, width=200), result, Units.SI)
    assert (told in page.getvalue()) is strikes
    front = document(read_source(made_up_folder(tmp_path, result), Look()), drawn=False).front
    said = [plain(item) for block in front for item in getattr(block, "items", ())]
    assert any("into the run, on the floor, not on a line." in each for each in said) is strikes
