"""How results show themselves in a notebook: whoever can draw them says how, and results ask here.

Results know no figures; `plots` does, and tells when it is imported. Until then they are shown as plain text.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

_PAGES: dict[type, Callable[[Any], str]] = {}


def shows(kind: type, page: Callable[[Any], str]) -> None:
    """Say how results of a kind are shown: page(result) gives HTML."""
    _PAGES[kind] = page


def page_of(result: object) -> str | None:
    """The result as HTML; None where nobody has said how."""
    page = _PAGES.get(type(result))
    return None if page is None else page(result)
