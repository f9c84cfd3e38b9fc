"""Where a number of a result stands, in words, and its unit, read off the keys that lead to it."""

from __future__ import annotations

import re
from collections.abc import Iterator

_UNITS = (
    ("_m_s2", "m/s^2"), ("_N_per_m", "N/m"), ("_J_per_m", "J/m"), ("_kg_per_m", "kg/m"), ("_g_s", "g/s"),
    ("_m_s", "m/s"), ("_kg", "kg"), ("_J", "J"), ("_N", "N"), ("_m", "m"), ("_s", "s"), ("_g", "g"),
)  # fmt: skip
_SPEAKS = {
    "cases": "", "performers": "", "drives": "", "elements": "", "body": "", "findings": "limit", "peaks": "peak",
    "static_N": "at rest", "reductions": "reduction", "events": "event", "ends": "end of a spread",
    "above": "above level", "paths_m": "path", "points": "point", "lines": "line", "traces": "", "sweeps": "",
    "peak_g": "peak g", "peak_g_cfc60": "peak g, CFC 60",
    "peak_g_cfc180": "peak g, CFC 180", "peak_g_low_pass_5Hz": "peak g, 5 Hz low-pass",
    "emergency_N": "emergency force", "working_N": "working force", "g": "g", "g_cfc60": "g, CFC 60",
}  # fmt: skip
NAMED = (
    "cases", "performers", "drives", "elements", "peaks", "static_N", "findings", "reductions", "events", "ends",
    "above", "paths_m", "points", "lines", "traces", "sweeps",
)  # fmt: skip
"""Keys below which names stand: of cases, elements, performers, not keys of the format."""


def in_words(path: tuple[str, ...]) -> str:
    """Where a value stands.

    >>> in_words(("cases", "power loss, worst g", "peaks", "drop line", "force_N"))
    'power loss, worst g / peak / drop line / force'
    >>> in_words(("elements", "drop line", "static_N"))
    'drop line / static force'
    """
    said = [piece if named else _key(piece, last) for piece, named, last in _pieces(path)]
    return " / ".join(word for word in said if word)


def unit_of(path: tuple[str, ...]) -> str:
    """The SI unit of a value, from the last key that carries one; '' for none.

    >>> unit_of(("cases", "c_m", "static_N", "odd_name_m")), unit_of(("cases", "c", "duration_s"))
    ('N', 's')
    """
    keys = [piece for piece, named, _ in _pieces(path) if not named]
    return next((unit for key in reversed(keys) if (unit := _unit(key))), "")


def column_in_words(column: str) -> str:
    """A column of a table: what it holds, and whose.

    >>> column_in_words("tension_N:drop line:winch -> head sheave")
    'tension / drop line / winch -> head sheave'
    """
    kind, *whose = column.split(":", 2)
    return " / ".join([_key(kind, last=False), *whose])


def column_unit(column: str) -> str:
    """The SI unit of a column of a table."""
    return _unit(column.partition(":")[0])


def _pieces(path: tuple[str, ...]) -> Iterator[tuple[str, bool, bool]]:
    """(key or name, whether it is a name, whether it is the last) of every step."""
    name_next = False
    for i, piece in enumerate(path):
        last = i == len(path) - 1
        yield piece, name_next, last
        name_next = not name_next and piece in NAMED


def _unit(key: str) -> str:
    if key == "g" or (key.startswith(("peak_g", "g_cfc")) and not key.endswith("_s")):
        return "g"
    return next((unit for ending, unit in _UNITS if key.endswith(ending)), "")


def _key(key: str, last: bool) -> str:
    if key == "static_N" and last:
        return "static force"
    if key in _SPEAKS:
        return _SPEAKS[key]
    ending = next((ending for ending, _ in _UNITS if key.endswith(ending) and len(key) > len(ending)), "")
    return re.sub("_+", " ", key.removesuffix(ending))
