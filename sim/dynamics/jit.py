"""How the solver is compiled: once, kept on disk, without the interpreter lock, sums fused but never reordered.

The compiled code is kept in the user's cache folder under a name made from all the solver's source, so an edited or
upgraded solver is always compiled anew and a read-only installation can keep its compiled code too.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

if "numba" not in sys.modules:
    # Compiling takes a tenth less time this way and the solver runs about as fast; a process that has loaded the
    # compiler for purposes of its own keeps its settings.
    os.environ.setdefault("NUMBA_OPT", "2")
    os.environ.setdefault("NUMBA_LOOP_VECTORIZE", "0")

import numba
import numpy as np
from numba import config, njit

from sim.cache import cache_base

# The solver allocates nothing and owns no arrays, so it is compiled without reference counting (_nrt): counting the
# arrays of every call took ten times as long as the mechanics.
_SAME_FOR_ALL: dict[str, Any] = {
    "cache": True,
    "nogil": True,
    "error_model": "numpy",
    "fastmath": {"contract"},
    "_nrt": False,
    "no_cfunc_wrapper": True,
}


def _source_mark() -> str:
    """A short name for this very solver: its source and its compiler."""
    mark = hashlib.sha256(numba.__version__.encode())
    for path in sorted(Path(__file__).parent.glob("*.py")):
        mark.update(path.read_bytes())
    return mark.hexdigest()[:16]


def cache_folder() -> Path:
    """Where this very solver's compiled code is kept."""
    return cache_base() / _source_mark()


CACHE_FOLDER = cache_folder()


def _decorate(function: Callable[..., Any], **more: Any) -> Callable[..., Any]:
    settings: Any = config
    before = settings.CACHE_DIR
    settings.CACHE_DIR = str(CACHE_FOLDER)
    try:
        return njit(**_SAME_FOR_ALL, **more)(function)
    finally:
        settings.CACHE_DIR = before


def compiled(function: Callable[..., Any]) -> Callable[..., Any]:
    """A function of the compiled solver, called from more than one place of it; a call from Python ends the process."""
    return _decorate(function, no_cpython_wrapper=True)


def entry(function: Callable[..., Any]) -> Callable[..., Any]:
    """A compiled function that Python calls too; the way in costs a tenth of a second of compiling each."""
    return _decorate(function)


def part(function: Callable[..., Any]) -> Callable[..., Any]:
    """A piece of one compiled function, split off for reading; it becomes part of its caller again."""
    return _decorate(function, inline="always")


def merged(function: Callable[..., Any]) -> Callable[..., Any]:
    """A function compiled once whose machine code becomes part of every caller: for the few that are called most.

    A call hands over every array of the rig, which takes a quarter as long as the mechanics themselves.
    """
    return _decorate(function, forceinline=True, no_cpython_wrapper=True)


def merged_entry(function: Callable[..., Any]) -> Callable[..., Any]:
    """A merged function that Python calls too."""
    return _decorate(function, forceinline=True)


@merged
def at(k):
    """An index that is never negative: the compiled code then need not ask whether it counts from the end."""
    return np.uint64(k)


def is_compiled() -> bool:
    """Whether this solver's compiled code is already on disk (then a first run starts at once)."""
    return any(CACHE_FOLDER.glob("**/integrate.integrate-*.nbi"))
