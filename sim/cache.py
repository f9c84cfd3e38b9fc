"""Where the program keeps what it can make again: compiled code and the parsed list of units."""

from __future__ import annotations

import os
from pathlib import Path


def cache_base() -> Path:
    """The folder: under STOPLOAD_CACHE, XDG_CACHE_HOME or the home folder's .cache."""
    base = os.environ.get("STOPLOAD_CACHE") or os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "stopload"
