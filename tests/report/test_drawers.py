"""Figures drawn by several processes: the same as drawn by one, whatever becomes of the processes or of a figure."""

from __future__ import annotations

import os
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from sim.command.main import main
from sim.report import drawers as module
from sim.report.document import document
from sim.report.drawers import drawers
from sim.report.drawing import Drawn, Tell, draw_here
from sim.report.look import Look
from sim.report.pictures import wanted
from sim.report.source import Source, read_source
from sim.results.model import Result
from tests.report.made import made_up_folder
from tests.results.made_up import made_up_result


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Source:
    return read_source(made_up_folder(tmp_path_factory.mktemp("drawn")), Look())


@pytest.fixture(scope="module")
def here(source: Source) -> dict[str, Drawn]:
    return draw_here(source.result, source.look, wanted(source))


def _without_history() -> Result:
    """A result in which one case's history has nothing that a figure shows."""
    made = made_up_result()
    bare = replace(made.traces["planned move"], columns={"unknown:thing": made.traces["planned move"].time_s})
    name = next(name for name in made.traces if name != "planned move") if len(made.traces) > 1 else "planned move"
    return replace(made, traces={**made.traces, name: bare})


def test_two_processes_draw_what_one_does_in_the_same_order(source: Source, here: dict[str, Drawn]) -> None:
    told: list[tuple[str, int, int]] = []
    tell: Tell = lambda what, done, total: told.append((what, done, total))  # noqa: E731
    with drawers(2) as draw:
        apart = draw(source.result, source.look, wanted(source), tell)
    assert list(apart) == list(here)
    assert apart == here
    assert all(each.figure is not None and not each.trouble for each in apart.values())
    assert told == [("drawing", n, len(here)) for n in range(1, len(here) + 1)]


def test_what_a_process_that_ends_leaves_is_drawn_here(
    source: Source, here: dict[str, Drawn], monkeypatch: pytest.MonkeyPatch
) -> None:
    def ending(*given: Any, **named: Any) -> ProcessPoolExecutor:
        """Processes one of which ends at its first task."""
        pool = ProcessPoolExecutor(*given, **named)
        pool.submit(os._exit, 1)
        return pool

    monkeypatch.setattr(module, "ProcessPoolExecutor", ending)
    with drawers(2) as draw:
        assert draw(source.result, source.look, wanted(source), None) == here


def test_on_one_core_or_where_no_process_can_be_begun_it_draws_itself(
    source: Source, here: dict[str, Drawn], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused() -> None:
        raise OSError("no more processes")

    monkeypatch.setattr("multiprocessing.forkserver.ensure_running", refused)
    with drawers(2) as draw:
        assert draw is draw_here
    monkeypatch.undo()

    def lacking(*_: Any, **__: Any) -> None:
        raise NotImplementedError("no semaphores")

    monkeypatch.setattr(module, "ProcessPoolExecutor", lacking)
    with drawers(2) as draw:
        assert draw(source.result, source.look, wanted(source), None) == here
    monkeypatch.undo()
    monkeypatch.setattr(module, "cpu_count", lambda: 1)
    with drawers() as draw:
        assert draw is draw_here


def test_a_figure_that_cannot_be_drawn_costs_no_other_and_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = made_up_folder(tmp_path, _without_history())
    assert main(["report", str(folder), "--out", str(tmp_path / "a.html")]) == 3
    told = capsys.readouterr()
    assert "Traceback" not in told.err
    assert "A figure is missing in the report" in told.err
    assert "none of the columns a history shows" in told.err
    page = (tmp_path / "a.html").read_text(encoding="utf-8")
    assert "No figure here, because it could not be drawn" in page
    content = document(read_source(folder, Look()))
    assert len(content.undrawn) == 1
    assert page.count("<figure") == len(wanted(read_source(folder, Look()))) - 1
