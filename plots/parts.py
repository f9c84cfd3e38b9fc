"""More curves than a panel bears, dealt over several panels."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil
from typing import TypeVar

T = TypeVar("T")


def in_parts(items: Sequence[T], most: int) -> list[list[T]]:
    """Items in the fewest parts of at most so many, in order and of about equal length.

    >>> in_parts("abcde", 4)
    [['a', 'b'], ['c', 'd', 'e']]
    """
    count = ceil(len(items) / most)
    cuts = [round(i * len(items) / count) for i in range(count + 1)] if count else []
    return [list(items[a:b]) for a, b in pairwise(cuts)]
