"""The catalogue of generic line types: strength, mass, stretch and losses by diameter, each with its source.

>>> line = find("7x19 galvanised").at(0.25 * 0.0254)
>>> round(line.breaking_strength_N)
31138
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass as frozen_dataclass
from functools import cache
from typing import Literal

import yaml
from pydantic import Field, TypeAdapter, model_validator
from pydantic.dataclasses import dataclass

from sim.strength.laws import DATA, SAME_SIZE, STRICT, Law, Number, Sourced, Status, source_text

Condition = Literal["new", "bedded"]
Stiffness = Literal["static", "dynamic"]
Curve = tuple[tuple[float, float], ...]


class UnknownLineType(KeyError):
    """No such type in the catalogue. `nearest` lists the names it may have meant."""

    def __init__(self, name: str, nearest: tuple[str, ...]) -> None:
        self.name, self.nearest = name, nearest
        super().__init__(name)

    def __str__(self) -> str:
        hint = f"; nearest: {', '.join(self.nearest)}" if self.nearest else ""
        return f"unknown line type '{self.name}'{hint}"


class NoSuchSize(ValueError):
    """The catalogue does not know the type in this diameter."""


class StretchError(ValueError):
    """A stretch curve that does not rise: force and strain must both grow from point to point."""


@frozen_dataclass(frozen=True)
class LineData:
    """A line of one type and diameter, in SI.

    stretch: (force N, strain) from (0, 0) on, rising; linear beyond the last point, no force in compression.
    damping_ratio: of the performer's bounce on the longest hang; damping_time_s goes before it where given.
    bending_loss: fraction of the tension lost per 180 degrees of wrap, bearing apart. line_friction: on a bar, mu.
    fibre: the material in generic words; textile is False for wire. breaking_strength_N is the type's own: a
    certificate in the scenario goes before it. `sources` holds range, source and status of each number by field name.
    """

    name: str
    diameter_m: float
    breaking_strength_N: float | None
    mass_kg_per_m: float
    stretch: Curve
    damping_ratio: float | None
    bending_loss: float | None
    line_friction: float | None
    fibre: str
    textile: bool
    notes: tuple[str, ...]
    sources: Mapping[str, Sourced]
    condition: str = "bedded"
    stiffness: str = "dynamic"
    damping_time_s: float | None = None
    recommended_D_to_d: float | None = None


def rising(stretch: Curve, of: str) -> Curve:
    """The curve with (0, 0) before it, checked. Raises StretchError naming the first point that does not rise."""
    points = tuple((float(force), float(strain)) for force, strain in stretch if (force, strain) != (0.0, 0.0))
    if not points:
        raise StretchError(f"{of}: no stretch point")
    before = (0.0, 0.0)
    for force, strain in points:
        if not (force > before[0] and strain > before[1]):
            raise StretchError(
                f"{of}: stretch does not rise from {before[1]:.4%} at {before[0]:g} N to {strain:.4%} at {force:g} N"
            )
        before = (force, strain)
    return ((0.0, 0.0), *points)


@dataclass(frozen=True, config=STRICT)
class Sizes:
    """One family of sizes of a type: inch cable, metric rope, or any diameter. EA only where stretch is linear."""

    sizes: Literal["inch", "metric", "any"]
    strength: Law
    mass: Law
    EA: Law | None = None
    diameter_mm: tuple[float, float] | None = None

    @model_validator(mode="after")
    def _check(self) -> Sizes:
        if self.diameter_mm is None and not self.strength.table:
            raise ValueError("a family without a table of sizes needs diameter_mm: [from, to]")
        return self

    def has(self, diameter_m: float) -> bool:
        """Whether the family covers this diameter."""
        if self.diameter_mm is None:
            return any(abs(diameter_m / size - 1.0) <= SAME_SIZE for size in self.strength.sizes_m)
        low, high = self.diameter_mm
        return low * (1.0 - SAME_SIZE) <= diameter_m * 1000.0 <= high * (1.0 + SAME_SIZE)

    def words(self) -> str:
        """The sizes covered, for messages."""
        if self.diameter_mm is None:
            return ", ".join(f"{size} in" for size in self.strength.table)
        return f"{self.diameter_mm[0]:g} to {self.diameter_mm[1]:g} mm"


@dataclass(frozen=True, config=STRICT)
class Stretch:
    """Bedded-in stretch of a textile type, strain in percent at load in percent of its own strength."""

    points_percent: Mapping[float, float]
    range_percent: tuple[float, float]
    source: str
    status: Status
    new_ratio: Number
    dynamic_ratio: Number | None = None
    dynamic_points_percent: Mapping[float, float] = Field(default_factory=dict)
    dynamic_source: str = ""
    dynamic_status: Status = "computed"

    @model_validator(mode="after")
    def _check(self) -> Stretch:
        if (self.dynamic_ratio is None) == (not self.dynamic_points_percent):
            raise ValueError("a textile has either a dynamic_ratio or dynamic_points_percent")
        rising(tuple(self.points_percent.items()), "points_percent")
        if self.dynamic_points_percent:
            rising(tuple(self.dynamic_points_percent.items()), "dynamic_points_percent")
        return self

    def curve(self, strength_N: float, condition: Condition, stiffness: Stiffness) -> Curve:
        """(force N, strain) of a line of this strength."""
        points, ratio = self.points_percent, 1.0
        if stiffness == "dynamic":
            points = self.dynamic_points_percent or points
            ratio = 1.0 / self.dynamic_ratio.value if self.dynamic_ratio else 1.0
        if condition == "new":
            ratio *= self.new_ratio.value
        return tuple((strength_N * load / 100.0, ratio * strain / 100.0) for load, strain in points.items())

    def sourced(self, curve: Curve, stiffness: Stiffness) -> Sourced:
        """Strain of the curve's last point with its range and source."""
        strain = curve[-1][1]
        low, high = (strain * (1.0 + percent / 100.0) for percent in self.range_percent)
        if stiffness == "dynamic" and self.dynamic_ratio:
            text = f"{source_text(self.source)}; dynamic: {source_text(self.dynamic_ratio.source)}"
            low *= self.dynamic_ratio.value / self.dynamic_ratio.range[1]
            high *= self.dynamic_ratio.value / self.dynamic_ratio.range[0]
            return Sourced(strain, low, high, text, "computed")
        if stiffness == "dynamic":
            return Sourced(strain, low, high, source_text(self.dynamic_source), self.dynamic_status)
        return Sourced(strain, low, high, source_text(self.source), self.status)


@dataclass(frozen=True, config=STRICT)
class Constructional:
    """What a new wire stretches more than a bedded-in one, percent at load in percent of its own strength."""

    points: Mapping[float, float]
    source: str
    status: Status


@dataclass(frozen=True, config=STRICT)
class LineType:
    """A generic line type as the catalogue has it; `at` gives its numbers for one diameter."""

    fibre: str
    construction: str
    textile: bool
    families: tuple[Sizes, ...]
    damping_ratio: Number
    bending_loss: Number
    line_friction: Number
    recommended_D_to_d: Number
    notes: tuple[str, ...]
    stretch: Stretch | None = None
    constructional_percent: Constructional | None = None
    name: str = ""

    @model_validator(mode="after")
    def _check(self) -> LineType:
        if self.stretch is None and any(family.EA is None for family in self.families):
            raise ValueError("a type has a stretch curve or an EA in every family of sizes")
        return self

    def at(self, diameter_m: float, condition: Condition = "bedded", stiffness: Stiffness = "dynamic") -> LineData:
        """The line in this diameter (m). Raises NoSuchSize, naming the sizes the catalogue has."""
        family = next((family for family in self.families if family.has(diameter_m)), None)
        if family is None:
            known = "; ".join(family.words() for family in self.families)
            raise NoSuchSize(f"{self.name} is not in the catalogue at {diameter_m * 1000.0:g} mm; it has {known}")
        strength, mass = family.strength.at(diameter_m), family.mass.at(diameter_m)
        curve, stretch = self._stretch(family, diameter_m, strength.value, condition, stiffness)
        numbers = {
            "damping_ratio": self.damping_ratio.sourced(),
            "bending_loss": self.bending_loss.sourced(),
            "line_friction": self.line_friction.sourced(),
            "recommended_D_to_d": self.recommended_D_to_d.sourced(),
        }
        sources = {"breaking_strength_N": strength, "mass_kg_per_m": mass, "stretch": stretch, **numbers}
        return LineData(
            name=self.name,
            diameter_m=diameter_m,
            breaking_strength_N=strength.value,
            mass_kg_per_m=mass.value,
            stretch=rising(curve, self.name),
            fibre=self.fibre,
            textile=self.textile,
            notes=(*self.notes, *self._remarks(family, condition, stiffness, sources)),
            sources=sources,
            condition=condition,
            stiffness=stiffness,
            **{field: number.value for field, number in numbers.items()},
        )

    def _stretch(
        self, family: Sizes, diameter_m: float, strength_N: float, condition: Condition, stiffness: Stiffness
    ) -> tuple[Curve, Sourced]:
        """The curve in forces. A wire is linear, slow or fast; a new one first stretches in its construction."""
        if self.stretch:
            curve = self.stretch.curve(strength_N, condition, stiffness)
            return curve, self.stretch.sourced(curve, stiffness)
        assert family.EA is not None
        EA = family.EA.at(diameter_m)
        loads = {20.0: 0.0}
        if condition == "new" and self.constructional_percent:
            loads = dict(self.constructional_percent.points)
        curve = tuple(
            (strength_N * load / 100.0, strength_N * load / 100.0 / EA.value + extra / 100.0)
            for load, extra in loads.items()
        )
        strain = curve[-1][1]
        return curve, Sourced(strain, strain * EA.value / EA.high, strain * EA.value / EA.low, EA.source, EA.status)

    def _remarks(
        self, family: Sizes, condition: Condition, stiffness: Stiffness, sources: Mapping[str, Sourced]
    ) -> tuple[str, ...]:
        remarks = []
        if len(self.families) > 1:
            remarks.append(f"Taken as {family.sizes} size.")
        if self.stretch:
            remarks.append(f"Stretch {condition}, {stiffness}: {sources['stretch'].source}.")
        weak = sorted(field for field, number in sources.items() if number.status in ("from memory", "common practice"))
        if weak:
            remarks.append(f"Without a read source: {', '.join(weak)}.")
        return tuple(remarks)


@cache
def catalogue() -> Mapping[str, LineType]:
    """Every type by name, read once from the data file. Raises pydantic's ValidationError on a fault in it."""
    written = yaml.safe_load((DATA / "line_types.yaml").read_text(encoding="utf-8"))
    named = {name: {"name": name, **entry} for name, entry in written.items()}
    return TypeAdapter(dict[str, LineType]).validate_python(named)


def names() -> tuple[str, ...]:
    """The names of all types, in the order of the data file."""
    return tuple(catalogue())


def find(name: str) -> LineType:
    """A type by its name. Raises UnknownLineType with the nearest names."""
    types = catalogue()
    if name in types:
        return types[name]
    words = set(name.lower().split())
    sharing = [known for known in types if words & set(known.lower().split())]
    close = difflib.get_close_matches(name.lower(), [known.lower() for known in types], n=3, cutoff=0.5)
    near = [known for known in types if known.lower() in close]
    raise UnknownLineType(name, tuple(dict.fromkeys(near + sharing))[:4])
