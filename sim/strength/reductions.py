"""What a line's end, a bend and its groove take from its strength. Each factor acts at one place, there once."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
import yaml
from pydantic import TypeAdapter, model_validator
from pydantic.dataclasses import dataclass

from sim.results.model import Reduction
from sim.strength.fibres import Group, group_of
from sim.strength.laws import DATA, STRICT, UNSOURCED, Number, Status, source_text
from sim.strength.line_type import LineData
from sim.strength.splices import HOW_WRITTEN, splice
from sim.strength.words import NEEDS_EVIDENCE


class UnknownTermination(ValueError):
    """A termination word the program does not know, or one that is not made in this material. Lists those it knows."""

    def __init__(self, word: str, group: Group, made: tuple[str, ...] = ()) -> None:
        self.word, self.known = word, made or known_terminations(group)
        spliced = f", or counted: {HOW_WRITTEN}" if "long splice" in self.known else ""
        why = "is not known for" if word in terminations() else "is unknown; for"
        super().__init__(f"termination '{word}' {why} {GROUP_WORDS[group]}; known: {', '.join(self.known)}{spliced}")


GROUP_WORDS: Mapping[str, str] = {
    "wire": "wire",
    "conventional": "polyamide and polyester line",
    "high-modulus": "high-modulus line",
    "unstated": "a line of unstated fibre",
}


class NoBendValue(ValueError):
    """A bend sharper than any the table has."""


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


@dataclass(frozen=True, config=STRICT)
class Bend:
    """Static bend efficiency by D:d."""

    efficiency: Mapping[float, float]
    source: str
    status: Status

    def at(self, D_to_d: float) -> float:
        """Efficiency at a D:d, linear between points, held above the last. Raises NoBendValue below the first."""
        ratios, values = list(self.efficiency), list(self.efficiency.values())
        if D_to_d < ratios[0]:
            raise NoBendValue(f"a bend of D:d {D_to_d:.2g} is sharper than the table goes ({ratios[0]:g})")
        return float(np.interp(D_to_d, ratios, values))


@cache
def terminations() -> Mapping[str, Termination]:
    """Every termination by the word a scenario uses."""
    written = yaml.safe_load((DATA / "terminations.yaml").read_text(encoding="utf-8"))
    named = {word: {key.replace("-", "_"): value for key, value in entry.items()} for word, entry in written.items()}
    return TypeAdapter(dict[str, Termination]).validate_python(named)


@cache
def bends() -> Mapping[str, Bend]:
    """The bend tables, 'wire' and 'textile'."""
    written = yaml.safe_load((DATA / "bends.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, Bend]).validate_python(written)


@cache
def grooves() -> Mapping[str, Mapping[str, Number]]:
    """The groove factors, 'wire' and 'textile', by fit."""
    written = yaml.safe_load((DATA / "grooves.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, dict[str, Number]]).validate_python(written)


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


def bend(tread_diameter_m: float, line_diameter_m: float, at: str, fibre: str, textile: bool) -> Reduction:
    """The reduction of a line bent over a tread, standing still. Raises NoBendValue where the table has no value.

    Where the fibre is unstated the lower of the two tables holds.
    """
    ratio = tread_diameter_m / line_diameter_m
    tables = list(bends().values()) if not fibre else [bends()["textile" if textile else "wire"]]
    table = min(tables, key=lambda each: each.at(ratio))
    return Reduction(
        what=f"bend over D:d {ratio:.3g}",
        at=at,
        factor=table.at(ratio),
        source=source_text(table.source),
        needs_evidence=table.status in UNSOURCED,
    )


def too_small(D_to_d: float, data: LineData) -> str:
    """Which D:d of the line's type a tread falls short of, in a sentence; empty where it suffices or nobody knows.

    What the bend takes from the strength is a reduction of its own: this is what the trade asks of a sheave.
    """
    short = f"its D:d of {D_to_d:.3g} is less than the"
    for least, what, where in (
        (data.D_to_d_strength, "the least for this type", "D_to_d_strength"),
        (data.D_to_d_life, "what it wants for a useful life in bending", "D_to_d_life"),
    ):
        if least is not None and D_to_d < least * (1.0 - 1e-9):
            known = data.sources[where]
            weak = f"; {NEEDS_EVIDENCE}" if known.needs_evidence else ""
            return f"{short} {least:g} that are {what} ({known.source}{weak})."
    return ""


def groove(fit: str, at: str, fibre: str, textile: bool) -> Reduction | None:
    """The reduction of a groove that does not hold the line ('wide', 'flat'), None where it does ('fitted').

    Where the fibre is unstated the lower of wire and braid holds.
    """
    if fit == "fitted":
        return None
    kinds = list(grooves()) if not fibre else ["textile" if textile else "wire"]
    number = min((grooves()[kind][fit] for kind in kinds), key=lambda each: each.value)
    return Reduction(f"{fit} groove", at, number.value, source_text(number.source), number.status in UNSOURCED)
