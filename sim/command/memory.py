"""How the program handles its memory: what it lets go of goes back to the system."""

from __future__ import annotations

import ctypes
import sys
from contextlib import suppress

_MMAP_THRESHOLD, _LARGE_BYTES = -3, 256 * 1024  # mallopt(3) and malloc.h of the GNU C library


def large_arrays_go_back() -> None:
    """From now on an array of a history is memory of its own, given back with it, where there is such a choice.

    Left alone, the library keeps such memory for later after the first few; between smaller things that live longer it
    came to pieces, and a run of the first demo held 50 MB that nothing used.
    """
    if sys.platform == "linux":
        with suppress(OSError, AttributeError):
            ctypes.CDLL(None).mallopt(_MMAP_THRESHOLD, _LARGE_BYTES)
