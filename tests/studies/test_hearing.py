"""A word to stop is heard where it is asked for, never within; what was done on it before is done on it then."""

from __future__ import annotations

import signal
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from sim.studies.hearing import heard_where_asked
from sim.studies.many import Many, run_many


def test_it_waits_until_it_is_heeded_and_is_heard_at_once_again_then() -> None:
    before = signal.getsignal(signal.SIGINT), signal.getsignal(signal.SIGTERM)
    with heard_where_asked() as word:
        signal.raise_signal(signal.SIGINT)
        with pytest.raises(KeyboardInterrupt):
            word.heed()
        word.heed()  # it was said once
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    assert (signal.getsignal(signal.SIGINT), signal.getsignal(signal.SIGTERM)) == before


def test_what_nobody_heeded_is_heard_at_the_end() -> None:
    went_on = []

    def said_and_went_on() -> None:
        with heard_where_asked():
            signal.raise_signal(signal.SIGINT)
            went_on.append(1)

    with pytest.raises(KeyboardInterrupt):
        said_and_went_on()
    assert went_on


def test_another_thread_hears_nothing_and_changes_nothing() -> None:
    before, seen = signal.getsignal(signal.SIGINT), []

    def elsewhere() -> None:
        with heard_where_asked() as word:
            word.heed()
            seen.append(signal.getsignal(signal.SIGINT))

    thread = threading.Thread(target=elsewhere)
    thread.start()
    thread.join()
    assert seen == [before]


def test_many_runs_hear_it_between_two_of_them_and_hand_over_what_is_finished() -> None:
    """Said while results are taken in: all of that is done before it is heard."""
    done, told = [], []

    def taken(items, _results) -> None:
        done.extend(items)
        if len(done) == 3:
            signal.raise_signal(signal.SIGINT)
        told.extend(items)

    with ThreadPoolExecutor(1) as pool, pytest.raises(KeyboardInterrupt):
        run_many(Many(list, taken, lambda *_: None, largest_batch=1), range(1000), pool)
    assert 3 <= len(done) < 1000
    assert told == done
