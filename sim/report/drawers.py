"""Processes that draw the figures of a report at once, one for each core; the same figures, whoever draws them.

They load the drawing library while the result is still being read, so this file itself loads next to nothing.
"""

from __future__ import annotations

import gc
import pickle
import signal
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, ProcessPoolExecutor, wait
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from functools import lru_cache
from multiprocessing import get_all_start_methods, get_context
from os import cpu_count
from threading import current_thread, main_thread
from typing import TYPE_CHECKING, Any, TypeAlias

from sim.studies.hearing import HEARD_EVERY_S, heard_where_asked

if TYPE_CHECKING:
    from multiprocessing.context import BaseContext

    from sim.report.drawing import Draw, Drawn, Tell, Wanted
    from sim.report.look import Look
    from sim.results.model import Result

_LOADED = "sim.report.drawing_loaded"
_MOST = 60
"""One system can wait for no more than 61 processes at once."""
_FORKS = "forkserver" in get_all_start_methods()

_Own: TypeAlias = Mapping[str, Mapping[str, Any]]
"""The traces and sweeps that one figure shows."""


@contextmanager
def drawers(count: int | None = None) -> Iterator[Draw]:
    """Processes that draw from now on until the end of the block, one for each core unless said otherwise.

    With one, or where none can be begun, everything is drawn here.
    """
    count = count or cpu_count() or 1
    if count == 1 or not _begin_loading():
        from sim.report.drawing import draw_here

        yield draw_here
        return
    with ExitStack() as until_the_end:

        def draw(result: Result, look: Look, wanted: Sequence[Wanted], tell: Tell | None = None) -> dict[str, Drawn]:
            from sim.report.drawing import draw_here

            try:
                most = min(count, len(wanted), _MOST)
                pool = ProcessPoolExecutor(most, _context(), initializer=_settle)
            except (OSError, ImportError, NotImplementedError):  # a machine without what processes share
                return draw_here(result, look, wanted, tell)
            until_the_end.callback(pool.shutdown, wait=False, cancel_futures=True)
            return _draw_by(pool, result, look, wanted, tell)

        yield draw


def _draw_by(
    pool: Executor, result: Result, look: Look, wanted: Sequence[Wanted], tell: Tell | None
) -> dict[str, Drawn]:
    """All of it by the pool; what is left where a process ends unexpectedly is drawn here."""
    common = pickle.dumps(replace(result, traces={}, sweeps={}))
    made: dict[str, Drawn] = {}
    try:
        # What takes longest first, so that nobody is left with it at the end.
        in_turn = sorted(wanted, key=lambda each: not each.moving)
        with heard_where_asked() as word:
            asked = {pool.submit(_draw_apart, common, _own_of(result, each), look, each): each for each in in_turn}
            while asked:
                for done in wait(asked, HEARD_EVERY_S, FIRST_COMPLETED).done:
                    made[asked.pop(done).prefix] = done.result()
                    if tell is not None:
                        tell("drawing", len(made), len(wanted))
                word.heed()
    except (BrokenExecutor, OSError):
        from sim.report.drawing import draw_here

        made |= draw_here(result, look, [each for each in wanted if each.prefix not in made])
    return {each.prefix: made[each.prefix] for each in wanted}


def _own_of(result: Result, wanted: Wanted) -> _Own:
    """The history or the sweep that a figure shows; with a sweep the planned move, which lies above it."""
    from plots.sweep import planned_case
    from sim.report.drawing import HISTORY, SWEEP

    traces = {HISTORY: wanted.name, SWEEP: planned_case(result)}.get(wanted.kind)
    sweeps = {SWEEP: wanted.name}.get(wanted.kind)
    return {
        "traces": {name: trace for name, trace in result.traces.items() if name == traces},
        "sweeps": {name: table for name, table in result.sweeps.items() if name == sweeps},
    }


def _draw_apart(common: bytes, own: _Own, look: Look, wanted: Wanted) -> Drawn:
    from sim.report.drawing import draw_one

    return draw_one(replace(_read_once(common), **own), look, wanted)


@lru_cache(maxsize=1)
def _read_once(common: bytes) -> Result:
    """What all figures of a result share."""
    return pickle.loads(common)


# --- how they begin -------------------------------------------------------------------------------------------------


def _context() -> BaseContext:
    """Each process is a copy of one that has loaded the drawing library and has no other thread.

    A copy of the program itself would have its locks without the threads that hold them (one shows progress).
    """
    return get_context("forkserver" if _FORKS else "spawn")


def _begin_loading() -> bool:
    """Begin the process that the others are copies of, where there is such a thing; whether processes can be begun."""
    if not _FORKS:
        return True
    from multiprocessing import forkserver

    forkserver.set_forkserver_preload([_LOADED])
    try:
        with _stopping_left_to_us():
            forkserver.ensure_running()
    except OSError:
        return False
    return True


@contextmanager
def _stopping_left_to_us() -> Iterator[None]:
    """What is begun within leaves Ctrl-C, which reaches every process of a terminal, to this one, which tells of it."""
    if current_thread() is not main_thread():  # only the main thread may change that
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _settle() -> None:
    """The same for a process that was begun in another way, and little looking for what can be thrown away: a figure is
    many small things that live as long as it does, and looking at them again and again took a tenth of the time.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
