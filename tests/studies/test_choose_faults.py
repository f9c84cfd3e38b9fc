"""Types tried side by side: the same figures on any workers, and whatever ends them early loses nothing finished."""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import pytest

from sim.results.choice import Candidate, State
from sim.results.choice_journal import ChoiceJournal
from sim.results.plain import to_plain
from sim.scenario import Scenario, read_text
from sim.strength.sizes import Size
from sim.studies import choose as choosing
from sim.studies import compare, one_stop
from sim.studies.choose import Trying, choice_key, choose
from sim.studies.choose_entrants import Entrant, entrants
from sim.studies.many import BROKE_DOWN, Workers
from tests.studies.drop import drop, drop_text

LINE = ("lift line",)
TYPES = ("7x19 galvanised", "music wire", "polyester double braid")
WIRE = "7x19 galvanised"


def swept() -> Scenario:
    """A drop stopped at every instant: a sweep for each type."""
    return read_text(drop_text().replace("when: 0.9 s", "when: every instant"), "drop")


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return drop()


@pytest.fixture(scope="module")
def tried(scenario: Scenario) -> list[Entrant]:
    return entrants(scenario, LINE, TYPES, Size(0.006, "6 mm"))


@pytest.fixture(scope="module")
def alone(scenario: Scenario, tried: list[Entrant]) -> list[Candidate]:
    return choose(scenario, LINE, tried, Trying(workers=lambda: ThreadPoolExecutor(1)))


def plain(candidates: Sequence[Candidate]) -> Any:
    """To the last bit: floats as JSON has them read back the same."""
    return to_plain(candidates, "", {})


def on(scenario: Scenario, tried: list[Entrant], workers: Workers) -> list[Candidate]:
    return choose(scenario, LINE, tried, Trying(workers=workers))


def begun(path: Path, scenario: Scenario, tried: list[Entrant]) -> ChoiceJournal:
    journal = ChoiceJournal(path)
    journal.begin(choice_key(scenario, tried))
    return journal


def test_one_worker_and_two_give_the_same_bits(
    scenario: Scenario, tried: list[Entrant], alone: list[Candidate]
) -> None:
    assert [each.state for each in alone] == [State.UNFIT, State.REMAINS, State.REMAINS, State.OUT]
    assert plain(on(scenario, tried, None)) == plain(alone)
    assert plain(on(scenario, tried, lambda: ThreadPoolExecutor(3))) == plain(alone)


def test_one_core_gives_the_same_bits(
    scenario: Scenario, tried: list[Entrant], alone: list[Candidate], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sim.studies.many.cpu_count", lambda: 1)
    assert plain(on(scenario, tried, None)) == plain(alone)


def test_processes_give_the_same_bits(scenario: Scenario, tried: list[Entrant], alone: list[Candidate]) -> None:
    with ProcessPoolExecutor(2, get_context("spawn")) as pool:
        assert plain(on(scenario, tried, pool)) == plain(alone)


@pytest.mark.skipif(os.name != "posix", reason="needs a worker that can be forked")
@pytest.mark.parametrize("always", [False, True])
def test_a_worker_that_dies_loses_its_own_type_at_most(
    scenario: Scenario,
    tried: list[Entrant],
    alone: list[Candidate],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    always: bool,
) -> None:
    met, real = tmp_path / "met", choosing.run_variant

    def dies(scenario: Scenario, asked: compare.Asked, *how: Any) -> compare.Ran:
        if asked.name.startswith(WIRE) and (always or not met.exists()):
            met.touch()
            os._exit(1)
        return real(scenario, asked, *how)

    monkeypatch.setattr(choosing, "run_variant", dies)
    found = on(scenario, tried, lambda: ProcessPoolExecutor(2, get_context("fork")))
    if not always:
        assert plain(found) == plain(alone)
        return
    lost = {each.name: each for each in found if each.state is State.NOT_RUN}
    assert [*lost] == [WIRE]
    assert lost[WIRE].why == (BROKE_DOWN,)
    assert plain([each for each in found if each.name not in lost]) == plain([e for e in alone if e.name not in lost])


def test_a_type_that_was_tried_is_not_tried_again(
    scenario: Scenario, tried: list[Entrant], alone: list[Candidate], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal, made = begun(tmp_path / "a.jsonl", scenario, tried), []

    def stops(candidate: Candidate) -> None:
        if candidate.state is not State.UNFIT:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        choose(scenario, LINE, tried, Trying(journal=journal, workers=lambda: ThreadPoolExecutor(1), each=stops))
    journal.close()
    again = begun(tmp_path / "a.jsonl", scenario, tried)
    before = again.types
    assert 0 < before < 3
    real = choosing.run_variant
    monkeypatch.setattr(
        choosing, "run_variant", lambda of, asked, *how: made.append(asked.name) or real(of, asked, *how)
    )
    assert plain(choose(scenario, LINE, tried, Trying(journal=again))) == plain(alone)
    assert len(made) == len(set(made)) == 3 - before


def test_runs_of_a_type_cut_off_are_not_made_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the middle of its sweep: the next start makes the other runs of it only."""
    scenario = swept()
    tried = entrants(scenario, LINE, (WIRE,), Size(0.006, "6 mm"))
    runs: list[float] = []
    real = one_stop.run_stops
    monkeypatch.setattr(one_stop, "run_stops", lambda of, stop, t, tol: runs.extend(t) or real(of, stop, t, tol))
    fresh = choose(scenario, LINE, tried, Trying())
    every = len(runs)
    journal, told = begun(tmp_path / "a.jsonl", scenario, tried), 0
    add = journal.add

    def stops(rows: Any) -> None:
        nonlocal told
        add(rows)
        told += 1
        if told == 12:
            raise KeyboardInterrupt

    monkeypatch.setattr(journal, "add", stops)
    with pytest.raises(KeyboardInterrupt):
        choose(scenario, LINE, tried, Trying(journal=journal))
    journal.close()
    again = begun(tmp_path / "a.jsonl", scenario, tried)
    kept = again.taken_over - again.types
    assert kept > 0
    runs.clear()
    assert plain(choose(scenario, LINE, tried, Trying(journal=again))) == plain(fresh)
    assert len(runs) <= every - kept


def test_another_scenario_or_catalogue_takes_nothing_over(
    scenario: Scenario, tried: list[Entrant], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = begun(tmp_path / "a.jsonl", scenario, tried)
    choose(scenario, LINE, tried, Trying(journal=journal))
    journal.close()
    assert begun(tmp_path / "a.jsonl", scenario, tried).types == 3
    assert begun(tmp_path / "a.jsonl", drop(hot="30 degC"), tried).rows == {}
    monkeypatch.setattr(choosing, "source_mark", lambda: "another program")
    assert begun(tmp_path / "a.jsonl", scenario, tried).rows == {}


def test_a_disk_that_takes_nothing_is_told_and_all_is_tried(
    scenario: Scenario, tried: list[Entrant], alone: list[Candidate], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_given: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(ChoiceJournal, "_write", full)
    journal = begun(tmp_path / "a.jsonl", scenario, tried)
    assert plain(choose(scenario, LINE, tried, Trying(journal=journal))) == plain(alone)
    assert "No space left" in journal.trouble
