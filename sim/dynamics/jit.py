"""How the solver is compiled: once, kept on disk, without the interpreter lock, sums free to be fused but not reordered."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from numba import njit

_SAME_FOR_ALL: dict[str, Any] = {"cache": True, "nogil": True, "error_model": "numpy", "fastmath": {"contract"}}


def compiled(function: Callable[..., Any]) -> Callable[..., Any]:
    """A function of the compiled solver, called from more than one place."""
    return njit(**_SAME_FOR_ALL)(function)


def part(function: Callable[..., Any]) -> Callable[..., Any]:
    """A piece of one compiled function, split off for reading; it becomes part of its caller again."""
    return njit(forceinline=True, **_SAME_FOR_ALL)(function)
