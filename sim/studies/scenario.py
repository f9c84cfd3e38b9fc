"""A whole scenario: the planned move, every stop, every element judged."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

from sim.dynamics.run import ready
from sim.results.model import Result, Run
from sim.rig.rig import Rig
from sim.scenario.model import Scenario
from sim.scenario.pending import not_simulated
from sim.strength.judge import judge
from sim.strength.prepare import Prepared
from sim.studies.cases import planned_case, stop_case
from sim.studies.drawing import drawing
from sim.studies.prepared import made_ready
from sim.studies.single import simulate
from sim.studies.sweep import Sweep, Tell, sweep
from sim.version import VERSION

COMPILING = "compiling the solver, once on this machine, about 20 s"


def run_scenario(scenario: Scenario, progress: Tell | None = None) -> Result:
    """Run every case of a scenario and judge it. Raises RigError where the rig cannot be built or cannot hang.

    progress(what, done, total) is told of every run. What is not simulated yet is listed, and the rest is run.
    """
    tell = progress or (lambda what, done, total: None)
    rig, prepared = made_ready(scenario)
    _compile(tell, rig)
    strengths = {e.name: e.breaking_strength_N for e in prepared.elements if e.breaking_strength_N}
    runs: dict[str, Run] = {}
    sweeps: dict[str, Sweep] = {}
    planned = planned_case(rig)
    total = 1 + sum(1 for s in rig.stops if s.time_s is not None)
    tell(planned.name, 0, total)
    runs[planned.name] = simulate(rig, planned)
    for stop in rig.stops:
        if stop.time_s is not None:
            tell(stop.name, len(runs), total)
            runs[stop.name] = simulate(rig, stop_case(rig, stop, stop.time_s))
            continue
        sweeps[stop.name] = sweep(rig, stop, strengths, tell)
        worst = sweeps[stop.name].worst
        for number, (what, time_s) in enumerate(worst.items()):
            name = f"{stop.name}, {what}"
            tell(name, number, len(worst))
            runs[name] = simulate(rig, stop_case(rig, stop, time_s, name))
    tell("done", 1, 1)
    return _result(scenario, rig, runs, sweeps, prepared)


def _compile(tell: Tell, rig: Rig) -> None:
    """The first run on a machine compiles the solver; say so before it does."""
    from sim.dynamics.jit import is_compiled

    if not is_compiled():
        tell(COMPILING, 0, 1)
    ready(rig)


def _result(
    scenario: Scenario, rig: Rig, runs: Mapping[str, Run], sweeps: Mapping[str, Sweep], prepared: Prepared
) -> Result:
    pending = (*not_simulated(scenario), *unfinished_instants(sweeps))
    cases = {name: run.case for name, run in runs.items()}
    verdict = judge(scenario, cases, pending, prepared)
    return Result(
        title=scenario.title,
        revision=scenario.revision,
        prepared_by=scenario.prepared_by,
        verdict=verdict.verdict,
        findings=verdict.findings,
        cases=cases,
        elements=verdict.elements,
        weakest=verdict.weakest,
        traces={name: run.trace for name, run in runs.items()},
        sweeps={name: s.table for name, s in sweeps.items()},
        drawing=drawing(rig, runs),
        stamp=stamp(scenario, rig),
        assumptions=(*rig.assumptions, *verdict.assumptions),
        not_simulated=pending,
        limits=verdict.limits,
        exit_status=verdict.exit_status,
    )


def unfinished_instants(sweeps: Mapping[str, Sweep]) -> tuple[str, ...]:
    """One sentence for every sweep in which some instants have no result, with the first cause."""
    out = []
    for name, found in sweeps.items():
        causes = [(t, c) for t, c in zip(found.table.stop_time_s, found.table.causes, strict=True) if c]
        if causes:
            out.append(
                f"{name}: {len(causes)} of {len(found.table.causes)} stop instants have no result, the first at "
                f"{causes[0][0]:.2f} s ({causes[0][1]})."
            )
    return tuple(out)


def stamp(scenario: Scenario, rig: Rig) -> dict[str, object]:
    """What this result was made from and with."""
    text = scenario.source_text.encode()
    return {
        "version": VERSION,
        "files": {"input.yaml": f"sha256 {hashlib.sha256(text).hexdigest()}"},
        "tolerance": rig.timing.tolerance,
        "seed": None,
    }
