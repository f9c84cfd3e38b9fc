"""A made-up case that moves, for the tests of moving drawings: what the drawing must show is known by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sim.results.drawn import Carried, DrawnLine, DrawnPoint
from sim.results.model import Event, Result, Trace
from tests.plots import builders

NASTY = '</script><img src=x onerror="alert(1)">{{7*7}}&<b>'


def moving_result(performer: str = "lamplighter") -> Result:
    """The simple result with a bridle: two legs from a ring to the hips, the left one parted from 2 s on."""
    result = builders.simple_result()
    trace, drawing = builders.simple_trace(performer), builders.simple_drawing(performer)
    t, height = trace.time_s, trace.columns[f"height_m:{performer}"]
    taut = np.ones_like(t)
    columns = {
        **trace.columns,
        f"y_m:{performer}": np.zeros_like(t), f"body_height_m:{performer}": height - 1.3,
        f"total_speed_m_s:{performer}": np.abs(trace.columns[f"speed_m_s:{performer}"]),
        "x_m:ring": np.full_like(t, 14.0), "y_m:ring": 0.1 * np.sin(t), "z_m:ring": height + 0.8,
        "taut:drop line:winch -> lead sheave": taut, "taut:drop line:lead sheave -> head sheave": taut,
        "taut:drop line:head sheave -> ring": taut, "taut:left leg:ring -> left hip": np.where(t < 2.0, 1.0, 0.0),
    }  # fmt: skip
    ring, hip = DrawnPoint("ring", "junction", (14, 0, 11.8)), (14.0, 0.25, 11.0)
    main = replace(drawing.lines[0], through=("winch", "lead sheave", "head sheave", "ring"), path_m=(
        *drawing.lines[0].path_m[:3], ring.position_m))  # fmt: skip
    leg = DrawnLine("left leg", ("ring", "left hip"), (ring.position_m, hip))
    drawn = replace(
        drawing, points=(*drawing.points, ring), lines=(main, leg),
        carried={performer: Carried(performer), "ring": Carried("ring"), "left hip": Carried(performer, (0, 0.25, 0))},
    )  # fmt: skip
    events = (*builders.SIMPLE_EVENTS, Event(2.0, "line parts", "left leg"))
    whole = Trace(t, columns)
    bare = Trace(t, {n: c for n, c in columns.items() if n.partition(":")[2] != "ring"})
    cases = {
        name: builders.case_of(name, bare, events, case.kind, stop_time_s=case.stop_time_s)
        for name, case in result.cases.items()
    }
    return replace(result, cases=cases, traces=dict.fromkeys(cases, whole), drawing=drawn)


def nasty_result() -> Result:
    """The same with markup, script and template code for names."""
    result = moving_result(NASTY)
    case = replace(result.cases["planned move"], name=NASTY, remarks=(NASTY,), events=(Event(1.0, NASTY, NASTY),))
    trace = result.traces["planned move"]
    return replace(result, title=NASTY, revision=NASTY, cases={NASTY: case}, traces={NASTY: trace})
