"""Force of a winch's brakes at the line, over the arm of the layer the line is on."""

from __future__ import annotations

from sim.rig.drum import arm_m
from sim.scenario.model import Scenario
from sim.scenario.parts.drives import Brake, Winch


def brake_force_N(scenario: Scenario, winch: str, brake: Brake, least: bool = False) -> float:
    """At the line: as stated, or its torque over the arm of the outermost layer; least: the low end of its spread."""
    stated = brake.force or brake.torque
    assert stated is not None
    value = stated.low_si if least else stated.si
    return value if brake.force is not None else value / winch_arm_m(scenario, winch)


def winch_arm_m(scenario: Scenario, winch: str) -> float:
    """Arm of the outermost layer of line; of several lines the thickest counts."""
    spec = scenario.drives[winch]
    assert isinstance(spec, Winch)
    assert spec.drum_diameter is not None
    return arm_m(spec.drum_diameter.m, spec.layers, max(_diameters_m(scenario, winch), default=0.0))


def layers_unknown(scenario: Scenario, winch: str) -> str:
    """Why the arm of a winch's layers cannot be told; '' where it can."""
    spec = scenario.drives[winch]
    if not isinstance(spec, Winch) or spec.layers == 1 or _diameters_m(scenario, winch):
        return ""
    return f"{winch}: {spec.layers} layers, and no line on it has a diameter."


def _diameters_m(scenario: Scenario, winch: str) -> list[float]:
    return [x.diameter.m for x in scenario.lines.values() if winch in x.route and x.diameter is not None]
