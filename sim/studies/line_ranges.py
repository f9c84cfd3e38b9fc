"""The reported cases again, with lines as stiff, as soft and as little damped as their data allow.

What is known of a line is a range, of a textile line a wide one. How stiff it is decides not only how hard a stop pulls
but when: a peak can lie anywhere in the range, so the range is gone through in steps, all lines together, with damping
at its least. Each step is judged by the same rules as the rig as stated. Stops keep the instants that were worst as
stated: where a stiffer line makes another instant the worst, more than this is possible.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from sim.build import build_rig
from sim.dynamics.run import ready, run
from sim.results.finding import Finding, RangeFinding, margin
from sim.results.model import CaseResult, Outcome
from sim.rig.rig import Rig, RigError
from sim.scenario.model import Scenario
from sim.strength.judge import judge
from sim.strength.known_range import KnownRange, known_range
from sim.strength.prepare import Prepared
from sim.studies.cases import planned_case, stop_case
from sim.studies.ends import Ends, scenario_at
from sim.studies.figures import case_result
from sim.studies.many import Many, run_many
from sim.studies.one_stop import SWEEP_TOLERANCE, sweep_rate_Hz
from sim.studies.single import simulate
from sim.studies.sweep import How
from sim.studies.varied import spelled_out, with_value

PARTS = (0.0, 1 / 6, 1 / 3, 1 / 2, 2 / 3, 5 / 6, 1.0)
"""The steps through the range of stretch, 0 stiffest. One more has the stretch as stated."""
LEAST_THAT_MATTERS = 1e-3
"""What gets worse by less than this part of what is asked for is as stated."""

WHAT = "reported cases within the ranges of the lines' data"
"""What the runs are called while they are made."""


@dataclass(frozen=True)
class Again:
    """A case that was reported: the planned move, or the stop (or failure) of this name at its instant."""

    name: str
    ends: Ends
    stop: str = ""
    time_s: float = 0.0


@dataclass(frozen=True)
class Ranges:
    """What came of it: findings worse than as stated, and sentences on what could not be run."""

    findings: tuple[RangeFinding, ...] = ()
    lost: tuple[str, ...] = ()


def steps(scenario: Scenario) -> int:
    """How many times every reported case is run again; 0 where all lines are known exactly."""
    return len(PARTS) + 1 if _ranges(scenario) else 0


def line_ranges(
    scenario: Scenario, prepared: Prepared, again: Sequence[Again], stated: Sequence[Finding], how: How
) -> Ranges:
    """Run the cases again at every step and judge each; of every limit and element the worst of all steps.

    stated: the findings with the lines as stated. A limit that gets no worse is left out. how: where runs are made and
    who is told.
    """
    known = _ranges(scenario)
    if not known:
        return Ranges()
    written = spelled_out(scenario)
    as_stated = dict.fromkeys(known, 1.0)
    stretch = [as_stated, *({name: of.stretch_at(part) for name, of in known.items()} for part in PARTS)]
    rigs, lost = _rigs([_with_lines(written, known, each) for each in stretch], {one.ends for one in again}, stretch)
    cases: list[dict[str, CaseResult]] = [{} for _ in stretch]

    def done(items: Sequence[tuple[int, Again]], results: Sequence[CaseResult]) -> None:
        for (step, one), case in zip(items, results, strict=True):
            cases[step][one.name] = case
            how.tell(WHAT, sum(map(len, cases)), len(items))
            if case.outcome is Outcome.FAILED:
                lost.append(f"{one.name} {_at(stretch[step])}: {case.reason}")

    def given_up(item: tuple[int, Again], cause: str) -> None:
        lost.append(f"{item[1].name} {_at(stretch[item[0]])}: {cause}")

    items = [(step, one) for step in range(len(stretch)) for one in again if (step, one.ends) in rigs]
    how.tell(WHAT, 0, len(items))
    run_many(Many(_Runs(rigs, prepared.limits.g_filtered), done, given_up), items, how.workers)
    in_order = [{one.name: found[one.name] for one in again if one.name in found} for found in cases]
    judged = [judge(scenario, found, (), prepared).findings for found in in_order]
    return Ranges(tuple(_worst(stated, judged, stretch)), tuple(sorted(lost)))


def _ranges(scenario: Scenario) -> dict[str, KnownRange]:
    every = {name: known_range(line, name) for name, line in scenario.lines.items()}
    return {name: known for name, known in every.items() if not known.exact}


def _with_lines(written: Scenario, known: Mapping[str, KnownRange], stretch: Mapping[str, float]) -> Scenario:
    for name, of in known.items():
        written = with_value(written, f"lines / {name} / type / stretch", stretch[name])
        if of.damping_ratio is not None:
            written = with_value(written, f"lines / {name} / type / damping_ratio", of.damping_ratio)
    return written


def _rigs(
    made: Sequence[Scenario], every: set[Ends], stretch: Sequence[Mapping[str, float]]
) -> tuple[dict[tuple[int, Ends], Rig], list[str]]:
    """The rig of each step at each of the ends of spreads that a case takes; sentences on those that cannot be."""
    rigs, lost = {}, []
    for step, scenario in enumerate(made):
        for ends in sorted(every, key=str):
            try:
                rig = build_rig(scenario_at(scenario, ends))
                ready(rig)
            except RigError as wrong:
                lost.append(f"{ends} {_at(stretch[step])}: {' '.join(wrong.sentences)}")
                continue
            rigs[step, ends] = rig
    return rigs, lost


@dataclass(frozen=True)
class _Runs:
    """Runs a batch, as a sweep does; a class, so that it can go to another process. filtered: the g limit is of the
    filtered g, for which histories are needed."""

    rigs: Mapping[tuple[int, Ends], Rig]
    filtered: bool

    def __call__(self, batch: Sequence[tuple[int, Again]]) -> list[CaseResult]:
        return [self._run(self.rigs[step, one.ends], one) for step, one in batch]

    def _run(self, rig: Rig, one: Again) -> CaseResult:
        if not one.stop:
            case = replace(planned_case(rig), name=one.name)
        else:
            case = stop_case(rig, next(s for s in rig.stops if s.name == one.stop), one.time_s, one.name)
        if self.filtered:
            return simulate(rig, case, audited=False).case
        return case_result(run(ready(rig), case, SWEEP_TOLERANCE, sweep_rate_Hz(rig)), None, {}, 0.0)


def _worst(
    stated: Sequence[Finding], judged: Sequence[Sequence[Finding]], stretch: Sequence[Mapping[str, float]]
) -> list[RangeFinding]:
    """Of every limit and element the worst of all steps, where that is worse than as stated; outside first."""
    out = []
    for before in stated:
        if before.found is None or before.required is None:
            continue
        key = _which(before)
        there = [(each, step) for step, found in enumerate(judged) for each in found if _which(each) == key]
        found = [(_left(each), step, each) for each, step in there if each.found is not None]
        if not found:
            continue
        left, step, finding = min(found, key=lambda each: each[:2])
        if left < _left(before) - LEAST_THAT_MATTERS:
            turned = before.within is True and finding.within is False
            out.append(RangeFinding(finding, before.found, turned, stretch[step]))
    return sorted(out, key=lambda each: not each.turned)


def _which(finding: Finding) -> tuple[str, str]:
    """A design factor may be decided by another load elsewhere in the range; it is the element's all the same."""
    return finding.limit.partition(" ")[0], finding.of


def _left(finding: Finding) -> float:
    """The margin, so that design factors of different loads compare; where no clearance at all is asked for, it (m)."""
    left = margin(finding)
    return (finding.found or 0.0) if left is None else left


def _at(stretch: Mapping[str, float]) -> str:
    return "with " + ", ".join(f"{name} {factor:.2f} times its stretch" for name, factor in stretch.items())
