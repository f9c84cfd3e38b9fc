"""Line as the solver sees it: its stretch curve, mass and damping, the way it runs, and how it was cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Damping = Literal["limited", "pure"]
PlaceKind = Literal["tied", "sheave", "drive"]


@dataclass(frozen=True)
class Material:
    """What a line is made of, at its diameter.

    stretch: (force N, strain) points above zero, rising, of the whole line; one point makes it linear.
    damping_time_s: tau of the rate part tau f'(strain) d strain/dt, Kelvin and Voigt's law. `limited` never lets it
    exceed damping_limit times the elastic part, so taking up slack makes no jump; below 1, large movements lose like
    strands that rub under their own tension (Coulomb), small ones as before. `pure` is the textbook law, for its closed
    forms.
    """

    stretch: tuple[tuple[float, float], ...]
    mass_kg_per_m: float
    damping_time_s: float
    damping: Damping = "limited"
    damping_limit: float = 1.0
    bending_loss: float = 0.0
    """Part of the mean tension lost at a sheave that states no loss of its own."""


@dataclass(frozen=True)
class Place:
    """Where a line ends or turns: at which point, how far from it, and what it does there."""

    name: str
    point: str
    kind: PlaceKind
    offset_m: tuple[float, float, float] = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Cut:
    """How long the line is at the start. Exactly one way holds; all None: cut so that it just holds, or just reaches.

    length_m: unstretched, the whole of it outside the drive. slack_m: more than the way it runs. tension_N: at its end.
    """

    length_m: float | None = None
    slack_m: float | None = None
    tension_N: float | None = None


@dataclass(frozen=True)
class Line:
    """One line from its first end to its last. elements_per_span > 1 lets waves travel in it."""

    name: str
    material: Material
    route: tuple[Place, ...]
    cut: Cut = Cut()
    elements_per_span: int = 1
    strap: bool = False
    """A harness strap: inside a performer, drawn and judged as the harness."""

    def span_name(self, k: int) -> str:
        """The k-th span's name, from the places it joins."""
        return f"{self.route[k].name} -> {self.route[k + 1].name}"
