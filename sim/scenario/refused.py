"""One thing wrong with one written value, before anybody knows in which file and line it stands."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST_WORD = 60
_MOST_CHOICES = 300
_MOST_LISTED = 24
# Beyond these a message would help nobody, and finding the nearest word in a strange file could take for ever.


class Refused(ValueError):
    """A written value that cannot be taken.

    found: what was written. expected: what may be written. nearest: the nearest right word, or ''.
    at: the piece of the file meant, where that is not the whole value being read.
    """

    def __init__(self, found: str, expected: str, nearest: str = "", at: object = None) -> None:
        super().__init__(f"found {found}, expected {expected}" + (f" (did you mean {nearest}?)" if nearest else ""))
        self.found = found
        self.expected = expected
        self.nearest = nearest
        self.at = at


def quoted(text: str, longest: int = 48) -> str:
    """The written text in quotes, shortened, unprintable characters made visible; 'nothing' where there is none."""
    if not text:
        return "nothing"
    shown = visible(text[: longest + 1])
    return f"'{shown[:longest]}…'" if len(shown) > longest else f"'{shown}'"


def visible(text: str) -> str:
    """The text with what cannot be printed spelled out: control characters would act on a terminal."""
    return text if text.isprintable() else "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in text)


def nearest_word(word: str, words: Iterable[str]) -> str:
    """The right word nearest to a wrong one, '' where none is near. Case, blanks and hyphens count for nothing."""
    choices = [*words]
    if len(word) > _LONGEST_WORD:
        return ""
    for choice in choices:
        if _bare(choice) == _bare(word):
            return choice
    if len(choices) > _MOST_CHOICES:
        return ""
    close = get_close_matches(word.casefold(), [c.casefold() for c in choices], n=1, cutoff=0.6)
    return next((c for c in choices if close and c.casefold() == close[0]), "")


def _bare(word: str) -> str:
    return "".join(c for c in word.casefold() if c not in " _-")


def listed(words: Iterable[str], last: str = "or") -> str:
    """'a, b or c'."""
    choices = [*words]
    if len(choices) > _MOST_LISTED:
        return f"{', '.join(choices[:_MOST_LISTED])} …"
    if len(choices) < 2:
        return "".join(choices)
    return f"{', '.join(choices[:-1])} {last} {choices[-1]}"
