"""How far the stretch of lines lets a performer's hook down: hanging, and at the largest tension of any case."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.build import build_rig
from sim.results.choice import HookStretch
from sim.results.model import Result, Trace
from sim.rig.rig import Rig
from sim.scenario import Scenario
from sim.strength.facts import strain_at
from sim.strength.own import line_data
from sim.studies.compare_stiffness import AtHook, at_hook


def stretch_at_hook(made: Scenario, result: Result) -> HookStretch | None:
    """The largest of all performers; None where no line bears one or nothing was run to its end."""
    rig = build_rig(made)
    found = [each for who in made.performers if (each := _of(rig, made, result, who))]
    return max(found, key=lambda each: each.most_m, default=None)


def _of(rig: Rig, made: Scenario, result: Result, performer: str) -> HookStretch | None:
    planned = next((case for case in result.cases.values() if case.name in result.traces), None)
    if planned is None:
        return None
    trace = result.traces[planned.name]
    # Who stands or is held does not hang yet: then the end of the planned move is looked at.
    hangs = 0 if made.performers[performer].start == "hanging" else len(trace.time_s) - 1
    rest = at_hook(rig, planned, trace, hangs, performer, _taut(trace, hangs))
    weight_N = next(who.weight_N for who in rig.performers if who.name == performer)
    hanging_m = None if rest is None else _down_m(made, rest, "static", lambda _, share: share * weight_N)
    name = rest.line.name if rest else ""
    worst = _worst(made, result, performer)
    if worst is None:
        return None
    case, sample = worst
    trace = result.traces[case]
    there = at_hook(rig, result.cases[case], trace, sample, performer, _taut(trace, sample))
    if there is None:
        return None
    most_m = _down_m(made, there, None, lambda span, _: max(float(trace.columns[f"tension_N:{span}"][sample]), 0.0))
    return HookStretch(performer, name or there.line.name, hanging_m, most_m, case)


def _taut(trace: Trace, sample: int) -> set[str]:
    """The lines with a force in all their spans at one sample."""
    slack, lines = set(), set()
    for column, values in trace.columns.items():
        kind, _, span = column.partition(":")
        if kind == "tension_N":
            name = span.partition(":")[0]
            lines.add(name)
            if values[sample] <= 0.0:
                slack.add(name)
    return lines - slack


def _worst(made: Scenario, result: Result, performer: str) -> tuple[str, int] | None:
    """Case and sample at which the lines that end on a performer are pulled hardest; of all lines where none does."""
    ends = {performer, *made.performers[performer].harness.points}
    own = [name for name, line in made.lines.items() if not ends.isdisjoint((line.route[0], line.route[-1]))]
    peaks = [
        (case.peaks[name].force_N, case.name, case.peaks[name].time_s)
        for case in result.cases.values()
        if case.name in result.traces
        for name in own or made.lines
        if name in case.peaks
    ]
    if not peaks:
        return None
    _, case, time_s = max(peaks)
    times = result.traces[case].time_s
    return case, int(np.abs(times - time_s).argmin())


def _down_m(made: Scenario, at: AtHook, stiffness: str | None, force_N: Callable[[str, float], float]) -> float:
    """By the unit-load method: the sum over lines of share times stretch, of each span under its own force.

    stiffness: which of a type's curves, None: the one that is run. force_N: of a span, from its name and its share.
    """
    down_m = 0.0
    for share in at.shares:
        line = made.lines.get(share.line)
        if line is None or share.per_load <= 0.0:
            continue
        data = line_data(line.model_copy(update={"stiffness": stiffness}) if stiffness else line, share.line)
        for span, way_m in share.spans_m.items():
            strain = strain_at(data.stretch, force_N(span, share.per_load))
            down_m += share.per_load * way_m * strain / (1.0 + strain)
    return down_m
