"""How stiff, how soft and how little damped a line can be by what is known of it: its data's own ranges."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sim.scenario.parts.lines import Line, LineType
from sim.scenario.quantity import Quantity
from sim.strength.own import line_data


@dataclass(frozen=True)
class KnownRange:
    """stiffest, softest: factors of all its strains, 1 for a curve known exactly. damping_ratio: the least it may be,
    None where the line is given a damping time, or is known exactly."""

    stiffest: float = 1.0
    softest: float = 1.0
    damping_ratio: float | None = None

    @property
    def exact(self) -> bool:
        """Whether nothing of it is spread."""
        return self == KnownRange()

    def stretch_at(self, part: float) -> float:
        """The factor of its strains at a part of the range, 0 stiffest and 1 softest, in equal ratios."""
        return self.stiffest * (self.softest / self.stiffest) ** part


def known_range(line: Line, name: str) -> KnownRange:
    """The range of one line: of the catalogue's numbers, or as a type written in place states it."""
    if isinstance(line.type, LineType):
        return _written(line.type)
    data = line_data(line, name)
    stretch, damping = data.sources["stretch"], data.sources["damping_ratio"]
    low, high = (end / stretch.value for end in (stretch.low, stretch.high))
    return KnownRange(low, high, damping.low if damping.low < damping.value else None)


def _written(own: LineType) -> KnownRange:
    damping = own.damping_ratio
    least = damping.low_si if damping is not None and damping.low_si < damping.si else None
    if own.stiffness_EA is not None:
        EA = own.stiffness_EA
        return KnownRange(EA.si / EA.high_si, EA.si / EA.low_si, least)
    strains: Iterable[Quantity] = (own.stretch or {}).values()
    low, high = zip(*((each.low_si / each.si, each.high_si / each.si) for each in strains), strict=True)
    return KnownRange(min(low), max(high), least)
