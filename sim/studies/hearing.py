"""A word to stop (Ctrl-C) that is heard where nothing is half done.

Python raises it wherever the main thread is. Within the locks of `concurrent.futures` that is once in a while between
letting go of a lock and taking it again: then the lock's own complaint came up in place of the word, as a fault of the
program, or a lock stayed taken.
"""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any

HEARD_EVERY_S = 0.05
"""Whoever waits for others meanwhile looks so often whether something was said."""


class Word:
    """What was said, and what is done on it."""

    def __init__(self) -> None:
        self._said: tuple[int, FrameType | None] | None = None
        self._before: dict[int, Any] = {}

    def heed(self) -> None:
        """Do now what was to be done when it was said (KeyboardInterrupt); from then on it is heard at once again."""
        if self._said is not None:
            said, self._said = self._said, None
            self.back()[said[0]](*said)

    def back(self) -> dict[int, Any]:
        """Let all be as it was: what is done at which signal."""
        before, self._before = self._before, {}
        for number, handler in before.items():
            signal.signal(number, handler)
        return before

    def listen(self) -> None:
        """Note what is said from now on. Only in the main thread is anything said."""
        for number in (signal.SIGINT, signal.SIGTERM):
            handler = signal.getsignal(number)
            if callable(handler):
                try:
                    signal.signal(number, self._note)
                except ValueError:  # not the main thread
                    return
                self._before[number] = handler

    def _note(self, number: int, frame: FrameType | None) -> None:
        self._said = (number, frame)


@contextmanager
def heard_where_asked() -> Iterator[Word]:
    """Within, a word to stop waits for `heed`; what nobody heeded is heard at the end."""
    word = Word()
    word.listen()
    try:
        yield word
    finally:
        try:
            word.heed()
        finally:
            word.back()
