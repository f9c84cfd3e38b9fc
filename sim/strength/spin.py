"""How laid wire turns under load: the torque of an end that is held, the turns of one that is free."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from pydantic import TypeAdapter
from pydantic.dataclasses import dataclass

from sim.strength.data_file import parsed
from sim.strength.laws import DATA, STRICT, Number

KNOWN_UP_TO = 0.2
"""Share of the breaking strength up to which turns are claimed."""


@dataclass(frozen=True, config=STRICT)
class Lay:
    """torque_factor: torque over load times diameter. turns_on_a_diameter: of a free end at a fifth of the strength."""

    torque_factor: Number
    turns_on_a_diameter: Number

    def torque_Nm(self, load_N: float, diameter_m: float) -> float:
        """Torque of an end that is held against turning."""
        return self.torque_factor.value * diameter_m * load_N

    def turns(self, load_share: float, hang_m: float, diameter_m: float) -> float | None:
        """Turns of a free end, in proportion to load and length; None above a fifth of the strength."""
        if load_share > KNOWN_UP_TO:
            return None
        return self.turns_on_a_diameter.value * hang_m / diameter_m * load_share / KNOWN_UP_TO


@cache
def lays() -> Mapping[str, Lay]:
    """By construction: 7x19, 7x7, 6x19, 19x7."""
    written = parsed((DATA / "torque.yaml").read_text(encoding="utf-8"))
    return TypeAdapter(dict[str, Lay]).validate_python(written)


def lay_of(construction: str) -> Lay | None:
    """Of a construction in words, such as '7x19 galvanised'; None where nobody knows."""
    return next((lay for name, lay in lays().items() if name in construction), None)
