"""What of a result is drawn beside those of other variants: its sweeps, and the cases of no sweep, thinned out."""

from __future__ import annotations

from dataclasses import replace

from sim.results.comparison import Curves, History
from sim.results.model import Result, Trace

_DRAWN = ("height_m:", "g:", "tension_N:")
_DRAWN_SAMPLES = 4000
"""Samples kept of a history that is drawn beside others; peaks are marked from the case's figures."""


def curves_of(result: Result) -> Curves:
    """The curves of one variant, from its result with its histories."""
    cases, traces = result.cases, result.traces
    planned = [traces[name] for name, case in cases.items() if case.stop_time_s is None and name in traces]
    stems = [f"{name}, " for name in (*result.sweeps, *cases)]  # what is worst in a stop is named after it
    own = [name for name in cases if name in traces and not name.startswith(tuple(stems))]
    return Curves(
        result.sweeps,
        _only(planned[0], ("line_speed_m_s:",)) if planned else None,
        {name: History(replace(cases[name], events=()), _thinned(_only(traces[name], _DRAWN))) for name in own},
    )


def _only(trace: Trace, starts: tuple[str, ...]) -> Trace:
    """The columns whose names begin so."""
    return Trace(trace.time_s, {name: column for name, column in trace.columns.items() if name.startswith(starts)})


def _thinned(trace: Trace) -> Trace:
    every = max(1, len(trace.time_s) // _DRAWN_SAMPLES)
    columns = {name: column[::every].copy() for name, column in trace.columns.items()}
    return Trace(trace.time_s[::every].copy(), columns)
