"""Made-up results for the figures: shapes as a run gives them, no mechanics behind them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sim.results.body import AboveLevel, BodyFigures
from sim.results.drawn import Drawing, DrawnLine, DrawnPoint
from sim.results.model import (
    Audit,
    CaseResult,
    DriveResult,
    ElementResult,
    Event,
    Factors,
    Outcome,
    Peak,
    PerformerResult,
    Result,
    SweepTable,
    Trace,
)

PERFORMERS = ("lamplighter", "Fire & $moke <2>_a")
LANTERN = "点灯夫"
STAMP = {"version": "0.1.0", "files": {"input.yaml": "sha256 " + "0123456789abcdef" * 4}, "tolerance": 1e-6}


def wiggle(time_s: np.ndarray, at_s: float, height: float, frequency_Hz: float) -> np.ndarray:
    """A decaying ring that starts at one moment."""
    after = np.clip(time_s - at_s, 0.0, None)
    return height * np.exp(-1.4 * after) * np.sin(2 * np.pi * frequency_Hz * after)


def simple_trace(performer: str = "lamplighter", duration_s: float = 6.0) -> Trace:
    t = np.arange(0.0, duration_s + 1e-9, 1 / 2000)
    speed = -6 * np.clip((t - 0.5) / 1.0, 0, 1) * np.clip((2.35 - t) / 0.35, 0, 1) + wiggle(t, 2.2, 0.8, 1.7)
    height = 11 + np.cumsum(speed) / 2000
    g = 1 - 0.6 * ((t > 0.5) & (t < 1.5)) + np.abs(wiggle(t, 2.0, 4.4, 1.7))
    load = 840 * g
    columns = {
        f"x_m:{performer}": np.full_like(t, 14.0), f"height_m:{performer}": height, f"speed_m_s:{performer}": speed,
        f"g:{performer}": g, f"g_cfc60:{performer}": 0.96 * g + 0.02,
        f"g_cfc180:{performer}": 0.98 * g + 0.01,
        "tension_N:drop line:winch -> lead sheave": 0.95 * load, "tension_N:drop line:lead sheave -> head sheave": load,
        f"tension_N:drop line:head sheave -> {performer}": 1.05 * load,
        "force_N:lead sheave": 1.41 * load, "force_N:head sheave": 1.45 * load, "force_N:winch": 0.95 * load,
        "force_N:hook shackle": 1.05 * load, "force_N:head sling": 0.84 * load,
        "paid_out_m:winch": 11 - height, "line_speed_m_s:winch": -speed,
    }  # fmt: skip
    return Trace(t, columns)


def peaks_of(trace: Trace) -> dict[str, Peak]:
    """Peaks as a run reports them, a little above the samples."""
    found: dict[str, Peak] = {}
    for name, values in trace.columns.items():
        quantity, _, rest = name.partition(":")
        if quantity not in ("force_N", "tension_N"):
            continue
        element, _, place = rest.partition(":")
        i = int(np.argmax(values))
        if element not in found or values[i] > found[element].force_N:
            found[element] = Peak(1.0001 * float(values[i]), float(trace.time_s[i]), place)
    return found


def case_of(name: str, trace: Trace, events: tuple[Event, ...], kind: str = "emergency", **more: object) -> CaseResult:
    performers = {}
    for name_ in [c.partition(":")[2] for c in trace.columns if c.startswith("height_m:")]:
        height, g = trace.columns[f"height_m:{name_}"], trace.columns[f"g:{name_}"]
        low, high = int(np.argmin(height)), int(np.argmax(g))
        performers[name_] = PerformerResult(
            float(g[high]) * 1.0001, float(trace.time_s[high]), 0.96 * float(g[high]) + 0.02, float(height[low]),
            float(trace.time_s[low]), float(height[low]) - 1.3, 6.0,
            body=BodyFigures(0.98 * float(g[high]) + 0.01, 2.5, 60.0, 4.0, (AboveLevel(2.0, 0.512, 0.9),)),
        )  # fmt: skip
    return CaseResult(
        name, kind, Outcome.FINISHED, duration_s=float(trace.time_s[-1]), performers=performers,
        drives={"winch": DriveResult(8.4, 6.0, 1.1, 0.4)}, peaks=peaks_of(trace), events=events,
        audit=Audit(1e-7, 3e-5, 1e-6, 20000, 900, 12, passed=True), **more,  # pyright: ignore[reportArgumentType]
    )  # fmt: skip


SIMPLE_EVENTS = (
    Event(0.5, "move starts", "winch"), Event(1.7, "full speed", "winch"), Event(1.94, "brake signal", "winch"),
    Event(2.02, "brake bites", "winch"), Event(2.08, "brake at full force", "winch"),
    Event(2.31, "drum stands", "winch"),
    Event(2.5, "line slack", "drop line"), Event(2.62, "line taut", "drop line"),
)  # fmt: skip


def simple_drawing(performer: str = "lamplighter") -> Drawing:
    points = (
        DrawnPoint("winch", "drive", (0, 0, 0.4)), DrawnPoint("lead sheave", "sheave", (0, 0, 12.6), 0.12),
        DrawnPoint("head sheave", "sheave", (14, 0, 12.6), 0.12), DrawnPoint(performer, "performer", (14, 0, 11)),
        DrawnPoint(f"{performer} body", "body", (14, 0, 9.7), 1.3),
    )  # fmt: skip
    path = tuple(p.position_m for p in points[:4])
    line = DrawnLine("drop line", ("winch", "lead sheave", "head sheave", performer), path)
    return Drawing(points, (line,), 0.0, {performer: ((14, 0, 11), (14, 0, 6), (14, 0, 2.6))})


def elements_of(cases: dict[str, CaseResult], kinds: dict[str, str]) -> dict[str, ElementResult]:
    found = {}
    for element in next(iter(cases.values())).peaks:
        worst = max(cases.values(), key=lambda c: c.peaks[element].force_N)
        peak = worst.peaks[element]
        found[element] = ElementResult(
            element, kinds.get(element, "hardware"), 840.0, 0.6 * peak.force_N, peak.force_N, worst.name, peak.time_s,
            peak.place, 29000.0, (), 26100.0, Factors(31, 13, 6), Factors(10, 5, 3), True,
        )  # fmt: skip
    if "head sling" in found:  # two legs, 30 degrees to the load
        whole = found["head sling"]
        found["head sling"] = replace(
            whole, working_N=0.5774 * whole.working_N, emergency_N=0.5774 * (whole.emergency_N or 0)
        )
    return found


def simple_sweep(name: str = "power loss") -> SweepTable:
    t = np.linspace(0.5, 4.0, 141)
    bump = np.exp(-(((t - 1.9) / 0.5) ** 2))
    columns = {
        "peak_g:lamplighter": 2.3 + 3 * bump, "force_N:drop line": 1900 + 2600 * bump,
        "force_N:drop line:winch -> lead sheave": 1800 + 2500 * bump,
        "force_N:drop line:head sheave -> lamplighter": 1900 + 2600 * bump, "force_N:head sling": 2700 + 3600 * bump,
        "force_N:head sheave": 2700 + 3600 * bump, "force_N:winch": 1800 + 2500 * bump,
        "lowest_height_m:lamplighter": 2.6 - 1.1 * bump, "stopping_distance_m:winch": 0.1 + 1.2 * bump,
    }  # fmt: skip
    return SweepTable(name, t, columns, ("",) * len(t))


def simple_result() -> Result:
    trace = simple_trace()
    planned = case_of("planned move", trace, SIMPLE_EVENTS[:2], "working")
    worst = case_of("power loss, worst force", trace, SIMPLE_EVENTS, stop_time_s=1.94)
    cases = {c.name: c for c in (planned, worst)}
    return Result(
        "The lamplighter's drop", "A", "rigging desk", "outside limits", (), cases,
        elements_of(cases, {"drop line": "line", "lead sheave": "sheave", "head sheave": "sheave", "winch": "drive"}),
        "head sling", dict.fromkeys(cases, trace), {"power loss": simple_sweep()}, simple_drawing(), STAMP,
        limits={"clearance_m": 0.3, "g_load": 6.0},
    )  # fmt: skip


def crowded_trace(performers: tuple[str, ...] = (*PERFORMERS, LANTERN), elements: int = 12) -> Trace:
    """Three performers, one line each over four sheaves, forces on twelve elements, ten noisy seconds at 2 kHz."""
    t = np.arange(0.0, 10.0 + 1e-9, 1 / 2000)
    noise = np.random.default_rng(7)
    columns: dict[str, np.ndarray] = {}
    for i, name in enumerate(performers):
        part = simple_trace(name, 10.0)
        shift = 200 * i
        for quantity in ("height_m", "speed_m_s", "g", "g_cfc60", "g_cfc180"):
            values = np.roll(part.columns[f"{quantity}:{name}"], shift)
            values[:shift] = values[shift]
            columns[f"{quantity}:{name}"] = (1 - 0.07 * i) * values
        columns[f"g:{name}"] = columns[f"g:{name}"] + 0.05 * noise.standard_normal(len(t))
    for name in performers:
        for a, b in (("winch", "lead sheave"), ("lead sheave", "head sheave"), ("head sheave", name)):
            column = f"tension_N:line of {name}:{a} -> {b}"
            columns[column] = 840 * columns[f"g:{name}"] + 30 * noise.standard_normal(len(t)) + 40 * len(columns)
    for i in range(elements):
        g = columns[f"g:{performers[i % len(performers)]}"]
        columns[f"force_N:element {i + 1}"] = (700 + 150 * i) * g + 40 * noise.standard_normal(len(t))
    return Trace(t, columns)


def crowded_result() -> Result:
    """The crowded trace with 200 stick-slip events and a few rare ones, its case's audit not passed."""
    trace = crowded_trace()
    sticky = tuple(
        Event(2.0 + 0.03 * i, "line slips" if i % 2 else "line sticks", f"sheave {i % 4}") for i in range(200)
    )
    case = case_of("power loss, worst force", trace, (*SIMPLE_EVENTS, *sticky), stop_time_s=1.94)
    failed = replace(case, audit=Audit(3e-3, 0.2, 1e-6, 9, 9, 9, False, "energy does not close to 1e-5"))
    cases = {failed.name: failed}
    names = [f"sheave {c}" for c in "abcdefgh"]
    return replace(
        simple_result(), title="Three in the air <&> $5_each$", cases=cases, traces={failed.name: trace},
        elements=elements_of(cases, {}), drawing=crowded_drawing(names), sweeps={},
    )  # fmt: skip


def crowded_drawing(sheaves: list[str]) -> Drawing:
    """Three performers flown in a room: sheaves close together, a bridle, a counterweight, all kinds."""
    points = [DrawnPoint("upstage truss", "mount", (6, 0, 9.2)), DrawnPoint("kick bar", "bar", (1.2, 0, 8.6), 0.05)]
    lines = []
    for i, name in enumerate((*PERFORMERS, LANTERN)):
        x, y = 4.0 + 3 * i, (-2.0, 0.5, 3.0)[i]
        lead, head = sheaves[2 * i], sheaves[2 * i + 1]
        run = (
            DrawnPoint(f"winch {i + 1}", "drive", (0.4 * i, y, 0.5)), DrawnPoint(lead, "sheave", (0.4 * i, y, 9), 0.15),
            DrawnPoint(head, "sheave", (x, y, 9), 0.15), DrawnPoint(name, "performer", (x, y, 5.0 - i)),
        )  # fmt: skip
        points += [*run, DrawnPoint(f"{name} body", "body", (x, y, 3.7 - i), 1.3)]
        lines.append(DrawnLine(f"line of {name}", tuple(p.name for p in run), tuple(p.position_m for p in run)))
    bridle = (
        DrawnPoint("left wall anchor", "anchor", (2, 4, 8)), DrawnPoint("bridle apex", "junction", (4, 4, 7)),
        DrawnPoint("right wall anchor with a rather long name", "anchor", (6, 4, 8)),
        DrawnPoint("counterweight", "counterweight", (4, 4, 2)),
    )  # fmt: skip
    apex, weight = bridle[1], bridle[3]
    for name, a, b in (("left leg", bridle[0], apex), ("right leg", bridle[2], apex), ("tail", apex, weight)):
        lines.append(DrawnLine(name, (a.name, b.name), (a.position_m, b.position_m)))
    paths = {name: ((4 + 3 * i, (-2.0, 0.5, 3.0)[i], 5.0 - i), (6 + 2 * i, 1.0, 3.0), (8, 2, 4.0))
             for i, name in enumerate((*PERFORMERS, LANTERN))}  # fmt: skip
    return Drawing((*points, *bridle), tuple(lines), 0.0, paths)


def gappy_result() -> Result:
    """The simple result with three runs of its sweep not finished, what they had reached still in the table."""
    result = simple_result()
    table = result.sweeps["power loss"]
    columns = {name: np.where(np.arange(len(c)) < 3, 99.0, c) for name, c in table.columns.items()}
    causes = tuple("failed: the step fell too low" if i < 3 else "" for i in range(len(table.stop_time_s)))
    return replace(result, sweeps={"power loss": SweepTable("power loss", table.stop_time_s, columns, causes)})
