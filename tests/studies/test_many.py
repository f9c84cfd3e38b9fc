"""Many runs on executors of every kind: what is finished stays finished, and what fails is told with its cause."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path

import pytest

from sim.studies.many import BROKE_DOWN, NOBODY_LEFT, Many, Workers, run_many

FORK = multiprocessing.get_context("fork") if os.name == "posix" else None
posix = pytest.mark.skipif(os.name != "posix", reason="needs a worker that can be forked")


def _squares(batch: Sequence[int]) -> list[int]:
    return [x * x for x in batch]


def _refuses_seven(batch: Sequence[int]) -> list[int]:
    if 7 in batch:
        raise ValueError("seven")
    return _squares(batch)


def _ends_at_seven(batch: Sequence[int]) -> list[int]:
    if 7 in batch:
        os._exit(1)
    return _squares(batch)


class _EndsOnce:
    """Ends the worker the first time it meets seven, and never again."""

    def __init__(self, mark: Path) -> None:
        self.mark = mark

    def __call__(self, batch: Sequence[int]) -> list[int]:
        if 7 in batch and not self.mark.exists():
            self.mark.touch()
            os._exit(1)
        return _squares(batch)


def _gathered(run, count: int, workers: Workers) -> tuple[dict[int, int], dict[int, str]]:
    found: dict[int, int] = {}
    lost: dict[int, str] = {}

    def done(items: Sequence[int], results: Sequence[int]) -> None:
        assert not set(items) & (set(found) | set(lost)), "told twice"
        found.update(zip(items, results, strict=True))

    run_many(Many(run, done, lost.__setitem__), range(count), workers)
    return found, lost


@pytest.mark.parametrize("count", [0, 1, 100])
def test_every_item_is_run_once(count: int) -> None:
    for workers in (None, lambda: ThreadPoolExecutor(3)):
        assert _gathered(_squares, count, workers) == ({x: x * x for x in range(count)}, {})


def test_one_core_needs_no_thread(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sim.studies.many.cpu_count", lambda: 1)
    monkeypatch.setattr("sim.studies.many.ThreadPoolExecutor", None)
    assert _gathered(_squares, 50, None)[0] == {x: x * x for x in range(50)}


@pytest.mark.parametrize("cores", [1, 2])
def test_an_item_that_raises_is_lost_alone_with_its_cause(monkeypatch: pytest.MonkeyPatch, cores: int) -> None:
    monkeypatch.setattr("sim.studies.many.cpu_count", lambda: cores)
    found, lost = _gathered(_refuses_seven, 100, None)
    assert found == {x: x * x for x in range(100) if x != 7}
    assert list(lost) == [7]
    assert "ValueError: seven" in lost[7]


def test_an_executor_that_was_given_stays_its_owners() -> None:
    with ThreadPoolExecutor(2) as pool:
        _gathered(_squares, 10, pool)
        assert pool.submit(int, "1").result() == 1


@posix
def test_a_worker_that_ends_takes_only_its_own_run_along() -> None:
    with ProcessPoolExecutor(2, FORK) as pool:
        found, lost = _gathered(_ends_at_seven, 60, pool)
    assert found == {x: x * x for x in range(60) if x != 7}
    assert lost == {7: BROKE_DOWN}


@posix
def test_a_run_whose_worker_ended_once_is_tried_again(tmp_path: Path) -> None:
    found, lost = _gathered(_EndsOnce(tmp_path / "met"), 60, lambda: ProcessPoolExecutor(2, FORK))
    assert found == {x: x * x for x in range(60)}
    assert lost == {}


class _Breaks(Executor):
    """An executor of no known kind that runs two batches and then breaks down for good."""

    left = 2

    def submit(self, fn, /, *args, **kwargs):  # pyright: ignore[reportIncompatibleMethodOverride]
        if self.left == 0:
            raise BrokenExecutor("gone")
        self.left -= 1
        future: Future = Future()
        future.set_result(fn(*args))
        return future


def test_where_nobody_is_left_to_run_what_is_finished_stays() -> None:
    found, lost = _gathered(_squares, 100, _Breaks())
    assert found
    assert set(lost.values()) == {NOBODY_LEFT}
    assert sorted([*found, *lost]) == list(range(100))


def test_a_word_to_stop_hands_over_what_is_finished() -> None:
    """The word comes while results are being taken in, as Ctrl-C does."""
    found: list[int] = []

    def done(items: Sequence[int], results: Sequence[int]) -> None:
        found.extend(items)
        if 20 in items:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run_many(Many(_squares, done, lambda item, cause: None), range(1000), lambda: ThreadPoolExecutor(2))
    assert 20 in found
    assert len(found) == len(set(found)) < 1000
