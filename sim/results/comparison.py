"""What a comparison leaves behind: the same scenario with changed keys, one variant a row, frozen, plain SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sim.results.drawn import Drawing
from sim.results.model import CaseResult, SweepTable, Trace
from sim.results.notebook import page_of

WORST_FIRST = (2, 3, 1, 0)
"""Exit statuses in the order in which a comparison shows and counts them: wrong, unfinished, outside, within."""


@dataclass(frozen=True)
class Worst:
    """One figure of a variant, the worst over its cases: whose it is, in which case and, for a line, in which span."""

    value: float
    of: str
    case: str
    place: str = ""


@dataclass(frozen=True)
class Margin:
    """What is nearest to its limit: a design factor, a g load, a clearance or a landing speed, with its SI unit.

    margin: available over required less one: found over required where more is asked for, required over found where
    less is; below 0 is outside.
    """

    margin: float
    of: str
    limit: str
    found: float
    required: float
    unit: str = ""


@dataclass(frozen=True)
class Figures:
    """The figures of one variant that stand in the table; None where a variant has none of the kind.

    paid_out_m: line paid out at the end of the case of least clearance, where one drive alone pays out.
    """

    peak_g: Worst | None = None
    peak_tension_N: Worst | None = None
    clearance_m: Worst | None = None
    lowest_height_m: Worst | None = None
    stopping_distance_m: Worst | None = None
    slack_s: Worst | None = None
    paid_out_m: float | None = None
    least_margin: Margin | None = None


@dataclass(frozen=True)
class HookStop:
    """How the largest g that a line gave came about, read off its case, and what a mass on a spring would have given.

    All at the moment from which the peak is built up: where the line comes taut for the last time before it, if it was
    slack, else where the performer goes down fastest. EA_N: stiffness of the line per strain, under the performer's
    weight. run_length_m: length of the line. hook_N_per_m: static stiffness at the hook, vertical, of lines and mounts;
    harness_N_per_m: of the harness below it, None where it is rigid. speed_m_s: of the performer, down. slow_down_s:
    from then until the drive stands (0: it stands already, or nothing drives). catch_m_s: how much faster than the line
    runs the performer comes onto it, after slack. deceleration_m_s2: mean of the slow-down.
    instant_N: speed times root of stiffness times mass, which a stop in no time adds to the weight. law_N: what closed
    forms add (`sim.studies.compare_hook`). added_N: what was simulated.
    """

    performer: str
    case: str
    line: str
    mass_kg: float
    weight_N: float
    EA_N: float
    run_length_m: float
    hook_N_per_m: float
    harness_N_per_m: float | None
    speed_m_s: float
    slow_down_s: float
    slack: bool
    catch_m_s: float
    deceleration_m_s2: float
    period_s: float
    instant_N: float
    law_N: float
    added_N: float


@dataclass(frozen=True)
class Variant:
    """One variant. changes: key, as messages name it, to the value as written. status: what `run` would end with.

    cause: why there is no result, '' where there is one. folder: its result folder within the comparison's.
    notes: what was left behind or has to be known, in sentences.
    """

    name: str
    changes: Mapping[str, str]
    status: int
    verdict: str
    cause: str = ""
    folder: str = ""
    notes: tuple[str, ...] = ()
    figures: Figures = Figures()
    hook: HookStop | None = None


@dataclass(frozen=True)
class History:
    """One case of a variant for drawing: its figures, and what is drawn of its trace, thinned out."""

    case: CaseResult
    trace: Trace


@dataclass(frozen=True)
class Curves:
    """What of a variant is drawn beside the others': sweeps, planned line speeds, and the cases of no sweep."""

    sweeps: Mapping[str, SweepTable] = field(default_factory=dict)
    planned: Trace | None = None
    histories: Mapping[str, History] = field(default_factory=dict)


@dataclass(frozen=True)
class Comparison:
    """All variants in the order they were asked for. words: what changes most and why, in sentences.

    limits: those of the scenario as written, by the keys plots draw them under. curves: by variant; not in the file,
    since every variant's own folder has them.
    """

    title: str
    over: str
    variants: tuple[Variant, ...]
    words: tuple[str, ...]
    limits: Mapping[str, float]
    drawing: Drawing | None
    stamp: Mapping[str, object]
    exit_status: int
    curves: Mapping[str, Curves] = field(default_factory=dict)

    def _repr_html_(self) -> str | None:
        """The comparison in a notebook; None, so that it is shown as text, where nothing that draws was imported."""
        return page_of(self)


def worst_first(variants: tuple[Variant, ...]) -> list[Variant]:
    """Variants without a result first, then unfinished, outside and within; each by margin, then by force."""
    return sorted(variants, key=_rank)


def worst_status(variants: tuple[Variant, ...]) -> int:
    """The exit status of all: the first of 2, 3, 1, 0 that any variant has."""
    found = {variant.status for variant in variants}
    return next(status for status in WORST_FIRST if status in found or status == 0)


def _rank(variant: Variant) -> tuple[int, bool, float, float]:
    margin, force = variant.figures.least_margin, variant.figures.peak_tension_N
    return (
        WORST_FIRST.index(variant.status),
        variant.verdict == "not judged",  # after what is outside, which ends with the same status
        margin.margin if margin else -1.0,
        -force.value if force else 0.0,
    )
