"""What bending over a sheave takes from a line: strength at once, life over time; and which sheave is too small."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
from pydantic import TypeAdapter
from pydantic.dataclasses import dataclass

from sim.results.model import Reduction
from sim.strength.data_file import parsed
from sim.strength.laws import DATA, STRICT, UNSOURCED, Number, Status, source_text
from sim.strength.line_data import LineData
from sim.strength.words import NEEDS_EVIDENCE

_LEAST_LEFT = 0.2
"""Share of a single wire's strength below which the elastic estimate of its bend says nothing."""


class NoBendValue(ValueError):
    """A bend sharper than any the table has."""


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


@dataclass(frozen=True, config=STRICT)
class BendingLife:
    """Bends a line lasts over a sheave, relative to itself, by D:d."""

    relative: Mapping[float, float]
    source: str
    status: Status

    def at(self, D_to_d: float) -> float | None:
        """Relative life at a D:d, linear between points; None outside the table."""
        ratios = list(self.relative)
        if not ratios[0] <= D_to_d <= ratios[-1]:
            return None
        return float(np.interp(D_to_d, ratios, list(self.relative.values())))


@cache
def bends() -> Mapping[str, Bend]:
    """The bend tables, 'wire' and 'textile'."""
    written = parsed((DATA / "bends.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, Bend]).validate_python(written)


@cache
def grooves() -> Mapping[str, Mapping[str, Number]]:
    """The groove factors, 'wire' and 'textile', by fit."""
    written = parsed((DATA / "grooves.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, dict[str, Number]]).validate_python(written)


@cache
def wire_life() -> BendingLife:
    """The bending life of wire rope."""
    written = parsed((DATA / "bending_life.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, BendingLife]).validate_python(written)["wire"]


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


def bend_of_single_wire(tread_diameter_m: float, line: LineData, at: str) -> Reduction:
    """The reduction of one solid wire: the bending stress E d/D (Reuleaux) taken from its tensile strength.

    Elastic, so on the low side for a wire that yields. Raises NoBendValue where the bend leaves less than a fifth.
    """
    ratio = tread_diameter_m / line.diameter_m
    strength_N = line.breaking_strength_N
    if strength_N is None:
        raise NoBendValue("what a bend leaves of a single wire is unknown without the strength of its type")
    force_N, strain = line.stretch[-1]
    left = 1.0 - force_N / strain / strength_N / ratio
    if left < _LEAST_LEFT:
        raise NoBendValue(f"a bend of D:d {ratio:.3g} takes a single wire beyond its strength or close to it")
    source = "bending stress E d/D (Reuleaux) taken from the tensile strength"
    return Reduction(f"bend over D:d {ratio:.3g}", at, left, source)


def groove(fit: str, at: str, fibre: str, textile: bool) -> Reduction | None:
    """The reduction of a groove that does not hold the line ('wide', 'flat'), None where it does ('fitted').

    Where the fibre is unstated the lower of wire and braid holds.
    """
    if fit == "fitted":
        return None
    kinds = list(grooves()) if not fibre else ["textile" if textile else "wire"]
    number = min((grooves()[kind][fit] for kind in kinds), key=lambda each: each.value)
    return Reduction(f"{fit} groove", at, number.value, source_text(number.source), number.status in UNSOURCED)


def falls_short(D_to_d: float, least: float) -> bool:
    """Whether a D:d is less than what is asked, rounding of the diameters aside."""
    return D_to_d < least * (1.0 - 1e-9)


def too_small(D_to_d: float, line: LineData) -> str:
    """Which D:d of the line's type a tread falls short of, in a sentence; empty where it suffices or nobody knows.

    What the bend takes from the strength is a reduction of its own: this is what the trade asks of a sheave.
    """
    for least, what, where in (
        (line.D_to_d_strength, "is the least for this type", "D_to_d_strength"),
        (line.D_to_d_life, "is wanted for a useful life in bending", "D_to_d_life"),
    ):
        if least is not None and falls_short(D_to_d, least):
            known = line.sources[where]
            weak = f"; {NEEDS_EVIDENCE}" if known.needs_evidence else ""
            return f"its D:d is {D_to_d:.3g}, and {least:g} {what} ({known.source}{weak}).{_life_lost(D_to_d, line)}"
    return ""


def life_share(D_to_d: float, line: LineData) -> float | None:
    """The bends a wire rope lasts, in parts of those it lasts over the sheave it wants; None where nobody knows."""
    if line.textile or line.D_to_d_life is None:
        return None
    here, there = wire_life().at(D_to_d), wire_life().at(line.D_to_d_life)
    return None if here is None or there is None else here / there


def _life_lost(D_to_d: float, line: LineData) -> str:
    """How much sooner a wire rope is worn out by the bend than over the sheave it wants."""
    share = life_share(D_to_d, line)
    if share is None:
        return ""
    over = f"{line.D_to_d_life:g} ({source_text(wire_life().source)})"
    return f" It lasts about {share:.0%} of the bends it lasts over {over}."
