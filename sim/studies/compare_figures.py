"""The figures of one variant: the worst of each kind over its cases, as its result has them."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from sim.results.comparison import Figures, Margin, Worst
from sim.results.finding import margin
from sim.results.model import CaseResult, Finding, Outcome, PerformerResult, Result
from sim.results.verdict import deciding_load, least_margin


def figures_of(result: Result) -> Figures:
    """The worst of every kind over all cases that did not fail."""
    cases = [case for case in result.cases.values() if case.outcome is not Outcome.FAILED]
    clearance = _least(_seen(cases, lambda seen: seen.clearance_m))
    return Figures(
        peak_g=_most(_seen(cases, lambda seen: seen.peak_g)),
        peak_tension_N=_most(_tensions(result, cases)),
        clearance_m=clearance,
        lowest_height_m=_least(_seen(cases, lambda seen: seen.lowest_height_m)),
        stopping_distance_m=_most([*_stopping(cases), *_stopping_at_every_instant(result)]),
        slack_s=_most(_seen(cases, lambda seen: seen.slack_s)),
        paid_out_m=_paid_out(result.cases[clearance.case]) if clearance else None,
        least_margin=_margin(result),
    )


def _seen(cases: Iterable[CaseResult], of: Callable[[PerformerResult], float | None]) -> list[Worst]:
    return [
        Worst(value, name, case.name)
        for case in cases
        for name, each in case.performers.items()
        if (value := of(each)) is not None
    ]


def _tensions(result: Result, cases: Iterable[CaseResult]) -> list[Worst]:
    lines = [line.name for line in result.drawing.lines]
    return [
        Worst(case.peaks[name].force_N, name, case.name, case.peaks[name].place)
        for case in cases
        for name in lines
        if name in case.peaks
    ]


def _stopping(cases: Iterable[CaseResult]) -> list[Worst]:
    return [
        Worst(each.stopping_distance_m, name, case.name)
        for case in cases
        for name, each in case.drives.items()
        if each.stopping_distance_m is not None
    ]


def _stopping_at_every_instant(result: Result) -> list[Worst]:
    """The longest of every sweep: the cases that are reported of it are the worst for force and floor only."""
    found = []
    for stop, table in result.sweeps.items():
        unfinished = np.zeros(len(table.stop_time_s), bool)
        unfinished[: len(table.causes)] = [bool(cause) for cause in table.causes]
        for name, column in table.columns.items():
            values = np.where(unfinished, np.nan, column)
            if name.startswith("stopping_distance_m:") and np.isfinite(values).any():
                at = int(np.nanargmax(values))
                where = f"{stop}, at {table.stop_time_s[at]:.2f} s"
                found.append(Worst(float(values[at]), name.partition(":")[2], where))
    return found


def _most(found: Iterable[Worst]) -> Worst | None:
    return max(found, key=lambda each: each.value, default=None)


def _least(found: Iterable[Worst]) -> Worst | None:
    return min(found, key=lambda each: each.value, default=None)


def _paid_out(case: CaseResult) -> float | None:
    drives = [drive for drive in case.drives.values() if drive.paid_out_m]
    return drives[0].paid_out_m if len(drives) == 1 else None


def _margin(result: Result) -> Margin | None:
    """What is nearest to its limit, of the elements' design factors and of what is asked for performers."""
    found = [margin_of_limit(each) for each in result.findings]
    for each in result.elements.values():
        load, left = deciding_load(each), least_margin(each)
        if load is not None and left is not None:
            factor, required = getattr(each.design_factor, load), getattr(each.required, load)
            found.append(Margin(left, each.name, load, factor, required))
    return min((each for each in found if each is not None), key=lambda each: each.margin, default=None)


def margin_of_limit(finding: Finding) -> Margin | None:
    """The margin of a limit beside the elements'; None where nothing was asked or found."""
    found, required, left = finding.found, finding.required, margin(finding)
    if found is None or required is None or left is None or finding.limit.startswith("design_factor"):
        return None
    return Margin(left, finding.of, finding.limit.replace("_", " "), found, required, finding.unit)
