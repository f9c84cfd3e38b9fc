"""A whole scenario: the planned move, every stop, every element judged."""

from __future__ import annotations

import hashlib
import platform
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from importlib.metadata import version

from sim.dynamics.run import ready
from sim.results.journal import KeepsRuns
from sim.results.model import CaseResult, Outcome, Result, Run
from sim.rig.case import Case
from sim.rig.rig import Rig, RigError
from sim.rig.stop import StopOrder
from sim.scenario.model import Scenario
from sim.scenario.pending import not_simulated
from sim.strength.catalogue import own_files
from sim.strength.elements import Element
from sim.strength.helps import most_helpful_change
from sim.strength.judge import judge
from sim.strength.prepare import Prepared
from sim.studies.cases import planned_case, stop_case
from sim.studies.curves import Worst
from sim.studies.drawing import drawing
from sim.studies.ends import AS_STATED, Ends, as_stated, planned_ends, spreads_not_run, stop_ends, taken
from sim.studies.expected import Expected, expected
from sim.studies.failures import failure_in_words
from sim.studies.line_figures import Asked, line_figures
from sim.studies.line_ranges import Again, line_ranges, steps
from sim.studies.many import Workers
from sim.studies.one_stop import SWEEP_TOLERANCE
from sim.studies.prepared import at_ends, made_at_ends, made_ready
from sim.studies.single import simulate
from sim.studies.sweep import How, Sweep, Tell, stop_at_ends, sweep
from sim.studies.telling import ends_in_words, sweeps_in_words, unfinished_instants
from sim.studies.water import in_the_water
from sim.version import VERSION, source_mark

NO_REST_REMEDY = "say what holds it before anything moves: start: standing or held, friction, more people"
COMPILING = "compiling the solver, once on this machine, 20 s to a minute"


def run_scenario(
    scenario: Scenario,
    progress: Tell | None = None,
    journal: KeepsRuns | None = None,
    workers: Workers = None,
    agree: Callable[[Expected], None] | None = None,
    *,
    ranges: bool = True,
) -> Result:
    """Run every case of a scenario and judge it. Raises RigError where the rig cannot be built or cannot hang.

    progress(what, done, total) is told of every run. What is not simulated yet is listed, and the rest is run.
    journal: where finished runs of sweeps are kept; those in it from the same scenario, version and tolerance are not
    made again. workers: where the runs of sweeps are made, see `sim.studies.many`; it changes no figure.
    agree(expected): asked before the first run; what it raises ends all. ranges: run the reported cases again within
    the ranges of the lines' data.
    """
    tell = progress or (lambda what, done, total: None)
    rig, prepared = made_ready(scenario)
    compile_first(tell)
    ready(rig)
    lost: dict[Ends, RigError] = {}
    rigs = {AS_STATED: rig, **made_at_ends(scenario, _all_ends(scenario, rig), lost)}
    _hang(rigs, lost)
    if journal is not None:
        journal.begin(journal_key(scenario, rigs))
    if agree is not None:
        agree(_expected(scenario, rig, steps(scenario) if ranges else 0))
    made = _Made(scenario, rigs, prepared.elements, How(workers, journal, tell), lost)
    made.planned()
    for stop in rig.stops:
        made.without_rest(stop)
        if stop.time_s is None:
            made.swept(stop)
        else:
            made.at_its_time(stop, stop.time_s)
    result = _result(made, prepared)
    if ranges:
        result = made.within_ranges(result, prepared)
    tell("done", 1, 1)
    return result


def expected_of(scenario: Scenario, *, ranges: bool = True) -> Expected:
    """How long a scenario's runs will take; ranges as of `run_scenario`.

    Raises RigError where the rig cannot be built or cannot hang.
    """
    rig, _ = made_ready(scenario)
    compile_first(lambda what, done, total: None)
    ready(rig)
    return _expected(scenario, rig, steps(scenario) if ranges else 0)


def _expected(scenario: Scenario, rig: Rig, again: int) -> Expected:
    stops = []
    for stop in rig.stops:
        ends = stop_ends(scenario, stop.drives, stop.category, stop.failure) or as_stated(scenario, stop.failure)
        stops.append((stop, len(ends)))
    return expected(rig, stops, 1 + len(planned_ends(scenario)), again)


def compile_first(tell: Tell) -> None:
    """The first run on a machine has the solver compiled; say so before it does."""
    from sim.dynamics.compiling import compile_solver, is_compiled

    if not is_compiled():
        tell(COMPILING, 0, 1)
        compile_solver()


def _hang(rigs: dict[Ends, Rig], lost: dict[Ends, RigError]) -> None:
    """Raises RigError, saying at which ends, where a rig finds no rest there; one that a failure is why of is lost."""
    for ends, rig in [*rigs.items()]:
        try:
            ready(rig)
        except RigError as wrong:
            if ends.failure is None:
                raise RigError(at_ends(ends, wrong)) from wrong
            lost[ends] = wrong
            del rigs[ends]


def _all_ends(scenario: Scenario, rig: Rig) -> tuple[Ends, ...]:
    of_stops = [ends for stop in rig.stops for ends in _ends_of(scenario, stop)]
    return tuple(ends for ends in dict.fromkeys([*planned_ends(scenario), *of_stops]) if ends != AS_STATED)


def _ends_of(scenario: Scenario, stop: StopOrder) -> tuple[Ends, ...]:
    """The values as stated first, then the ends of spreads; a failure in each of the ways it can be wrong."""
    stated = as_stated(scenario, stop.failure)
    return (*stated, *stop_ends(scenario, stop.drives, stop.category, stop.failure))


def journal_key(scenario: Scenario, rigs: Mapping[Ends, Rig]) -> str:
    """A name for all that a sweep's rows depend on: scenario, the files it names, own line types, version, solver,
    tolerances.
    """
    from sim.dynamics.jit import CACHE_FOLDER
    from sim.scenario import filled_in

    told = [filled_in(scenario), VERSION, CACHE_FOLDER.name, str(SWEEP_TOLERANCE), *map(str, rigs)]
    mark = hashlib.sha256("\n".join(told).encode())
    for content in own_files(each.type for each in scenario.lines.values() if isinstance(each.type, str)).values():
        mark.update(content)
    for drive in rigs[AS_STATED].drives:
        mark.update(drive.motion.time_s.tobytes() + drive.motion.coefficients.tobytes())
    return f"sha256 {mark.hexdigest()}"


@dataclass
class _Made:
    """The runs of one scenario as they are made."""

    scenario: Scenario
    rigs: Mapping[Ends, Rig]
    elements: tuple[Element, ...]
    how: How
    lost: Mapping[Ends, RigError] = field(default_factory=dict)
    """The failures that leave no rest to begin from, and why."""
    unrun: dict[str, CaseResult] = field(default_factory=dict)
    runs: dict[str, Run] = field(default_factory=dict)
    sweeps: dict[str, Sweep] = field(default_factory=dict)
    again: list[Again] = field(default_factory=list)
    """Every reported case once, to be run again within the ranges of the lines' data."""

    def planned(self) -> None:
        """The planned move as stated, and with the heaviest and the lightest performers."""
        every = (AS_STATED, *planned_ends(self.scenario))
        for number, ends in enumerate(every):
            case = planned_case(self.rigs[ends])
            name = case.name if ends == AS_STATED else f"{case.name}, {ends}"
            self.how.tell(name, number, len(every))
            self._run(name, ends, replace(case, name=name))
            self.again.append(Again(name, ends))

    def at_its_time(self, stop: StopOrder, time_s: float) -> None:
        """A stop or failure at one instant: as stated, and the worst of the ends of spreads."""
        self.how.tell(stop.name, 0, 1)
        for ends in as_stated(self.scenario, stop.failure):
            way = ends.failure.which if ends.failure is not None else ""
            name = f"{stop.name}, {way}" if way else stop.name
            if ends in self.rigs:
                self._run(name, ends, stop_case(self.rigs[ends], stop, time_s, name))
                self.again.append(Again(name, ends, stop.name, time_s))
        rigs = self._at_ends(stop)
        if rigs:
            self._worst(stop, stop_at_ends(rigs, stop, time_s, self.elements, self.how))

    def swept(self, stop: StopOrder) -> None:
        """A stop at every instant, at all ends of spreads; what is worst in it."""
        stated = as_stated(self.scenario, stop.failure)
        rigs = self._at_ends(stop) or {ends: self.rigs[ends] for ends in stated if ends in self.rigs}
        if not rigs:
            return  # said by `without_rest`
        self.sweeps[stop.name] = found = sweep(rigs[next(iter(rigs))], stop, self.elements, self.how, rigs)
        self._worst(stop, found.worst)

    def _at_ends(self, stop: StopOrder) -> dict[Ends, Rig]:
        every = stop_ends(self.scenario, stop.drives, stop.category, stop.failure)
        return {ends: self.rigs[ends] for ends in every if ends in self.rigs}

    def without_rest(self, stop: StopOrder) -> None:
        """Failures that leave no rest to begin from are cases that failed; they take no other case with them."""
        for ends in _ends_of(self.scenario, stop):
            wrong = self.lost.get(ends)
            if wrong is None or ends.failure is None:
                continue
            name = stop.name if ends == Ends(failure=replace(ends.failure, which="")) else f"{stop.name}, {ends}"
            words = failure_in_words(self.scenario, ends.failure, stopped=bool(stop.drives))
            why = " ".join(wrong.sentences)
            self.unrun[name] = CaseResult(
                name, stop.kind, Outcome.FAILED, why, NO_REST_REMEDY, stop.time_s, remarks=(words,)
            )

    def _worst(self, stop: StopOrder, worst: Mapping[str, Worst]) -> None:
        """Every worst as a named case, at the full tolerance and audited; one that is worst twice is run once."""
        done: dict[Worst, str] = {}
        for number, (what, at) in enumerate(worst.items()):
            name = f"{stop.name}, {what}"
            self.how.tell(name, number, len(worst))
            if at in done:
                same = self.runs[done[at]]
                self.runs[name] = replace(same, case=replace(same.case, name=name))
            else:
                self._run(name, at.ends, stop_case(self.rigs[at.ends], stop, at.time_s, name))
                self.again.append(Again(name, at.ends, stop.name, at.time_s))
                done[at] = name

    def within_ranges(self, result: Result, prepared: Prepared) -> Result:
        """The result with what its limits come to within the ranges of the lines' data."""
        found = line_ranges(self.scenario, prepared, self.again, result.findings, self.how)
        lost = [f"Not run within the ranges of the lines' data: {each}." for each in found.lost]
        return replace(result, ranges=found.findings, assumptions=(*result.assumptions, *lost))

    def _run(self, name: str, ends: Ends, case: Case) -> None:
        run = simulate(self.rigs[ends], case)
        at = taken(self.scenario, ends)
        words = [ends_in_words(at)] if at else []
        if ends.failure is not None:
            words.insert(0, failure_in_words(self.scenario, ends.failure, stopped=bool(case.stopped_drives)))
        if words:
            run = replace(run, case=replace(run.case, ends=at, remarks=(*run.case.remarks, *words)))
        self.runs[name] = run


def _result(made: _Made, prepared: Prepared) -> Result:
    scenario, rig = made.scenario, made.rigs[AS_STATED]
    tables = {name: found.table for name, found in made.sweeps.items()}
    pending = (*not_simulated(scenario), *in_the_water(rig, made.runs, tables), *unfinished_instants(tables))
    cases = {**{name: run.case for name, run in made.runs.items()}, **made.unrun}
    verdict = judge(scenario, cases, pending, prepared)
    told = (*sweeps_in_words({n: s.curves for n, s in made.sweeps.items()}), *spreads_not_run(scenario))
    return Result(
        title=scenario.title,
        revision=scenario.revision,
        prepared_by=scenario.prepared_by,
        verdict=verdict.verdict,
        findings=verdict.findings,
        cases=cases,
        elements=verdict.elements,
        weakest=verdict.weakest,
        helps=most_helpful_change(scenario, cases, verdict),
        lines=line_figures(Asked(scenario, rig, made.runs, verdict.elements)),
        traces={name: run.trace for name, run in made.runs.items()},
        sweeps=tables,
        drawing=drawing(rig, made.runs),
        stamp=stamp(scenario, rig),
        assumptions=(*rig.assumptions, *verdict.assumptions, *told),
        not_simulated=pending,
        limits=verdict.limits,
        exit_status=verdict.exit_status,
    )


def stamp(scenario: Scenario, rig: Rig) -> dict[str, object]:
    """What this result was made from and with; machine and libraries, since they decide the last bits."""
    text = scenario.source_text.encode()
    return {
        "version": VERSION,
        "source": source_mark(),
        "made_with": made_with(),
        "files": {"input.yaml": f"sha256 {hashlib.sha256(text).hexdigest()}"},
        "tolerance": rig.timing.tolerance,
        "sweep_tolerance": SWEEP_TOLERANCE,
        "seed": None,
    }


def made_with() -> str:
    """Python, the libraries that compute, and the kind of machine."""
    libraries = [f"{name} {version(name)}" for name in ("numpy", "scipy", "numba")]
    return ", ".join([f"Python {platform.python_version()}", *libraries, platform.machine()])
