"""File names made from the names of cases and stops: readable, and the same on every file system."""

from __future__ import annotations

from collections.abc import Iterable

_LONGEST = 100
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{i}" for port in ("com", "lpt") for i in range(1, 10))}


def file_names(names: Iterable[str], ending: str, before: str = "") -> dict[str, str]:
    """A different file name for each name. Letters, digits, spaces and `,.-_+()` stay; anything else becomes a dash.

    >>> file_names(["power loss, worst g", "up/down", "up:down", "..", "NUL"], ".csv")["up:down"]
    'up-down 2.csv'
    """
    taken: set[str] = set()
    given: dict[str, str] = {}
    for name in names:
        stem = _stem(before + name)
        candidate, number = stem, 1
        while candidate.casefold() in taken:
            number += 1
            candidate = f"{stem} {number}"
        taken.add(candidate.casefold())
        given[name] = candidate + ending
    return given


def _stem(name: str) -> str:
    kept = "".join(c if c.isalnum() or c in " ,.-_+()" else "-" for c in name).strip(" .")
    while len(kept.encode()) > _LONGEST:
        kept = kept[:-1].rstrip(" .")
    if not kept or kept.split(".")[0].casefold() in _RESERVED:
        kept = f"case {kept}".rstrip()
    return kept
