"""What lines are made of: fibres and steel, with the properties every line of that material shares."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal

from pydantic import TypeAdapter, model_validator
from pydantic.dataclasses import dataclass

from sim.strength.data_file import parsed
from sim.strength.laws import DATA, STRICT, ByTemperature, Number, Said

Group = Literal["wire", "conventional", "high-modulus", "unstated"]
"""How terminations and bends are looked up."""

WATER_DENSITY_KG_M3 = 1000.0


@dataclass(frozen=True, config=STRICT)
class Creep(Number):
    """What a line lengthens (percent) for each tenfold time, under a load of up to so many percent of its strength."""

    up_to_percent: float


@dataclass(frozen=True, config=STRICT)
class Fibre:
    """One material, by its generic name.

    relative_density: to water. yarn_strength_N_per_tex, yarn_modulus_N_per_tex: per linear density (1 N/tex is
    1e6 N m/kg), of the yarn or wire before it becomes a line: no line can have more. strength_left: factor by
    temperature. limit_degC: highest temperature in use under load. out_above_degC: no strength is counted above it.
    wet_strength: factor. water_percent: mass of water a soaked line carries, in percent of its own.
    """

    group: Group
    relative_density: Number
    yarn_strength_N_per_tex: Number
    yarn_modulus_N_per_tex: Number
    stretch_at_break_percent: Number
    strength_left: ByTemperature
    limit_degC: Number
    out_above_degC: Number
    wet_strength: Number
    water_percent: Number
    wet: Said
    light: Said
    creep: Said
    creep_per_decade_percent: Creep | None = None
    single_wire: bool = False
    """One solid wire: it bends as a bar does, and fills its circle."""
    words: tuple[str, ...] = ()
    """Other words by which this material is known."""
    name: str = ""

    @model_validator(mode="after")
    def _check(self) -> Fibre:
        if not 0.0 < self.wet_strength.value <= 1.0:
            raise ValueError("wet_strength is a factor above 0 and at most 1")
        if self.limit_degC.value > self.out_above_degC.value:
            raise ValueError("the limit in use lies above the temperature that takes all strength")
        return self

    @property
    def density_kg_m3(self) -> float:
        """Density of the material itself, kg/m3."""
        return self.relative_density.value * WATER_DENSITY_KG_M3

    @property
    def floats(self) -> bool:
        """Whether a line of it floats on fresh water, whatever water it has taken up."""
        return self.relative_density.value < 1.0


@cache
def fibres() -> Mapping[str, Fibre]:
    """Every material by name, read once. Raises pydantic's ValidationError on a fault in the data."""
    written = parsed((DATA / "fibres.yaml").read_text(encoding="utf-8"))
    named = {name: {"name": name, **entry} for name, entry in written.items()}
    return TypeAdapter(dict[str, Fibre]).validate_python(named)


def known_fibre(words: str) -> Fibre | None:
    """The material that words from a scenario mean, None where the catalogue does not know it.

    The longest name contained in the words decides, so that 'aramid copolymer braid' is no para-aramid.

    >>> found = known_fibre("7x19 galvanised")
    >>> found.name if found else None
    'galvanised steel'
    """
    text = words.casefold()
    names = {word.casefold(): fibre for fibre in fibres().values() for word in (fibre.name, *fibre.words)}
    inside = [word for word in names if word in text]
    return names[max(inside, key=len)] if inside else None


def group_of(fibre: str, textile: bool) -> Group:
    """The group of material a termination is looked up in. An unknown fibre counts as high-modulus, the weaker."""
    if not fibre:
        return "unstated"
    if not textile:
        return "wire"
    known = known_fibre(fibre)
    return known.group if known and known.group != "wire" else "high-modulus"
