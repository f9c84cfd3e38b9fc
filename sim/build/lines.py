"""Lines of a scenario: what they are made of, how they run, how long they are cut, how much they damp."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from profiles import Motion
from sim.build.parts import Parts
from sim.rig.curve import curve_pieces, slope_at, strain_at
from sim.rig.line import Cut, Line, Material, Place
from sim.scenario.model import Line as Spec
from sim.scenario.model import Scenario
from sim.strength.catalogue import LineData, NoSuchSize, StretchError, UnknownLineType
from sim.strength.own import line_data
from sim.strength.water import as_run_kg_per_m


def build_lines(scenario: Scenario, parts: Parts, motions: Mapping[str, Motion]) -> None:
    """Every line of the scenario; what cannot be built is added to the parts' sentences."""
    loads = _loads(scenario)
    for name, spec in scenario.lines.items():
        try:
            data = line_data(spec, name)
        except (UnknownLineType, NoSuchSize, StretchError, ValueError) as wrong:
            parts.sentences.append(f"{name}: {wrong.args[0] if wrong.args else wrong}")
            continue
        data = replace(data, mass_kg_per_m=as_run_kg_per_m(scenario, name, data))
        if any(place not in parts.on for place in spec.route):
            continue  # said already, where the missing part was built
        route = tuple(_place(scenario, place, parts) for place in spec.route)
        stretch = tuple((f, s) for f, s in data.stretch if f > 0)
        tau = _damping_time(scenario, name, spec, data, parts, motions, loads)
        parts.lines.append(
            Line(
                name,
                Material(
                    *(stretch, data.mass_kg_per_m, tau),
                    damping_limit=data.damping_limit,
                    bending_loss=data.bending_loss or 0.0,
                ),
                route,
                Cut(
                    spec.length.m if spec.length is not None else None,
                    spec.slack.m if spec.slack is not None else None,
                    spec.start_tension.N if spec.start_tension is not None else None,
                ),
                spec.elements_per_span,
            )
        )
        if data.bending_loss:
            parts.assume(
                f"{name}: {100 * data.bending_loss:.2g} % of the tension is lost in bending at every sheave that "
                "states no bending_loss of its own (catalogue)."
            )
        if data.textile and isinstance(spec.type, str):
            parts.assume(f"{name}: {spec.condition} line, {spec.stiffness} stretch curve of the catalogue.")


def _place(scenario: Scenario, name: str, parts: Parts) -> Place:
    kind = "sheave" if name in scenario.sheaves else "drive" if name in scenario.drives else "tied"
    return Place(name, parts.on[name], kind, parts.offset.get(name, (0.0, 0.0, 0.0)))


def _legs(scenario: Scenario, line: Spec, who: str) -> int:
    """How many spans of a line pull on a performer or counterweight: one where it ends, two where it turns on it."""
    points = scenario.performers[who].harness.points if who in scenario.performers else {}
    legs = sum(1 for end in (line.route[0], line.route[-1]) if end == who or end in points)
    carried = [n for n, s in scenario.sheaves.items() if s.carried_by == who]
    return legs + 2 * sum(1 for place in line.route[1:-1] if place in carried)


def _loads(scenario: Scenario) -> dict[str, tuple[float, int]]:
    """Per line: the mass that bounces on it (kg, its share where several lines bear one), and with how many spans."""
    out: dict[str, tuple[float, int]] = {}
    masses = {n: p.mass.kg for n, p in scenario.performers.items()} | {
        n: c.mass.kg for n, c in scenario.counterweights.items()
    }
    for who, mass in masses.items():
        legs = {n: _legs(scenario, line, who) for n, line in scenario.lines.items()}
        total = sum(legs.values())
        for n, count in legs.items():
            if count and n not in out:
                out[n] = (mass * count / total, count)
    return out


def _damping_time(
    scenario: Scenario,
    name: str,
    spec: Spec,
    data: LineData,
    parts: Parts,
    motions: Mapping[str, Motion],
    loads: Mapping[str, tuple[float, int]],
) -> float:
    """tau (s) of a damping ratio zeta of the bounce on the longest hang: 2 zeta / omega, omega of the mass on the line.

    A line of several elements a span is there for its waves: omega is then that of its own first wave, pi c / length,
    which damps the bounce less and so errs to the larger force.
    """
    if data.damping_time_s is not None:
        return data.damping_time_s
    ratio = data.damping_ratio or 0.0
    if ratio == 0.0:
        return 0.0
    heaviest = max(p.mass.kg for p in scenario.performers.values())
    mass, legs = loads.get(name, (heaviest, 1))
    way = [parts.position(place) for place in spec.route]
    length = sum(math.dist(a, b) for a, b in pairwise(way))
    if spec.length is not None:  # a line that starts slack hangs longer than the way between its ends
        length = max(length, spec.length.m)
    if spec.slack is not None:
        length += spec.slack.m
    length += max((motions[d].highest_position_m for d in (spec.route[0], spec.route[-1]) if d in motions), default=0.0)
    points = [(f, s) for f, s in data.stretch if f > 0]
    x, c = curve_pieces([s for _, s in points], [f for f, _ in points])
    weight = mass * scenario.environment.gravity.m_s2 / legs
    slope = slope_at(x, c, strain_at(x, c, weight))
    if spec.elements_per_span > 1 and data.mass_kg_per_m > 0:
        # Tuned at the slow bounce, this law would kill the very waves that several elements are asked for.
        omega = math.pi * math.sqrt(slope / data.mass_kg_per_m) / length
        what = f"of the line's own first wave over {length:.1f} m (several elements a span)"
    else:
        omega = math.sqrt(legs**2 * slope / length / mass)
        what = f"of the bounce of {mass:.0f} kg on its longest hang, {length:.1f} m,"
    tau = 2.0 * ratio / omega
    most = f", never more than {100 * data.damping_limit:.3g} % of the tension" if data.damping_limit < 1.0 else ""
    parts.assume(f"{name}: damping ratio {100 * ratio:.3g} % {what} is a damping time of {1e3 * tau:.2g} ms{most}.")
    return tau
