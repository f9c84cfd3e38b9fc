"""A run in slices: back in Python a few times a second, so that a word to stop is heard however long it takes.

Compiled code hears nothing. In the main thread Python itself raises what was said between two slices; a thread of a
pool is told through the event it listens to. A run in slices makes the very same steps as one in a piece.
"""

from __future__ import annotations

import threading
from time import monotonic

from numpy.typing import NDArray

from sim.dynamics import orders as od
from sim.dynamics import tables as tb
from sim.dynamics.integrate import integrate

SLICE_S = 0.2
FIRST_SLICE = 10_000_000
"""Steps of the first slice, for one state; they grow fewer with the square of the states. Most runs are over before it
is: a tenth of a second at most, about."""
MOST_GROWTH = 8.0

_here = threading.local()


def listen_to(word: threading.Event) -> None:
    """From now on runs of this thread end with KeyboardInterrupt, between two slices, once the event is set."""
    _here.word = word


def integrate_in_slices(
    y: NDArray,
    scale: NDArray,
    allowed: NDArray,
    orders: od.Orders,
    record: od.Record,
    x: od.Scratch,
    m: tb.Model,
    w: tb.Work,
) -> None:
    """`integrate`, and what was said meanwhile. Raises KeyboardInterrupt on a word to stop."""
    steps, counts = max(FIRST_SLICE // max(len(y), 1) ** 2, 1), record.counts
    while True:
        most = min(int(counts[od.STEPS]) + steps, orders.most_steps)
        begun = monotonic()
        integrate(y, scale, allowed, orders._replace(most_steps=most), record, x, m, w)
        if counts[od.STATUS] != od.TOO_MANY_STEPS or counts[od.STEPS] >= orders.most_steps:
            return
        word = getattr(_here, "word", None)
        if word is not None and word.is_set():
            raise KeyboardInterrupt
        took = max(monotonic() - begun, 1e-3)
        steps = max(int(steps * min(SLICE_S / took, MOST_GROWTH)), 1)
