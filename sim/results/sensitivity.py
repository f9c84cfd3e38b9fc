"""What of a scenario's inputs moves its figures, and by how much: one at a time, and all of them together."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Varied:
    """One input and how far it may be off.

    keys: keys of the scenario that take the value together, as `lines / drop line / type / damping_ratio`. low, high,
    stated: in SI; of a table of quantities (a stretch curve) they are factors of all of them, stated is then 1.
    why: where the spread comes from.
    """

    name: str
    keys: tuple[str, ...]
    stated: float
    low: float
    high: float
    unit: str = ""
    why: str = ""


@dataclass(frozen=True)
class Index:
    """A Sobol index with the ends of its confidence interval."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Influence:
    """What one input does to one figure, in the figure's unit.

    at_low, at_high: the figure with this input alone at its low and high end. first: the part of the figure's variance
    that this input alone makes, total: with all it makes together with others, every input spread evenly between its
    ends and knowing nothing of the others.
    """

    input: Varied
    at_low: float
    at_high: float
    first: Index
    total: Index


@dataclass(frozen=True)
class FigureSensitivity:
    """One figure of one case. stated: with every input as stated; low_5, high_95: what 5 % of all samples stay below,
    and what 95 % do; least, most: of all samples; above: the part of them that is higher than stated."""

    case: str
    figure: str
    stated: float
    least: float
    low_5: float
    high_95: float
    most: float
    above: float
    influences: tuple[Influence, ...]

    def turns(self, one: Influence) -> bool:
        """Whether the figure is higher, or lower, at both ends of the input than as stated."""
        return (one.at_low - self.stated) * (one.at_high - self.stated) > 0.0

    def per_percent(self, one: Influence) -> float | None:
        """Percent of the figure for a percent of the input, between the input's ends; None where either is 0, or where
        the figure turns in between: from one end to the other then says nothing."""
        of = one.input
        if of.stated == 0.0 or self.stated == 0.0 or self.turns(one):
            return None
        return (one.at_high - one.at_low) / self.stated / ((of.high - of.low) / of.stated)


@dataclass(frozen=True)
class Sensitivity:
    """All figures. samples: in each of the two matrices of Saltelli's estimator; confidence: of the intervals."""

    figures: tuple[FigureSensitivity, ...]
    samples: int
    evaluations: int
    seed: int
    confidence: float
