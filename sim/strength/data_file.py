"""Reading the catalogue's own data files: by the fast C reader where it is there, since they are long."""

from __future__ import annotations

from typing import Any

import yaml

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def parsed(text: str) -> Any:
    """The contents of a YAML file, as `yaml.safe_load` has it."""
    return yaml.load(text, Loader=_LOADER)
