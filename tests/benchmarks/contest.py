"""Who is how fast at the same accuracy: tolerances by one rule, times measured in turns.

Rule: from the loosest tolerance (or step) of a ladder on, the first at which every line's peak is within WITHIN of a
tight solution of the same equations, and still is at the next tighter one, so that no lucky crossing is taken. Of a
library's methods the one that is then fastest with compiled rates. Times are taken in turns, one of each contestant a
round, so that what else the machine does falls on all alike; the least of each counts, and the spread is told.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from sim.dynamics.run import Raw, run
from tests.benchmarks.engine import EngineLine, EngineScene, Played
from tests.benchmarks.equations.libraries import CVODE, HAS_CVODE, SCIPY, Found, Method, evaluation_s, solve
from tests.benchmarks.equations.problem import Floats, Problem
from tests.benchmarks.timed_rigs import Timed

WITHIN = 1e-4
TIGHT = 1e-11
LADDER = tuple(10.0 ** (-k / 2) for k in range(6, 21))
STEPS_S = tuple(4e-3 / 2**k for k in range(11))
# Every call is repeated within its turn until this long has passed, so that short ones are not lost in the clock.
TURN_S = 0.05
# A method on which this many times the fastest other's time was spent without its meeting the rule is given up.
PATIENCE = 30.0
clock = time.perf_counter


@dataclass
class Contestant:
    """One way to run a rig, at the setting its rule gave; seconds: the best of every turn."""

    who: str
    equations: str
    method: str
    setting: str
    call: Callable[[], object]
    evaluations: int | None
    steps: int | None
    events: int | None
    error: float
    place_m: float
    alone_s: float | None = None
    seconds: list[float] = field(default_factory=list)

    @property
    def best_s(self) -> float:
        return min(self.seconds)

    def times_of(self, other: Contestant) -> list[float]:
        """How many times the other's time it took, turn by turn."""
        return [a / b for a, b in zip(self.seconds, other.seconds, strict=True)]

    def turn(self) -> None:
        """One turn."""
        best, until = np.inf, clock() + TURN_S
        while True:
            start = clock()
            self.call()
            end = clock()
            best = min(best, end - start)
            if end > until:
                break
        self.seconds.append(best)


@dataclass(frozen=True)
class Truth:
    """Peaks of a tight solution, and the performer's height in time."""

    peak_N: Floats
    time_s: Floats
    height_m: Floats

    def error(self, peaks: Floats) -> float:
        return float(np.abs(peaks / self.peak_N - 1.0).max())

    def place_m(self, time_s: Floats, height_m: Floats) -> float:
        """Greatest difference of the height at the coarse times both have."""
        return float(np.abs(np.interp(time_s, self.time_s, self.height_m) - height_m).max())


def peaks(time_s: Floats, values: Floats) -> Floats:
    """Largest of every row, by the parabola through the largest sample and its neighbours."""
    out = np.empty(len(values))
    for row, v in enumerate(values):
        i = int(np.argmax(v))
        out[row] = v[i]
        if 0 < i < len(v) - 1 and time_s[i - 1] < time_s[i] < time_s[i + 1]:
            a, b = time_s[i - 1] - time_s[i], time_s[i + 1] - time_s[i]
            da, db = (v[i - 1] - v[i]) / a, (v[i + 1] - v[i]) / b
            bend = (db - da) / (b - a)
            slope = da - bend * a
            if bend < 0.0:
                out[row] -= slope**2 / (4.0 * bend)
    return out


def first_within(errors: Callable[[float], float], ladder: tuple[float, ...]) -> float | None:
    """The rule. Raises nothing: None where no rung meets it; a rung that fails outright is no rung met."""
    met: float | None = None
    for rung in ladder:
        try:
            good = errors(rung) < WITHIN
        except RuntimeError:
            good = False
        if good and met is not None:
            return met
        met = rung if good else None
    return None


def tight(problem: Problem, sample_s: float) -> Truth:
    """DOP853, allowed errors of 1e-11."""
    found = solve(problem, Method("scipy", "DOP853"), TIGHT, sample_s / 5)
    tension = problem.tensions_N(found.time_s, found.y)
    return Truth(peaks(found.time_s, tension), found.time_s, problem.height_m(found.y))


class Own:
    """This program on a rig."""

    def __init__(self, rig: Timed) -> None:
        self.of, self.case = rig.own()
        self.rate_Hz = 1.0 / rig.sample_s
        names = [c.column for c in self.of.columns]
        self.lines = [names.index(line) for line in rig.lines]
        self.height = names.index("height_m:flyer")

    def run(self, tolerance: float) -> Raw:
        return run(self.of, self.case, tolerance, self.rate_Hz)

    def truth(self) -> Truth:
        """Its own run, errors of 1e-11 allowed."""
        fine = self.run(TIGHT)
        return Truth(fine.peak[self.lines], fine.time_s, fine.samples[:, self.height])

    def contestant(self, truth: Truth) -> Contestant:
        tolerance = first_within(lambda rung: truth.error(self.run(rung).peak[self.lines]), LADDER)
        assert tolerance is not None
        raw = self.run(tolerance)
        return Contestant(
            "stopload", "its own", "5(4) pair with events", f"{tolerance:.1e}", lambda: self.run(tolerance),
            raw.evaluations, raw.steps, raw.events, truth.error(raw.peak[self.lines]),
            truth.place_m(raw.time_s, raw.samples[:, self.height]),
        )  # fmt: skip


def _measured(problem: Problem, found: Found, truth: Truth) -> tuple[float, float]:
    tension = problem.tensions_N(found.time_s, found.y)
    return truth.error(peaks(found.time_s, tension)), truth.place_m(found.time_s, problem.height_m(found.y))


def _whole(problem: Problem, method: Method, tolerance: float, sample_s: float, in_numpy: bool) -> Floats:
    """What is timed: the run and its peaks."""
    found = solve(problem, method, tolerance, sample_s, in_numpy=in_numpy)
    return peaks(found.time_s, problem.tensions_N(found.time_s, found.y))


def library(
    who: str, equations: str, methods: tuple[Method, ...], problem: Problem, truth: Truth, rig: Timed
) -> list[Contestant]:
    """A library's fastest method on a problem, with compiled rates and with numpy's."""
    usable: list[tuple[float, Method, float]] = []
    sample_s = rig.sample_s
    for method in methods:
        if problem.contacts and method.library == "odeint":
            continue

        spent_s = 0.0

        def missed(rung: float, method: Method = method) -> float:
            nonlocal spent_s
            if usable and spent_s > PATIENCE * min(seconds for seconds, *_ in usable):
                return np.inf
            start = clock()
            try:
                return _measured(problem, solve(problem, method, rung, sample_s), truth)[0]
            finally:
                spent_s += clock() - start

        rung = first_within(missed, tuple(x for x in LADDER if x < 1.01 * rig.loosest))
        if rung is not None:
            usable.append((_once_s(problem, method, rung, sample_s), method, rung))
    if not usable:
        return []
    _, best, allowed = min(usable, key=lambda x: x[0])
    counted = solve(problem, best, allowed, sample_s, count=True)
    error, place_m = _measured(problem, counted, truth)
    alone_s = counted.evaluations * evaluation_s(problem)
    return [
        Contestant(
            who, equations, f"{best.words}, {'numpy' if in_numpy else 'compiled'}", f"{allowed:.1e}",
            lambda in_numpy=in_numpy: _whole(problem, best, allowed, sample_s, in_numpy),
            counted.evaluations, None, counted.restarts, error, place_m, alone_s,
        )
        for in_numpy in (False, True)
    ]  # fmt: skip


def _once_s(problem: Problem, method: Method, tolerance: float, sample_s: float) -> float:
    """Seconds of a run with compiled rates, the lesser of two."""
    best = np.inf
    for _ in range(2):
        start = clock()
        _whole(problem, method, tolerance, sample_s, False)
        best = min(best, clock() - start)
    return best


def _longest_s(rig: Timed) -> float:
    """The longest step at which the engine's Runge-Kutta method is stable on a row of bodies: 2.83 over the fastest
    mode, which is that of neighbours against each other (numerical-analysis and vibration textbooks)."""
    if rig.hanging is None:
        return np.inf
    speed = float(np.sqrt(rig.hanging.stretch_stiffness_N / rig.hanging.mass_kg_m))
    return 2.83 * rig.hanging.length_m / rig.hanging.pieces / (2.0 * speed)


def engine(rig: Timed, truth: Truth) -> Contestant | None:
    """The engine at the longest step that will do."""
    massless = rig.massless()
    if massless is None and rig.hanging is None:
        return None

    def at(step_s: float) -> EngineScene | EngineLine:
        if rig.hanging:
            return EngineLine(rig.hanging, step_s)
        assert rig.scene
        assert massless
        return EngineScene(rig.scene, massless, step_s)

    def seen(played: Played) -> float:
        return truth.error(peaks(played.time_s, played.tension_N))

    step_s = first_within(lambda rung: seen(at(rung).play()), tuple(x for x in STEPS_S if x < _longest_s(rig)))
    if step_s is None:
        return None
    model = at(step_s)
    played = model.play()
    equations = "line in pieces" if rig.hanging else "no sheave turns"
    bare = min(model.bare_s(clock) for _ in range(3))
    return Contestant(
        "MuJoCo", equations, "RK4, fixed step", f"{1e3 * step_s:.3g} ms",
        lambda: peaks(model.time_s, model.play().tension_N),
        4 * model.count, model.count, None, seen(played), truth.place_m(played.time_s, played.height_m), bare,
    )  # fmt: skip


@dataclass(frozen=True)
class Contest:
    """A rig, who ran it, and how far the equations are from each other: largest difference of a peak, as a share."""

    rig: Timed
    states: tuple[int, int, int | None]
    gap: float
    massless_gap: float | None
    contestants: list[Contestant]


def held(rig: Timed, rounds: int) -> Contest:
    """Everything for one rig."""
    own = Own(rig)
    own_truth, problem = own.truth(), rig.turning()
    truth = tight(problem, rig.sample_s)
    name = "line in pieces" if rig.hanging else "sheaves turn"
    all_of = [own.contestant(own_truth if rig.apart else truth), *library("SciPy", name, SCIPY, problem, truth, rig)]
    if HAS_CVODE:
        all_of += library("SUNDIALS", name, CVODE, problem, truth, rig)
    least, least_truth, gap = rig.massless(), truth if rig.hanging else None, None
    if least is not None:
        least_truth = tight(least, rig.sample_s)
        for who, methods in (("SciPy", SCIPY), *((("SUNDIALS", CVODE),) if HAS_CVODE else ())):
            all_of += library(who, "no sheave turns", methods, least, least_truth, rig)
        gap = _gap(truth, problem, least_truth, least)
    if least_truth is not None and (played := engine(rig, least_truth)) is not None:
        all_of.append(played)
    for _ in range(rounds):
        for each in all_of:
            each.turn()
    states = (len(own.of.start.state), len(problem.start), len(least.start) if least else None)
    return Contest(rig, states, own_truth.error(truth.peak_N), gap, all_of)


def _gap(truth: Truth, problem: Problem, least: Truth, massless: Problem) -> float:
    """How far peaks without sheaves are from those with, at the performer's end of every cord."""
    ends = {line.split(":")[0]: i for i, line in enumerate(problem.lines)}
    return max(abs(least.peak_N[k] / truth.peak_N[ends[cord]] - 1.0) for k, cord in enumerate(massless.lines))
