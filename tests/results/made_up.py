"""A result made up for the tests of files, tables and pages: every field filled, no figure computed by the program."""

from __future__ import annotations

import math

import numpy as np

from sim.results.drawn import Carried, Drawing, DrawnLine, DrawnPoint
from sim.results.folder import Inputs
from sim.results.model import (
    Audit,
    CaseResult,
    DriveResult,
    ElementResult,
    End,
    Event,
    Factors,
    Finding,
    Load,
    Outcome,
    Peak,
    PerformerResult,
    Reduction,
    Result,
    SweepTable,
    Trace,
)
from tests.results.made_up_lines import made_up_lines

INPUTS = Inputs(
    scenario="title: The drop\r\n# größer\n".encode(),
    full_scenario="title: The drop\nfloor: 0 m\n",
    files={"takes/one.csv": b"time_s,paid_out_m\n0,0\n", "../up/two.csv": b"2", "traces/three.csv": b"3"},
)


def _case(name: str, kind: str, peak_g: float, stop_time_s: float | None = None) -> CaseResult:
    return CaseResult(
        name=name,
        kind=kind,
        outcome=Outcome.FINISHED,
        stop_time_s=stop_time_s,
        duration_s=4.25,
        performers={
            "lamplighter": PerformerResult(
                peak_g=peak_g,
                peak_g_time_s=1.0 / 3.0,
                peak_g_cfc60=peak_g - 0.02,
                lowest_height_m=2.61,
                lowest_height_time_s=2.2,
                clearance_m=1.31,
                top_speed_m_s=6.0,
            )
        },
        drives={
            "winch": DriveResult(
                8.4, 6.0, stopping_distance_m=0.7 if stop_time_s else None, stopping_time_s=0.4 if stop_time_s else None
            )
        },
        peaks={"drop line": Peak(4210.123456789, 2.03, "head sheave -> lamplighter"), "head sling": Peak(7000.0, 2.04)},
        static_N={"drop line": 830.0, "head sling": 1500.0},
        events=(Event(0.5, "move starts", "winch"), Event(2.0, "slack", "drop line", 3.25, "m/s")),
        audit=Audit(1.2e-7, 3e-5, 1e-6, 20000, 3000, 12, True),
        remarks=("the body does not rotate",),
        ends=(End("mass", "lamplighter", "heaviest", 87.0, "kg"),) if stop_time_s else (),
    )


def _element(name: str, kind: str, factor: float, within: bool | None) -> ElementResult:
    known = within is not None
    return ElementResult(
        name=name,
        kind=kind,
        static_N=830.0,
        working_N=1900.0,
        emergency_N=4210.123456789,
        worst_case="power loss, worst force",
        worst_time_s=2.03,
        worst_place="head sheave -> lamplighter",
        breaking_strength_N=29000.0,
        reductions=(Reduction("long splice", "lamplighter", 0.9, "value from memory", True),),
        strength_N=26100.0 if within is not None else None,
        design_factor=Factors(31.4, 13.7, factor) if within is not None else Factors(),
        required=Factors(10.0, 5.0, 3.0),
        within=within,
        remark="" if known else "no strength is given",
        strength_origin="certificate",
        loads={
            "static": Load("planned move", 0.0, strength_N=26100.0 if known else None, margin=2.14 if known else None),
            "emergency": Load(
                "power loss, worst force",
                2.03,
                "head sheave -> lamplighter",
                26100.0 if known else None,
                factor / 3.0 - 1.0 if known else None,
            ),
        },
        margin=factor / 3.0 - 1.0 if known else None,
        needs_evidence=True,
    )


def made_up_result() -> Result:
    """A result with a case of each kind, elements within, outside and not judged, and a sweep with a failed run."""
    time_s = np.linspace(0.0, 4.25, 851)
    names = ("height_m:lamplighter", "g:lamplighter", "tension_N:drop line:winch -> lead sheave")
    columns = {name: np.round(1000.0 * np.sin(time_s * (i + 1)), 5) for i, name in enumerate(names)}
    cases = {
        each.name: each
        for each in (
            _case("planned move", "working", 2.31),
            _case("operator stop", "working", 2.5, 2.0),
            _case("power loss, worst force", "emergency", 6.4, 1.94),
        )
    }
    elements = {
        each.name: each
        for each in (
            _element("drop line", "line", 6.2, True),
            _element("head sling", "hardware", 2.4, False),
            _element("grid bolt", "anchor", 0.0, None),
        )
    }
    stops_s = np.array([0.5, 1.94, 2.0])
    return Result(
        title="The lamplighter's drop",
        revision="A",
        prepared_by="rigging desk",
        verdict="outside limits",
        findings=(
            Finding("g_load", "lamplighter", "power loss, worst force", 6.4, 6.0, "", False),
            Finding("clearance", "lamplighter", "planned move", 1.31, 0.3, "m", True),
            Finding("design_factor", "grid bolt", "planned move", None, None, "", None, "no strength is given"),
        ),
        cases=cases,
        elements=elements,
        weakest="head sling",
        traces={name: Trace(time_s, columns) for name in cases},
        sweeps={
            "power loss": SweepTable(
                "power loss",
                stops_s,
                {
                    "peak_g:lamplighter": np.array([2.0, 6.4, np.nan]),
                    "force_N:drop line": np.array([1 / 3, 4210.1, 5e-9]),
                },
                ("", "", 'the step fell below 1e-9 s, "stuck"'),
                "drop line: line parts",
            )
        },
        drawing=Drawing(
            points=(DrawnPoint("lamplighter", "performer", (14.0, 0.0, 11.0)),),
            lines=(DrawnLine("drop line", ("winch", "lamplighter"), ((0.0, 0.0, 0.4), (14.0, 0.0, 11.0))),),
            floor_m=0.0,
            paths_m={"lamplighter": ((14.0, 0.0, 11.0), (14.0, 0.0, 2.6))},
            carried={"lamplighter": Carried("lamplighter"), "left hip": Carried("lamplighter", (0.0, 0.2, 0.0))},
        ),
        stamp={"version": "0.1.0", "tolerance": 1e-6, "seed": None},
        assumptions=("the lead sling's strength is assumed",),
        not_simulated=("faults: late brake",),
        lines=made_up_lines(),
        limits={"clearance_m": 0.3, "g_load": 6.0},
        exit_status=1,
    )


def strange_result() -> Result:
    """The same with what a file cannot hold plainly: infinity, not a number, names that are no file names."""
    plain = made_up_result()
    odd = _case("up/down: ../x", "working", math.inf)
    twin = _case("up-down- ..-x", "working", math.nan)
    trace = plain.traces["planned move"]
    return Result(
        **{
            **{name: getattr(plain, name) for name in plain.__dataclass_fields__},
            "cases": {odd.name: odd, twin.name: twin},
            "traces": {odd.name: trace, twin.name: Trace(trace.time_s[:0], {"g:lamplighter": trace.time_s[:0]})},
            "sweeps": {"a": plain.sweeps["power loss"], "b/c": plain.sweeps["power loss"]},
        }
    )
