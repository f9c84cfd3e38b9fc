"""How much each input moves the figures of a case: one at a time, and by Sobol indices, which SciPy estimates.

The inputs are taken to know nothing of each other and to be spread evenly between their ends; which of them matters
most therefore depends on the spreads. One instant of a stop is kept: where another input makes another instant the
worst, that is not seen here; a sweep sees it.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import DegenerateDataWarning, sobol_indices, uniform

from sim.build import build_rig
from sim.dynamics.run import ready, run
from sim.results.model import Outcome
from sim.results.sensitivity import FigureSensitivity, Index, Influence, Sensitivity, Varied
from sim.rig.rig import Rig
from sim.rig.stop import StopOrder
from sim.scenario.model import Scenario
from sim.studies.cases import PLANNED, planned_case, stop_case
from sim.studies.figures import outcome, peaks, performer_result
from sim.studies.many import Many, Workers, run_many
from sim.studies.varied import with_value

SAMPLES = 256
SEED = 20_240_229
CONFIDENCE = 0.95

Values = tuple[float, ...]
Figure = tuple[str, str]
"""The case and the figure of it: `peak_g:<performer>`, or `force_N:<element>`."""


class SensitivityError(Exception):
    """Samples that could not be run: what an index would be without them nobody knows."""


@dataclass(frozen=True)
class How:
    """samples: in each of two matrices, a power of two; workers: see `sim.studies.many`."""

    samples: int = SAMPLES
    seed: int = SEED
    confidence: float = CONFIDENCE
    workers: Workers = None


@dataclass(frozen=True)
class Sampled:
    """The figures of a scenario as a function of its inputs' values. stop, time_s: one stop at one instant, if any."""

    scenario: Scenario
    inputs: tuple[Varied, ...]
    figures: tuple[Figure, ...]
    stop: str | None = None
    time_s: float = 0.0

    def __call__(self, values: Values) -> Values:
        """Build the rig of these values and run its cases. Raises RigError or SensitivityError."""
        scenario = self.scenario
        for one, value in zip(self.inputs, values, strict=True):
            for key in one.keys:
                scenario = with_value(scenario, key, value)
        rig = build_rig(scenario)
        found = _figures(rig, None, 0.0)
        if self.stop is not None:
            found |= _figures(rig, next(s for s in rig.stops if s.name == self.stop), self.time_s)
        return tuple(found[figure] for figure in self.figures)


def _figures(rig: Rig, stop: StopOrder | None, time_s: float) -> dict[Figure, float]:
    case = planned_case(rig) if stop is None else stop_case(rig, stop, time_s)
    raw = run(ready(rig), case, rig.timing.tolerance, None)
    how, why, _ = outcome(raw)
    if how != Outcome.FINISHED:
        raise SensitivityError(why)
    name = PLANNED if stop is None else stop.name
    found = {(name, f"peak_g:{who.name}"): performer_result(raw, who, None, 0.0).peak_g for who in rig.performers}
    return found | {(name, f"force_N:{of}"): peak.force_N for of, peak in peaks(raw).items()}


def scenario_sensitivity(of: Sampled, how: How | None = None) -> Sensitivity:
    """What moves the figures of a scenario. Raises SensitivityError where a sample cannot be run."""
    return sensitivity(of, of.inputs, of.figures, how)


def sensitivity(
    what: Callable[[Values], Values], inputs: Sequence[Varied], figures: Sequence[Figure], how: How | None = None
) -> Sensitivity:
    """What moves the figures of a function of the inputs' values; what(values) gives a value for each figure.

    Sobol indices by Saltelli's estimator of 2010 on a scrambled Sobol sequence, with bootstrapped intervals
    (scipy.stats.sobol_indices). Raises SensitivityError.
    """
    how = how or How()
    stated, ends = one_at_a_time(what, inputs, how.workers)
    taken: list[NDArray] = []

    def columns(x: NDArray) -> NDArray:
        taken.append(evaluated(what, [tuple(float(v) for v in column) for column in x.T], how.workers).T)
        return taken[-1].copy()  # SciPy takes the mean out of what it is given, in place

    spread = [uniform(one.low, one.high - one.low) for one in inputs]
    # SciPy has called it rng since 1.15, and still takes the name that its older versions know.
    seeded = {"random_state": np.random.default_rng(how.seed)}
    found = sobol_indices(func=columns, n=how.samples, dists=spread, **seeded)  # pyright: ignore[reportArgumentType]
    with warnings.catch_warnings(), np.errstate(invalid="ignore", divide="ignore"):
        warnings.simplefilter("ignore", DegenerateDataWarning)  # an input that does nothing at all; see _index
        around = found.bootstrap(confidence_level=how.confidence)
    first, total = (
        (value, interval.confidence_interval.low, interval.confidence_interval.high)
        for value, interval in (
            (found.first_order, around.first_order),
            (found.total_order, around.total_order),
        )
    )
    every = np.hstack([taken[0], taken[1]])  # the two matrices; the rest repeats their columns
    out = []
    for f, (case, figure) in enumerate(figures):
        influences = tuple(
            Influence(one, float(ends[i, 0, f]), float(ends[i, 1, f]), _index(first, f, i), _index(total, f, i))
            for i, one in enumerate(inputs)
        )
        least, low, high, most = (float(q) for q in np.quantile(every[f], [0.0, 0.05, 0.95, 1.0]))
        above = float(np.mean(every[f] > stated[f]))
        out.append(FigureSensitivity(case, figure, float(stated[f]), least, low, high, most, above, influences))
    evaluations = 1 + 2 * len(inputs) + sum(x.shape[1] for x in taken)
    return Sensitivity(tuple(out), how.samples, evaluations, how.seed, how.confidence)


def one_at_a_time(
    what: Callable[[Values], Values], inputs: Sequence[Varied], workers: Workers = None
) -> tuple[NDArray, NDArray]:
    """The figures as stated (figures,) and with each input alone at its low and its high end (inputs, 2, figures)."""
    stated = tuple(one.stated for one in inputs)
    points = [stated]
    for i, one in enumerate(inputs):
        points += [(*stated[:i], end, *stated[i + 1 :]) for end in (one.low, one.high)]
    found = evaluated(what, points, workers)
    return found[0], found[1:].reshape(len(inputs), 2, -1)


def evaluated(what: Callable[[Values], Values], points: Sequence[Values], workers: Workers = None) -> NDArray:
    """The figures at every point (points, figures). Raises SensitivityError with the causes, where there are any."""
    found: dict[int, Values] = {}
    causes: list[str] = []

    def done(items: Sequence[tuple[int, Values]], results: Sequence[Values]) -> None:
        found.update(zip((number for number, _ in items), results, strict=True))

    def lost(item: tuple[int, Values], cause: str) -> None:
        causes.append(f"{cause} At {', '.join(f'{v:.6g}' for v in item[1])}.")

    run_many(Many(_Batch(what), done, lost), enumerate(points), workers)
    if causes:
        raise SensitivityError(f"{len(causes)} of {len(points)} samples have no figures, the first: {causes[0]}")
    return np.array([found[number] for number in range(len(points))], float)


@dataclass(frozen=True)
class _Batch:
    """Runs a batch; a class, so that it can go to another process."""

    what: Callable[[Values], Values]

    def __call__(self, batch: Sequence[tuple[int, Values]]) -> list[Values]:
        return [self.what(values) for _, values in batch]


def _index(of: Sequence[NDArray], figure: int, i: int) -> Index:
    value, low, high = (float(np.atleast_2d(x)[figure, i]) for x in of)
    if value == 0.0 and math.isnan(low) and math.isnan(high):
        return Index(0.0, 0.0, 0.0)  # nothing changes with this input, however the samples are drawn again
    if not all(math.isfinite(x) for x in (value, low, high)):
        raise SensitivityError("An index or its interval is not a number: does the figure vary at all?")
    return Index(value, low, high)
