"""A generic line type: its strength, mass, stretch and losses by diameter, and what else a rigger asks of a line."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal

from pydantic import Field, model_validator
from pydantic.dataclasses import dataclass

from sim.strength.fibres import Fibre, fibres, known_fibre
from sim.strength.laws import (
    LARGEST_SIZE_M,
    SAME_SIZE,
    STRICT,
    UNSOURCED,
    Law,
    Number,
    Said,
    Sourced,
    Status,
    source_text,
)
from sim.strength.line_data import Condition, Curve, LineData, Stiffness, StretchError, rising


class NoSuchSize(ValueError):
    """The catalogue does not know the type in this diameter."""


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
        if (
            self.diameter_mm is not None
            and not 0.0 < self.diameter_mm[0] <= self.diameter_mm[1] <= 1e3 * LARGEST_SIZE_M
        ):
            raise ValueError(f"diameter_mm: [from, to] rises, above zero and up to {1e3 * LARGEST_SIZE_M:g}")
        return self

    def has(self, diameter_m: float) -> bool:
        """Whether the family covers this diameter."""
        if self.diameter_mm is None:
            return any(abs(diameter_m / size - 1.0) <= SAME_SIZE for size in self.strength.sizes_m)
        low, high = self.diameter_mm
        return low * (1.0 - SAME_SIZE) <= diameter_m * 1000.0 <= high * (1.0 + SAME_SIZE)

    def sizes_m(self) -> tuple[float, ...]:
        """The sizes to list, m: those of the table, or whole millimetres and the ends of the range."""
        if self.diameter_mm is None:
            return self.strength.sizes_m
        low, high = self.diameter_mm
        whole = (float(mm) for mm in range(math.ceil(low), math.floor(high) + 1))
        return tuple(mm / 1000.0 for mm in sorted({low, *whole, high}))

    def words(self) -> str:
        """The sizes covered, for messages."""
        if self.diameter_mm is None:
            return ", ".join(size if size.endswith("mm") else f"{size} in" for size in self.strength.table)
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
        if self.new_ratio.range[0] <= 0.0 or (self.dynamic_ratio is not None and self.dynamic_ratio.range[0] <= 0.0):
            raise ValueError("new_ratio and dynamic_ratio are above zero, with all of their range")
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
            weak = [status for status in (self.status, self.dynamic_ratio.status) if status in UNSOURCED]
            return Sourced(strain, low, high, text, weak[0] if weak else "computed")
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
class DToD:
    """Tread over line diameter: the least for strength, and the one for a useful life in bending."""

    strength: Number | Said
    life: Number | Said

    def numbers(self) -> Mapping[str, Sourced]:
        """Those that are known, by their field names in LineData."""
        both = {"D_to_d_strength": self.strength, "D_to_d_life": self.life}
        return {field: number.sourced() for field, number in both.items() if isinstance(number, Number)}


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
    D_to_d: DToD
    terminated_by: tuple[str, ...]
    flex_fatigue: Said
    abrasion: Said
    visibility: Said
    recoil: Said
    notes: tuple[str, ...] = ()
    stretch: Stretch | None = None
    constructional_percent: Constructional | None = None
    damping_limit: Number | None = None
    """None: 1, damping may be as much as the tension itself."""
    name: str = ""
    record: str = ""
    """Where the record was read, for a user's own; empty for ours."""

    @model_validator(mode="after")
    def _check(self) -> LineType:
        if self.stretch is None and any(family.EA is None for family in self.families):
            raise ValueError("a type has a stretch curve or an EA in every family of sizes")
        if known_fibre(self.fibre) is None:
            raise ValueError(f"fibre '{self.fibre}' is not one of {', '.join(fibres())}")
        return self

    @property
    def material(self) -> Fibre:
        """What all lines of its material share."""
        material = known_fibre(self.fibre)
        assert material is not None  # checked when the record was read
        return material

    def at(self, diameter_m: float, condition: Condition = "bedded", stiffness: Stiffness = "dynamic") -> LineData:
        """The line in this diameter (m). Raises NoSuchSize, naming the sizes the catalogue has."""
        family = next((family for family in self.families if family.has(diameter_m)), None)
        if family is None:
            known = "; ".join(family.words() for family in self.families)
            raise NoSuchSize(f"{self.name} is not in the catalogue at {diameter_m * 1000.0:g} mm; it has {known}")
        try:
            strength, mass = family.strength.at(diameter_m), family.mass.at(diameter_m)
            curve, stretch = self._stretch(family, diameter_m, strength.value, condition, stiffness)
        except StretchError:
            raise
        except ValueError as wrong:  # a size that one table of a record has and another has not
            raise NoSuchSize(f"{self.name}: {wrong}") from wrong
        numbers = {
            "damping_ratio": self.damping_ratio.sourced(),
            "bending_loss": self.bending_loss.sourced(),
            "line_friction": self.line_friction.sourced(),
            **self.D_to_d.numbers(),
        }
        if self.damping_limit is not None:
            numbers["damping_limit"] = self.damping_limit.sourced()
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
            terminated_by=self.terminated_by,
            material=self.material,
            record=self.record,
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
        remarks = [f"From a record of your own: {self.record}."] if self.record else []
        if len(self.families) > 1:
            remarks.append(f"Taken as {family.sizes} size.")
        if self.stretch:
            remarks.append(f"Stretch {condition}, {stiffness}: {sources['stretch'].source}.")
        weak = sorted(field for field, number in sources.items() if number.needs_evidence)
        if weak:
            remarks.append(f"Without a read source: {', '.join(weak)}.")
        return tuple(remarks)
