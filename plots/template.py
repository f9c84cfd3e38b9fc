"""The templates of pages: every text is escaped, and a name that is missing is a fault."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Template


@lru_cache(maxsize=8)
def template(name: str) -> Template:
    """The template of that file beside this one."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(loader=FileSystemLoader(Path(__file__).parent), autoescape=True, undefined=StrictUndefined)
    return made.get_template(name)
