"""How the solver is compiled: once, kept on disk, without the interpreter lock, sums fused but never reordered.

The compiled code is kept in the user's cache folder under a name made from all the solver's source, so an edited or
upgraded solver is always compiled anew and a read-only installation can keep its compiled code too. Where the source
lies plays no part: a second installation of the same finds what the first compiled.
"""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
from collections.abc import Callable
from functools import cache
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
from numba.core import caching

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
    mark = hashlib.sha256(f"{numba.__version__} {np.__version__}".encode())
    for path in sorted(Path(__file__).parent.glob("*.py")):
        mark.update(path.read_bytes())
    return mark.hexdigest()[:16]


def cache_folder() -> Path:
    """Where this very solver's compiled code is kept."""
    return cache_base() / _source_mark()


CACHE_FOLDER = cache_folder()


class InOnePlace:
    """Where numba keeps the compiled code of one function, as its own locators say it, but by the source alone.

    Its own go by the path of the source, too: every further installation compiled all of it again, unasked and untold.
    """

    def __init__(self, function: Callable[..., Any]) -> None:
        self._line = function.__code__.co_firstlineno

    @classmethod
    def from_function(cls, function: Callable[..., Any], _file: str) -> InOnePlace | None:
        """None where nothing can be kept there."""
        return cls(function) if _can_be_kept() else None

    def ensure_cache_path(self) -> None:
        """Make the folder, before something is written. Raises OSError."""
        CACHE_FOLDER.mkdir(parents=True, exist_ok=True)

    def get_cache_path(self) -> str:
        """The folder."""
        return str(CACHE_FOLDER)

    def get_source_stamp(self) -> str:
        """What the code was made from."""
        return CACHE_FOLDER.name

    def get_disambiguator(self) -> str:
        """What tells functions of one name apart."""
        return str(self._line)


@cache
def _can_be_kept() -> bool:
    try:
        CACHE_FOLDER.mkdir(parents=True, exist_ok=True)
        tempfile.TemporaryFile(dir=CACHE_FOLDER).close()
    except OSError:
        return False
    return True


def _places() -> dict[str, str]:
    """Settings of the compiler while a function is taken up: ours first, then beside the source, then the user's."""
    others = ("InTreeCacheLocator", "UserWideCacheLocator")
    if hasattr(config, "CACHE_LOCATOR_CLASSES") and all(hasattr(caching, other) for other in others):
        return {"CACHE_LOCATOR_CLASSES": ",".join((f"{__name__}.{InOnePlace.__name__}", *others))}
    return {"CACHE_DIR": str(CACHE_FOLDER)}  # an older compiler, which goes by the path


def _decorate(function: Callable[..., Any], **more: Any) -> Callable[..., Any]:
    places = _places()
    before = {name: getattr(config, name) for name in places}
    _set(places)
    try:
        return njit(**_SAME_FOR_ALL, **more)(function)
    finally:
        _set(before)


def _set(settings: dict[str, str]) -> None:
    for name, value in settings.items():
        setattr(config, name, value)


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
