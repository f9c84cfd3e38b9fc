"""What a run and a whole scenario leave behind: frozen, plain SI, one definition of every number.

Plots, tables, files and verdict all read these objects; nothing computes a result a second time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from sim.results.body import BodyFigures
from sim.results.drawn import Drawing
from sim.results.finding import Finding, RangeFinding
from sim.results.lines import LineFigures
from sim.results.notebook import page_of

Floats = NDArray[np.float64]


class Outcome(StrEnum):
    """How a run ended."""

    FINISHED = "finished"
    STOPPED = "stopped by an event"
    FAILED = "failed"


@dataclass(frozen=True)
class Event:
    """One discontinuity the integration was restarted at: time, what happened, where, and a value if it has one."""

    time_s: float
    what: str
    where: str
    value: float | None = None
    unit: str | None = None


@dataclass(frozen=True)
class Audit:
    """How far a run can be trusted.

    energy_residual: largest |energy in - energy out| over the energy turned over, dimensionless.
    peak_change: largest relative change of any peak when repeated at a tenth of the tolerance (None: not repeated).
    """

    energy_residual: float
    peak_change: float | None
    tolerance: float
    evaluations: int
    steps: int
    restarts: int
    passed: bool
    remark: str = ""


@dataclass(frozen=True)
class PerformerResult:
    """What one performer sees in one case. g values are force felt over weight, 1 at rest on the line."""

    peak_g: float
    peak_g_time_s: float
    peak_g_cfc60: float | None
    lowest_height_m: float
    lowest_height_time_s: float
    clearance_m: float | None
    top_speed_m_s: float
    landing_speed_m_s: float | None = None
    slack_s: float = 0.0
    """How long all lines together pull on the performer by less than a twentieth of the weight."""
    body: BodyFigures | None = None


SHORT_OF_MOVES = "away from where its moves lead"
"""Stands in the remark on a drive that cannot do what its moves ask: what follows is of another move than planned."""


@dataclass(frozen=True)
class DriveResult:
    """What one drive did in one case; stopping figures count from the stop to standstill."""

    paid_out_m: float
    top_speed_m_s: float
    stopping_distance_m: float | None = None
    stopping_time_s: float | None = None
    brake_slip_m: float | None = None

    @property
    def runs_on(self) -> bool:
        """True where it was told to stop and still moved when the run ended: its distance is no stopping distance."""
        return self.stopping_distance_m is not None and self.stopping_time_s is None


@dataclass(frozen=True)
class Peak:
    """The largest force on an element in one case (N), when (s) and, for a line, in which span."""

    force_N: float
    time_s: float
    place: str = ""


@dataclass(frozen=True)
class End:
    """One input that a run takes at an end of its stated spread.

    what: 'mass', 'brake force', 'brake delay' ... of: whose. end: which end, in words. value: in `unit`, SI.
    """

    what: str
    of: str
    end: str
    value: float
    unit: str


@dataclass(frozen=True)
class CaseResult:
    """One simulated case. kind is 'working' or 'emergency'. ends: what was not as stated but at its spread's end."""

    name: str
    kind: str
    outcome: Outcome
    reason: str = ""
    remedy: str = ""
    stop_time_s: float | None = None
    duration_s: float = 0.0
    performers: Mapping[str, PerformerResult] = field(default_factory=dict)
    drives: Mapping[str, DriveResult] = field(default_factory=dict)
    peaks: Mapping[str, Peak] = field(default_factory=dict)
    """Per element name: line, sheave, anchor, mount, drive, harness, hardware."""
    static_N: Mapping[str, float] = field(default_factory=dict)
    """Per element name: the force at rest before anything moves."""
    events: tuple[Event, ...] = ()
    audit: Audit | None = None
    remarks: tuple[str, ...] = ()
    ends: tuple[End, ...] = ()


@dataclass(frozen=True)
class Trace:
    """Sampled history of one case: time_s (n,) and named columns (n,) each; names as the scenario format has them."""

    time_s: Floats
    columns: Mapping[str, Floats]


@dataclass(frozen=True)
class Run:
    """One case simulated: its figures and its history."""

    case: CaseResult
    trace: Trace


@dataclass(frozen=True)
class Reduction:
    """One factor (at most 1) on an element's strength, where it acts and where the number comes from."""

    what: str
    at: str
    factor: float
    source: str
    needs_evidence: bool = False


@dataclass(frozen=True)
class Factors:
    """Three numbers that belong together: on the static, the working and the emergency load.

    None: not asked or not judged.
    """

    static: float | None = None
    working: float | None = None
    emergency: float | None = None


@dataclass(frozen=True)
class Load:
    """Where and when the force of one class comes from that leaves an element the least strength for its force.

    strength_N: after the reductions of that place. margin: design factor over what is required, less one; None where
    nothing is required or nothing was stated.
    """

    case: str
    time_s: float
    place: str = ""
    strength_N: float | None = None
    margin: float | None = None


@dataclass(frozen=True)
class PlaceResult:
    """One place of an element that can fail at several: an end of a line, a sheave it is bent over, a span.

    kind: 'termination', 'bend' or 'span'. Forces in N; everything else as of the whole element, for this place alone.
    """

    name: str
    kind: str
    static_N: float
    working_N: float
    emergency_N: float | None
    reductions: tuple[Reduction, ...]
    loads: Mapping[str, Load]
    design_factor: Factors
    margin: float | None = None
    needs_evidence: bool = False


@dataclass(frozen=True)
class ElementResult:
    """What one element bears over all cases and what it can bear. Forces in N.

    worst_case, worst_time_s, worst_place, reductions and strength_N are those of the load with the least margin;
    `loads` has case, instant, place, strength and margin of each load by 'static', 'working' and 'emergency'.
    margin: the least of them, available over required less one: below 0 is outside. needs_evidence: no published
    source and no paper stands behind its strength or behind something that is taken from it.
    """

    name: str
    kind: str
    static_N: float
    working_N: float
    emergency_N: float | None
    worst_case: str
    worst_time_s: float
    worst_place: str
    breaking_strength_N: float | None
    reductions: tuple[Reduction, ...]
    strength_N: float | None
    design_factor: Factors
    required: Factors
    within: bool | None
    """None: not judged (why, in remark)."""
    remark: str = ""
    strength_origin: str = ""
    loads: Mapping[str, Load] = field(default_factory=dict)
    margin: float | None = None
    needs_evidence: bool = False
    places: tuple[PlaceResult, ...] = ()
    """Every place of a line; none where an element fails at one place only."""


STOP = "stop"
"""What happens at the instants of a sweep of stops."""


@dataclass(frozen=True)
class SweepTable:
    """One row per stop instant of an 'every instant' stop, in order of time, closest together around the worst.

    happens: what does at each instant, a stop, or a failure in words.
    columns: peak g, least clearance, lowest height, time of slack per performer, peak force per element and span,
    stopping distance per drive; all (n,), and each the worst of all ends of spreads that were run.
    """

    name: str
    stop_time_s: Floats
    columns: Mapping[str, Floats]
    causes: tuple[str, ...] = ()
    """Per row: empty, or why that run did not finish."""
    happens: str = STOP


@dataclass(frozen=True)
class Result:
    """Everything one scenario gave. verdict: 'within limits', 'outside limits', 'not judged' or 'not finished'."""

    title: str
    revision: str
    prepared_by: str
    verdict: str
    findings: tuple[Finding, ...]
    cases: Mapping[str, CaseResult]
    elements: Mapping[str, ElementResult]
    weakest: str | None
    traces: Mapping[str, Trace]
    sweeps: Mapping[str, SweepTable]
    drawing: Drawing
    stamp: Mapping[str, object]
    assumptions: tuple[str, ...] = ()
    not_simulated: tuple[str, ...] = ()
    helps: str = ""
    """Which one change would help the weakest element most, in a sentence."""
    lines: Mapping[str, LineFigures] = field(default_factory=dict)
    """What else a rigger asks, by line: energy at break, own weight and sag, and so on. Nothing here is judged."""
    ranges: tuple[RangeFinding, ...] = ()
    """What limits and elements come to where lines are stiffer, softer or less damped, as their data allow: those that
    get worse, outside first. They do not enter the verdict, which is of the lines as stated."""
    limits: Mapping[str, float] = field(default_factory=dict)
    """The limits drawn in plots: keys 'clearance_m', 'g_load', 'landing_speed_m_s', when asked for."""
    exit_status: int = 0

    def _repr_html_(self) -> str | None:
        """The result in a notebook; None, so that it is shown as text, where nothing that draws has been imported."""
        return page_of(self)
