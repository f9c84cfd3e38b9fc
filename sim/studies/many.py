"""Many runs that do not know of each other, on whatever `concurrent.futures` executor is given.

A run that raises is one lost run, told with its cause. Workers that break down (a process that ends or is killed)
lose nothing finished: what was running there is tried once more, one run at a time, and what breaks its worker again
is lost. A word to stop (Ctrl-C) hands over what is finished before it goes on its way.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    CancelledError,
    Executor,
    Future,
    ProcessPoolExecutor,
    ThreadPoolExecutor,
    wait,
)
from dataclasses import dataclass
from os import cpu_count
from threading import Event
from typing import Generic, TypeVar

from sim.dynamics.slices import listen_to
from sim.studies.hearing import HEARD_EVERY_S, Word, heard_where_asked

T = TypeVar("T")
R = TypeVar("R")

Workers = Executor | Callable[[], Executor] | None
"""Where runs are made: an executor, a function that gives a new one, or None for threads over the cores.

Threads serve well because the compiled solver runs without the interpreter's lock. A function that gives a new executor
can be asked again when workers break down; a given ProcessPoolExecutor is made again with the same number of workers.
"""

# Runs are handed over in batches of up to this many, so that handing over costs little, ...
LARGEST_BATCH = 8
# ... and so many batches per worker lie ready, so that none waits.
BATCHES_AHEAD = 3
BROKE_DOWN = "The worker that ran this ended unexpectedly, twice; the run was given up."
NOBODY_LEFT = "The workers ended unexpectedly and there were no others to run this."


@dataclass(frozen=True)
class Many(Generic[T, R]):
    """What to do with every item: run(batch) gives a result for each item of a batch, in order; both can be pickled.

    done(items, results) is told of finished runs, lost(item, cause) of a run without a result; both in this thread.
    stopping() is told of a word to stop, before what is under way is waited for: whatever can end early may do so.
    """

    run: Callable[[Sequence[T]], Sequence[R]]
    done: Callable[[Sequence[T], Sequence[R]], None]
    lost: Callable[[T, str], None]
    stopping: Callable[[], None] = lambda: None
    largest_batch: int = LARGEST_BATCH


def run_many(many: Many[T, R], items: Iterable[T], workers: Workers = None) -> None:
    """Run every item once. The order in which `done` hears of them is that of finishing, and means nothing."""
    waiting = list(items)
    if workers is None and (cpu_count() or 1) == 1:
        for item in waiting:
            _one_here(many, item)
        return
    with heard_where_asked() as word:
        _on_a_pool(many, waiting, workers, word)


def _on_a_pool(many: Many[T, R], waiting: list[T], workers: Workers, word: Word) -> None:
    pool = _Pool(workers)
    try:
        batches = deque(_batches(waiting, pool.size, many.largest_batch))
        while batches:
            for item in _until_broken(many, pool, batches, word):
                _alone(many, pool, item, word)
            if pool.gone:
                for item in [item for batch in batches for item in batch]:
                    many.lost(item, NOBODY_LEFT)
                return
    finally:
        pool.close()


def _one_here(many: Many[T, R], item: T) -> None:
    try:
        many.done([item], many.run([item]))
    except Exception as wrong:  # noqa: BLE001  (one failed run never stops the rest)
        many.lost(item, _in_words(wrong))


def _batches(items: Sequence[T], workers: int, largest: int) -> list[list[T]]:
    size = max(1, min(largest, len(items) // (BATCHES_AHEAD * workers)))
    return [list(items[i : i + size]) for i in range(0, len(items), size)]


def _until_broken(many: Many[T, R], pool: _Pool, batches: deque[list[T]], word: Word) -> list[T]:
    """Run batches until none is left, or until the workers break down: then gives the items that were under way."""
    flying: dict[Future[Sequence[R]], list[T]] = {}
    try:
        while batches or flying:
            while batches and len(flying) < BATCHES_AHEAD * pool.size:
                flying[pool.executor.submit(many.run, batches[0])] = batches[0]
                batches.popleft()
            word.heed()
            for future in wait(flying, HEARD_EVERY_S, FIRST_COMPLETED).done:
                error = _error(future)
                batch = flying[future]
                if isinstance(error, BrokenExecutor):
                    raise error
                del flying[future]
                if error is None:
                    many.done(batch, future.result())
                elif len(batch) == 1:
                    many.lost(batch[0], _in_words(error))
                else:  # only those that raise by themselves are lost
                    batches.extendleft([item] for item in batch)
    except BrokenExecutor:
        wait(flying)
        _hand_over(many, flying)
        pool.renew()
        return [item for batch in flying.values() for item in batch]
    except BaseException:
        many.stopping()
        pool.word.set()
        for future in flying:
            future.cancel()
        try:
            wait([future for future in flying if not future.cancelled()])
        finally:
            _hand_over(many, flying)
        raise
    return []


def _error(future: Future[Sequence[R]]) -> Exception | None:
    """What a finished run raised. A word to stop that reached it is a word to stop us: it is raised here."""
    try:
        error = future.exception()
    except CancelledError as cancelled:
        return cancelled
    if error is not None and not isinstance(error, Exception):
        raise error
    return error


def _hand_over(many: Many[T, R], flying: dict[Future[Sequence[R]], list[T]]) -> None:
    """Take what is finished out of what is under way."""
    for future in [f for f in flying if f.done() and not f.cancelled() and f.exception() is None]:
        many.done(flying.pop(future), future.result())


def _alone(many: Many[T, R], pool: _Pool, item: T, word: Word) -> None:
    """The second try, with nothing else under way: if the worker breaks down again, this run is why."""
    if pool.gone:
        many.lost(item, NOBODY_LEFT)
        return
    try:
        future = pool.executor.submit(many.run, [item])
        while wait([future], HEARD_EVERY_S).not_done:
            word.heed()
        error = _error(future)
    except BrokenExecutor as broken:
        error = broken
    else:
        if error is None:
            many.done([item], future.result())
            return
    if isinstance(error, BrokenExecutor):
        many.lost(item, BROKE_DOWN)
        pool.renew()
    else:
        many.lost(item, _in_words(error))


def _in_words(wrong: Exception) -> str:
    return f"The run could not be made ({type(wrong).__name__}: {wrong})."


class _Pool:
    """The executor runs are made on, and how to have another when it breaks down."""

    def __init__(self, workers: Workers) -> None:
        self._ours = not isinstance(workers, Executor)
        self.word = Event()
        """Set, it ends a long run in a thread of ours within a moment; a short one is finished."""
        self._make = _maker(workers, self.word)
        self.executor: Executor = workers if isinstance(workers, Executor) else self._make()
        self.gone = False
        """True where it broke down and there is no other."""

    @property
    def size(self) -> int:
        """How many runs it makes at a time, as far as it says."""
        return int(getattr(self.executor, "_max_workers", 0) or cpu_count() or 1)

    def renew(self) -> None:
        """Another executor for one that broke down."""
        self.close()
        try:
            self.executor, self._ours = self._make(), True
        except BrokenExecutor:
            self.gone = True

    def close(self) -> None:
        """Let go of an executor that was made here; one that was given stays its owner's."""
        if self._ours:
            self.executor.shutdown(wait=True, cancel_futures=True)


def _maker(workers: Workers, word: Event) -> Callable[[], Executor]:
    if workers is None:
        return lambda: ThreadPoolExecutor(cpu_count() or 1, initializer=listen_to, initargs=(word,))
    if isinstance(workers, ProcessPoolExecutor):
        like = vars(workers)  # a pool does not say in public how it was made
        size, context = like.get("_max_workers"), like.get("_mp_context")
        return lambda: ProcessPoolExecutor(size, context)
    if isinstance(workers, Executor):
        return _no_other
    return workers


def _no_other() -> Executor:
    raise BrokenExecutor("there is no other executor of this kind")
