"""What a line's end takes from its strength, by the words a scenario uses for it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from pydantic import TypeAdapter, model_validator
from pydantic.dataclasses import dataclass

from sim.results.model import Reduction
from sim.strength.data_file import parsed
from sim.strength.fibres import Group, group_of
from sim.strength.laws import DATA, STRICT, UNSOURCED, Number, source_text
from sim.strength.splices import HOW_WRITTEN, splice


class UnknownTermination(ValueError):
    """A termination word the program does not know, or one that is not made in this material. Lists those it knows."""

    def __init__(self, word: str, group: Group, made: tuple[str, ...] = ()) -> None:
        self.word, self.known = word, made or known_terminations(group)
        spliced = f", or counted: {HOW_WRITTEN}" if "long splice" in self.known else ""
        why = "is not known for" if word in terminations() else "is unknown; for"
        super().__init__(f"termination '{word}' {why} {GROUP_WORDS[group]}; known: {', '.join(self.known)}{spliced}")


IN_A_GRAB = "held in a rope grab"
HELD = ("wraps on the drum", "held by hand", IN_A_GRAB)
"""Ends that belong to what holds them: no other end can stand for them."""

GROUP_WORDS: Mapping[str, str] = {
    "wire": "wire",
    "conventional": "polyamide and polyester line",
    "high-modulus": "high-modulus line",
    "unstated": "a line of unstated fibre",
}


@dataclass(frozen=True, config=STRICT)
class Termination:
    """One termination: efficiency by group of material, or a sentence saying that it takes nothing."""

    wire: Number | None = None
    conventional: Number | None = None
    high_modulus: Number | None = None
    says: str = ""

    @model_validator(mode="after")
    def _check(self) -> Termination:
        numbers = [number for number in (self.wire, self.conventional, self.high_modulus) if number]
        if bool(numbers) == bool(self.says):
            raise ValueError("a termination has efficiencies or a sentence")
        if any(not 0.0 < number.value <= 1.0 for number in numbers):
            raise ValueError("an efficiency is above 0 and at most 1")
        return self

    def number(self, group: Group) -> Number | None:
        """Its efficiency in a group of material, None where it is not made in it or takes nothing.

        Where the material is unstated the lowest holds.
        """
        if group == "unstated":
            numbers = [number for number in (self.wire, self.conventional, self.high_modulus) if number]
            return min(numbers, key=lambda number: number.value, default=None)
        return {"wire": self.wire, "conventional": self.conventional, "high-modulus": self.high_modulus}[group]

    def fits(self, group: Group) -> bool:
        """Whether it is made in this group of material."""
        return bool(self.says) or self.number(group) is not None


@cache
def terminations() -> Mapping[str, Termination]:
    """Every termination by the word a scenario uses."""
    written = parsed((DATA / "terminations.yaml").read_text(encoding="utf-8"))
    named = {word: {key.replace("-", "_"): value for key, value in entry.items()} for word, entry in written.items()}
    return TypeAdapter(dict[str, Termination]).validate_python(named)


def known_terminations(group: Group) -> tuple[str, ...]:
    """The termination words that exist for a group of material."""
    return tuple(word for word, entry in terminations().items() if entry.fits(group))


def termination(word: str, at: str, fibre: str, textile: bool, made: tuple[str, ...] = ()) -> Reduction:
    """The reduction of a line's end at the element `at`. made: the words of its type, empty where it does not say.

    Raises UnknownTermination, listing the known words, and SpliceTooShort for a splice of too few fids.
    """
    group = group_of(fibre, textile)
    counted = splice(word, group) if not made or "long splice" in made else None
    if counted is not None:
        return Reduction(word, at, counted.value, counted.source, counted.needs_evidence)
    entry = terminations().get(word)
    if entry is None or not entry.fits(group) or (made and word not in made):
        raise UnknownTermination(word, group, made)
    number = entry.number(group)
    if number is None:
        return Reduction(what=word, at=at, factor=1.0, source=entry.says)
    return Reduction(word, at, number.value, source_text(number.source), number.status in UNSOURCED)
