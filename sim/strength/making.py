"""What it takes to make an end of a line: by hand, with hand tools, with a press or a machine, in a workshop."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Literal

from pydantic import TypeAdapter, model_validator
from pydantic.dataclasses import dataclass

from sim.strength.data_file import parsed
from sim.strength.laws import DATA, STRICT, Status, source_text
from sim.strength.splices import is_counted

EFFORTS = ("by hand", "with hand tools", "with a press or a machine", "in a workshop")
"""From the easiest to the hardest."""


@dataclass(frozen=True, config=STRICT)
class Making:
    """How one termination is made."""

    effort: Literal["by hand", "with hand tools", "with a press or a machine", "in a workshop"]
    says: str
    source: str
    status: Status

    @model_validator(mode="after")
    def _check(self) -> Making:
        source_text(self.source)
        return self


@cache
def makings() -> Mapping[str, Making]:
    """How each termination is made, by the word a scenario uses."""
    written = parsed((DATA / "making.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, Making]).validate_python(written)


def making(word: str) -> Making | None:
    """How a termination is made, a splice counted in fids as a long one; None for words nobody knows.

    >>> found = making("splice of 3 fids with thimble")
    >>> found.effort if found else None
    'with hand tools'
    """
    return makings().get("long splice" if is_counted(word) else word)


def hardest(words: Iterable[str]) -> str:
    """The greatest effort any of these terminations takes; '' where none of them is known."""
    efforts = [found.effort for word in words if (found := making(word))]
    return max(efforts, key=EFFORTS.index, default="")
