"""Scenario texts for the outside checks, built from a few words: rigs so plain that a textbook has their answer.

Everything is told to the program the way a user would, as the text of a scenario file. Lines here are linear, nearly
massless (1 mg/m) and of one element a span unless a test says otherwise; performers are rigid.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Any

import yaml

import sim
from sim.results.model import Run
from sim.studies.failures import rig_failing, scenario_failing

G = 9.80665
Table = Mapping[str, Any]


class _Dumper(yaml.SafeDumper):
    """The format knows no aliases."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def number(value: float) -> str:
    """A number in the format's grammar, to 15 digits."""
    return f"{value:.15g}"


def of(value: float, unit: str) -> str:
    """A quantity as text."""
    return f"{number(value)} {unit}"


def at(x: float, y: float, z: float) -> list[str]:
    """A position as text."""
    return [of(v, "m") for v in (x, y, z)]


def scenario(
    *,
    performers: Table,
    lines: Table,
    duration_s: float,
    sheaves: Table | None = None,
    anchors: Table | None = None,
    drives: Table | None = None,
    counterweights: Table | None = None,
    junctions: Table | None = None,
    moves: Sequence[Table] = (),
    stops: Sequence[Table] = (),
    faults: Sequence[Table] = (),
    sample_rate_Hz: float = 2000.0,
    tolerance: float = 1e-8,
) -> str:
    """The text of a scenario file."""
    whole: dict[str, Any] = {"title": "outside check", "performers": performers, "lines": lines}
    parts = {
        "sheaves": sheaves, "anchors": anchors, "drives": drives, "counterweights": counterweights,
        "junctions": junctions, "moves": list(moves), "faults": list(faults),
    }  # fmt: skip
    whole |= {key: part for key, part in parts.items() if part}
    whole |= {"stops": list(stops) or "none", "limits": "none"}
    whole["run"] = {
        "duration": of(duration_s, "s"), "tolerance": number(tolerance), "sample_rate": of(sample_rate_Hz, "Hz")
    }  # fmt: skip
    return yaml.dump(whole, Dumper=_Dumper, sort_keys=False, allow_unicode=True)


def anchor(x: float, y: float, z: float) -> dict[str, Any]:
    """An anchor at a place."""
    return {"at": at(x, y, z)}


HOOK_KG = 1e-6


def performer(mass_kg: float, place: list[str], release_s: float | None = None) -> dict[str, Any]:
    """A rigid performer hanging, or held until a release."""
    table: dict[str, Any] = {
        "mass": of(mass_kg - HOOK_KG, "kg"), "hook_mass": of(HOOK_KG, "kg"), "at": place, "harness": "rigid"
    }  # fmt: skip
    return table if release_s is None else table | {"start": "held", "release": of(release_s, "s")}


def line(
    stretch_stiffness_N: float,
    route: Sequence[str],
    *,
    damping_s: float = 0.0,
    mass_kg_m: float = 1e-6,
    elements: int = 1,
    length_m: float | None = None,
    start_tension_N: float | None = None,
) -> dict[str, Any]:
    """A linear line along a route."""
    table: dict[str, Any] = {
        "type": {
            "stiffness_EA": of(stretch_stiffness_N, "N"),
            "mass_per_length": of(mass_kg_m, "kg/m"),
            "damping_time": of(damping_s, "s"),
        },
        "route": list(route),
        "elements_per_span": str(elements),
    }
    if length_m is not None:
        table["length"] = of(length_m, "m")
    if start_tension_N is not None:
        table["start_tension"] = of(start_tension_N, "N")
    return table


def sheave(
    place: list[str] | None = None,
    *,
    tread_m: float = 0.12,
    journal: float = 0.0,
    inertia_kg_m2: float = 0.0,
    bending: float = 0.0,
    mass_kg: float | None = None,
    carried_by: str | None = None,
) -> dict[str, Any]:
    """A sheave. journal: friction on the pin times pin over tread diameter (the pin is a tenth of the tread)."""
    table: dict[str, Any] = {
        "tread_diameter": of(tread_m, "m"),
        "bearing": {"friction": number(10.0 * journal), "pin_diameter": of(0.1 * tread_m, "m")},
        "bending_loss": of(100.0 * bending, "%"),
    }
    table |= {"inertia": of(inertia_kg_m2, "kg m^2")} if mass_kg is None else {"mass": of(mass_kg, "kg")}
    return table | ({"at": place} if carried_by is None else {"carried_by": carried_by, "offset": at(0, 0, 0)})


def bar(place: list[str], line_friction: float) -> dict[str, Any]:
    """A bar that does not turn."""
    return {"at": place, "turns": "no", "line_friction": number(line_friction), "bending_loss": "0 %"}


def winch(place: list[str], moving_kg: float = 60.0, brakes: Sequence[Table] = ()) -> dict[str, Any]:
    """A winch that follows its move exactly."""
    table: dict[str, Any] = {"kind": "winch", "at": place, "control": "exact", "moving_mass": of(moving_kg, "kg")}
    return table | ({"brakes": list(brakes)} if brakes else {})


AT_ONCE_M_S2 = 1e6
"""An acceleration that takes microseconds to any speed here: an instant start or stop."""


def move(
    distance_m: float,
    speed_m_s: float,
    acceleration_m_s2: float = AT_ONCE_M_S2,
    deceleration_m_s2: float = AT_ONCE_M_S2,
    *,
    start_s: float = 0.0,
    jerk_m_s3: float | None = None,
    drive: str = "winch",
) -> dict[str, Any]:
    """A move of a drive: paid out when the distance is positive, taken in when negative."""
    table = {
        "drive": drive,
        "start": of(start_s, "s"),
        "pay_out" if distance_m > 0 else "take_in": of(abs(distance_m), "m"),
        "speed": of(speed_m_s, "m/s"),
        "acceleration": of(acceleration_m_s2, "m/s^2"),
        "deceleration": of(deceleration_m_s2, "m/s^2"),
    }
    return table if jerk_m_s3 is None else table | {"jerk": of(jerk_m_s3, "m/s^3")}


def run(text: str, *, pure_damping: bool = False) -> Run:
    """The planned case of a scenario text. pure_damping: the textbook Kelvin-Voigt law, which a file cannot ask for."""
    asked = sim.read_text(text, "outside check")
    rig = sim.build_rig(asked)
    if pure_damping:
        pure = [dataclasses.replace(x, material=dataclasses.replace(x.material, damping="pure")) for x in rig.lines]
        rig = dataclasses.replace(rig, lines=tuple(pure))
    return _audited(sim.simulate(rig, sim.planned_case(rig), tolerance=asked.run.tolerance))


def run_stop(text: str, name: str) -> Run:
    """The stop or failure of that name of a scenario text, at its one instant."""
    asked = sim.read_text(text, "outside check")
    order = next(stop for stop in sim.build_rig(asked).stops if stop.name == name)
    assert order.time_s is not None
    rig = rig_failing(sim.build_rig(scenario_failing(asked, order.failure)), order.failure)
    return _audited(sim.simulate(rig, sim.stop_case(rig, order, order.time_s), tolerance=asked.run.tolerance))


def _audited(found: Run) -> Run:
    assert found.case.audit is not None
    assert found.case.audit.passed, found.case.audit
    return found
