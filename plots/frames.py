"""The pictures of a moving drawing: samples of a case's trace, taken as they are, by the names of the drawing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sim.results.drawn import Drawing
from sim.results.model import CaseResult, Floats, Result, Trace

Places = NDArray[np.float64]
"""(frames, 3): x, y, z of a place, m."""

_RATE_HZ = 30.0
_MOST_FRAMES = 900
_MOST_EVENTS = 60


@dataclass(frozen=True)
class Reading:
    """One figure that is shown with each frame: what it is called, its SI unit and its values, SI (frames,)."""

    name: str
    unit: str
    values: Floats


@dataclass(frozen=True)
class Frames:
    """Where everything is at each frame. places: of every drawn place that moves. feet: the lowest part of each body,
    by the body's name, with the suspension point it hangs from. taut: by line, (frames, spans), where it bears.
    """

    time_s: Floats
    places: Mapping[str, Places]
    feet: Mapping[str, tuple[str, Places]]
    taut: Mapping[str, NDArray[np.bool_]]
    readings: tuple[Reading, ...]


def frames(result: Result, case_name: str, rate_Hz: float = _RATE_HZ, named: bool = True) -> Frames:
    """The frames of a case: so many a second, fewer where the case is long.

    named: the samples nearest to the case's own peaks, lowest heights and events are among them.

    Raises:
        KeyError: where the result has no such case or no trace of it.
        ValueError: where the trace does not say where the performers are.
    """
    case, trace = result.cases[case_name], result.traces[case_name]
    if not len(trace.time_s):
        raise ValueError(f"the trace of {case_name!r} is empty")
    at = _samples(trace.time_s, rate_Hz, _moments(case) if named else ())
    columns = {name: values[at] for name, values in trace.columns.items()}
    places = _places(result.drawing, columns)
    if missing := [p.name for p in result.drawing.points if p.kind == "performer" and p.name not in places]:
        raise ValueError(f"the trace of {case_name!r} does not say where {', '.join(missing)} is")
    return Frames(
        time_s=trace.time_s[at],
        places=places,
        feet=_feet(result.drawing, places, columns),
        taut={line.name: _taut(line.name, line.through, columns, len(at)) for line in result.drawing.lines},
        readings=tuple(_readings(case, columns)),
    )


def _samples(time_s: Floats, rate_Hz: float, moments_s: Iterable[float]) -> NDArray[np.int64]:
    """Which samples of a trace are shown."""
    span_s = float(time_s[-1] - time_s[0])
    count = int(max(2, min(_MOST_FRAMES, round(span_s * rate_Hz) + 1)))
    wanted = [*np.linspace(time_s[0], time_s[-1], count), *moments_s]
    later = np.clip(np.searchsorted(time_s, wanted), 1, len(time_s) - 1) if len(time_s) > 1 else np.zeros(1, np.int64)
    nearer = later - (np.abs(time_s[later - 1] - wanted) < np.abs(time_s[later] - wanted))
    return np.unique(nearer)


def _moments(case: CaseResult) -> list[float]:
    """The instants a case has figures of."""
    moments = [peak.time_s for peak in case.peaks.values()]
    moments += [t for p in case.performers.values() for t in (p.peak_g_time_s, p.lowest_height_time_s)]
    moments += [case.stop_time_s] if case.stop_time_s is not None else []
    return [*moments, *(event.time_s for event in case.events[:_MOST_EVENTS])]


# --- where everything is --------------------------------------------------------------------------------------------


def _places(drawing: Drawing, columns: Mapping[str, Floats]) -> dict[str, Places]:
    """Of every place of the drawing that moves, by its own columns (as of a sheave that is lost) or its carrier's."""
    start = {p.name: p.position_m for p in drawing.points}
    start |= {name: place for line in drawing.lines for name, place in zip(line.through, line.path_m, strict=True)}
    found = {}
    for name, at_first in start.items():
        own, carried = _of_columns(columns, name, at_first), drawing.carried.get(name)
        if own is None and carried is not None:
            by = _of_columns(columns, carried.by, start.get(carried.by, at_first))
            own = None if by is None else by + np.array(carried.offset_m)
        if own is not None:
            found[name] = own
    return found


def _of_columns(columns: Mapping[str, Floats], name: str, at_first: tuple[float, float, float]) -> Places | None:
    """The place of that name by its columns; along an axis it has none of, it stays where it is at first."""
    height = columns.get(f"height_m:{name}", columns.get(f"z_m:{name}"))
    if height is None:
        return None
    x, y = (columns.get(f"{axis}:{name}", np.full_like(height, at_first[i])) for i, axis in enumerate(("x_m", "y_m")))
    return np.column_stack((x, y, height))


def _feet(
    drawing: Drawing, places: Mapping[str, Places], columns: Mapping[str, Floats]
) -> dict[str, tuple[str, Places]]:
    """The lowest part of each body, straight below the body's own place, or below the suspension point."""
    found = {}
    for point in drawing.points:
        who = point.name.removesuffix(" body")
        if point.kind == "body" and who in places and f"body_height_m:{who}" in columns:
            over = places.get(point.name, places[who])
            found[point.name] = (who, np.column_stack((over[:, 0], over[:, 1], columns[f"body_height_m:{who}"])))
    return found


def _taut(line: str, through: tuple[str, ...], columns: Mapping[str, Floats], count: int) -> NDArray[np.bool_]:
    spans = [f"taut:{line}:{a} -> {b}" for a, b in pairwise(through)]
    return np.column_stack([columns.get(name, np.ones(count)) == 1.0 for name in spans])


# --- what is read off -----------------------------------------------------------------------------------------------


def _readings(case: CaseResult, columns: Mapping[str, Floats]) -> Iterable[Reading]:
    for who in case.performers:
        for column, what, unit in (
            ("height_m", "height", "m"),
            ("total_speed_m_s", "speed", "m/s"),
            ("g", "g load", ""),
        ):
            if f"{column}:{who}" in columns:
                yield Reading(f"{who}: {what}", unit, columns[f"{column}:{who}"])
    for column, values in columns.items():
        if column.startswith("tension_N:"):
            line, _, span = column.removeprefix("tension_N:").partition(":")
            yield Reading(f"{line}, {span.replace(' -> ', ' → ')}: tension", "N", values)


def trace_of_path(trace: Trace, name: str) -> list[tuple[float, float, float]]:
    """Where a performer goes in a case, some 400 places of it."""
    if any(f"{axis}:{name}" not in trace.columns for axis in ("x_m", "y_m", "height_m")):
        raise ValueError(f"the trace does not say where {name!r} is")
    every = max(1, len(trace.time_s) // 400)
    columns = [trace.columns[f"{axis}:{name}"][::every] for axis in ("x_m", "y_m", "height_m")]
    return [(float(x), float(y), float(z)) for x, y, z in zip(*columns, strict=True)]
