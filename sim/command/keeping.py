"""Finished runs kept on the way: what is told of them when a command goes on with them, ends early or cannot write."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sim.command.status import Refused, Status, in_words
from sim.results.unfinished import Unfinished

Journal = Unfinished[Any, Any]


@contextmanager
def runs_kept(journal: Journal | None) -> Iterator[None]:
    """Let the journal go when the block ends well; else raise Refused saying what it keeps. None: nothing is kept."""
    try:
        yield
        if journal is not None:
            journal.discard()
    except KeyboardInterrupt:
        kept = _how_to_go_on(journal) or ["Nothing half-written is left."]
        raise Refused(" ".join(["Stopped on your word.", *kept]), status=Status.UNFINISHED) from None
    except OSError as trouble:
        raise Refused(in_words(trouble), *_how_to_go_on(journal), status=Status.UNFINISHED) from trouble
    finally:
        if journal is not None and journal.taken_over:
            print(f"{journal.taken_over} finished runs were taken over from an earlier start.", file=sys.stderr)
        if journal is not None and journal.trouble:
            print(journal.trouble, file=sys.stderr)


def _how_to_go_on(journal: Journal | None) -> list[str]:
    """A sentence on the finished runs that are on disk; none where there are none."""
    if journal is None:
        return []
    journal.close()
    if not journal.on_disk:
        return []
    runs = "One finished run is" if journal.on_disk == 1 else f"{journal.on_disk} finished runs are"
    return [f"{runs} kept in {journal.path}; the same command goes on from there."]
