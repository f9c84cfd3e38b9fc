"""Rigs at the edge of what anybody could mean: legal, and far from any stage. Each with a stop and a failure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import yaml


@dataclass(frozen=True)
class Extreme:
    """A winch line over sheaves to a performer. SI throughout; friction: of the bearings, on a pin of a fifth."""

    hang_m: float = 5.0
    span_m: float = 10.0
    mass_kg: float = 80.0
    EA_kN: float = 800.0
    line_g_per_m: float = 30.0
    sheaves: int = 2
    friction: float = 0.1
    bending_percent: float = 1.0
    bar: float | None = None
    damping_ms: float = 1.0
    elements: int = 1
    speed_m_s: float = 2.0
    move_m: float = 2.0
    acceleration_m_s2: float = 4.0
    brake_N: float | None = None
    moving_mass_kg: float | None = None
    harness: Mapping[str, str] | str = field(default_factory=lambda: {"stiffness": "45 kN/m", "damping_ratio": "0.15"})
    hook_kg: float | None = None
    sheave_kg: float = 0.5
    tread_mm: float = 120.0
    gravity_m_s2: float = 9.80665
    direction: str = "pay_out"
    when: str = "0.6 s"
    more: Mapping[str, Any] = field(default_factory=dict)

    def text(self) -> str:
        """As a scenario."""
        top = self.hang_m + 10.0
        names = [f"sheave {i}" for i in range(self.sheaves)]
        apart = self.span_m / max(self.sheaves - 1, 1)
        heights = [top + (0.3 * apart if i % 2 else 0.0) for i in range(self.sheaves)] or [top]
        winch_m = top - self.hang_m if names else top
        line_type = {
            "stiffness_EA": f"{self.EA_kN:g} kN",
            "mass_per_length": f"{self.line_g_per_m:g} g/m",
            "damping_time": f"{self.damping_ms:g} ms",
            "breaking_strength": f"{self.EA_kN / 40:g} kN",
        }
        winch = {
            "kind": "winch",
            "at": _at(-self.span_m, winch_m),
            "moving_mass": f"{0.5 * self.mass_kg if self.moving_mass_kg is None else self.moving_mass_kg:g} kg",
            "brakes": [{"force": f"{self._brake_N():g} N", "delay": "50 ms", "rise": "50 ms"}],
        }
        flyer = {
            "mass": f"{self.mass_kg:g} kg",
            "hook_mass": f"{0.0125 * self.mass_kg if self.hook_kg is None else self.hook_kg:g} kg",
            "harness": self.harness,
            "at": _at(0.0, heights[-1] - self.hang_m),
        }
        move = {
            "drive": "winch",
            "start": "0.1 s",
            self.direction: f"{self.move_m:g} m",
            "speed": f"{self.speed_m_s:g} m/s",
            "acceleration": f"{self.acceleration_m_s2:g} m/s^2",
            "deceleration": f"{self.acceleration_m_s2:g} m/s^2",
        }
        tree = {
            "title": "An extreme rig",
            "environment": {"gravity": f"{self.gravity_m_s2:.12g} m/s^2"},
            "performers": {"flyer": flyer},
            "lines": {
                "line": {
                    "type": line_type,
                    "elements_per_span": f"{self.elements}",
                    "route": ["winch", *names, "flyer"],
                }
            },
            "sheaves": {
                n: {"at": _at(-self.span_m + i * apart, heights[i]), **self._sheave()} for i, n in enumerate(names)
            },
            "drives": {"winch": winch},
            "moves": [move],
            "stops": [{"name": "power loss", "category": "0", "when": self.when}],
            "faults": [{"parted line": "line", "when": "0.8 s"}],
            "limits": {"g_load": "6", "design_factor": {"static": "10", "working": "5", "emergency": "3"}},
            **self.more,
        }
        return yaml.safe_dump({key: part for key, part in tree.items() if part}, sort_keys=False)

    def _brake_N(self) -> float:
        return 3.0 * self.mass_kg * self.gravity_m_s2 if self.brake_N is None else self.brake_N

    def _sheave(self) -> dict[str, Any]:
        if self.bar is not None:
            return {"turns": "no", "line_friction": f"{self.bar:g}"}
        return {
            "tread_diameter": f"{self.tread_mm:g} mm",
            "mass": f"{self.sheave_kg:g} kg",
            "bearing": {"friction": f"{100.0 * self.friction:g} %", "pin_diameter": f"{self.tread_mm / 5:g} mm"},
            "bending_loss": f"{self.bending_percent:g} %",
        }


def _at(x_m: float, z_m: float) -> list[str]:
    return [f"{x_m:.12g} m", "0 m", f"{z_m:.12g} m"]


RIGS = {
    "span of 1 mm": Extreme(span_m=0.001, sheaves=2),
    "hang of 1 mm, paying out": Extreme(hang_m=0.001, move_m=0.5),
    "hang of 1 mm, taking in 0.9 mm": Extreme(hang_m=0.001, direction="take_in", move_m=0.0009, speed_m_s=0.01),
    "hang of 1 mm, taking in 2 mm": Extreme(hang_m=0.001, direction="take_in", move_m=0.002, speed_m_s=0.01),
    "span of 1 km": Extreme(span_m=1000.0),
    "span of 1 km, 20 elements": Extreme(span_m=1000.0, elements=20),
    "span of 10 km": Extreme(span_m=10000.0),
    "hang of 1 km": Extreme(hang_m=1000.0),
    "hang of 1 km, 10 elements": Extreme(hang_m=1000.0, elements=10),
    "1 g": Extreme(mass_kg=0.001),
    "1 g on a line without weight": Extreme(mass_kg=0.001, line_g_per_m=1e-3, EA_kN=0.01),
    "1 g on wire": Extreme(mass_kg=0.001, EA_kN=3000.0, line_g_per_m=150.0),
    "10 t": Extreme(mass_kg=10000.0),
    "10 t on a thread": Extreme(mass_kg=10000.0, EA_kN=8.0, line_g_per_m=1.0),
    "10 t on a hawser": Extreme(mass_kg=10000.0, EA_kN=80000.0, line_g_per_m=5000.0, harness="rigid"),
    "no sheave": Extreme(sheaves=0, span_m=0.0),
    "20 sheaves": Extreme(sheaves=20, span_m=40.0),
    "200 sheaves": Extreme(sheaves=200, span_m=100.0),
    "200 sheaves without friction": Extreme(sheaves=200, span_m=100.0, friction=0.0, bending_percent=0.0),
    **{f"EA of 1e{n} N": Extreme(EA_kN=10.0 ** (n - 3)) for n in range(3, 10)},
    "no friction": Extreme(friction=0.0, bending_percent=0.0),
    "no friction, no damping": Extreme(friction=0.0, bending_percent=0.0, damping_ms=0.0, harness="rigid"),
    "bearings that lock": Extreme(friction=10.0),
    "bearings of friction 1000": Extreme(friction=1000.0),
    "bending that takes all": Extreme(bending_percent=100.0),
    "bars of friction 0": Extreme(bar=0.0),
    "bars of friction 0.5": Extreme(bar=0.5),
    "bars of friction 10": Extreme(bar=10.0),
    "damping of 1 s": Extreme(damping_ms=1000.0),
    "damping of 1000 s": Extreme(damping_ms=1e6),
    "harness of 1 N/m": Extreme(harness={"stiffness": "1 N/m", "damping_ratio": "0.1"}),
    "harness of 1e9 N/m": Extreme(harness={"stiffness": "1e9 N/m", "damping_ratio": "0.1"}),
    "harness damped 100 times": Extreme(harness={"stiffness": "45 kN/m", "damping_ratio": "10000 %"}),
    "hook of 1 mg": Extreme(hook_kg=1e-6),
    "hook of 10 t": Extreme(hook_kg=10000.0),
    "sheaves of 1 mg": Extreme(sheave_kg=1e-6),
    "sheaves of 10 t": Extreme(sheave_kg=10000.0),
    "sheaves of 1 mm": Extreme(tread_mm=1.0),
    "speed of 100 m/s": Extreme(speed_m_s=100.0, move_m=200.0, acceleration_m_s2=1000.0, hang_m=5.0),
    "speed of 1 mm/s": Extreme(speed_m_s=0.001, move_m=0.002),
    "move of 1 µm": Extreme(move_m=1e-6, speed_m_s=1e-6),
    "acceleration of 1e6 m/s2": Extreme(acceleration_m_s2=1e6),
    "brake of 1 N": Extreme(brake_N=1.0),
    "brake of 1 MN": Extreme(brake_N=1e6),
    "drum of 1 g": Extreme(moving_mass_kg=0.001),
    "drum of 1000 t": Extreme(moving_mass_kg=1e6),
    "gravity of 1e-9": Extreme(gravity_m_s2=1e-9, brake_N=100.0),
    "gravity of 1000 m/s2": Extreme(gravity_m_s2=1000.0),
    "a model in a matchbox": Extreme(
        hang_m=0.01, span_m=0.01, move_m=0.005, tread_mm=1.0, mass_kg=0.001, sheave_kg=1e-5, EA_kN=0.1
    ),
    "every instant of a slow move": Extreme(speed_m_s=0.01, move_m=0.05, when="every instant"),
    "1000 elements": Extreme(elements=334, line_g_per_m=60.0),
}  # fmt: skip

FINISHES, RUNS_OUT, NO_RIG, ASKS = "finishes", "line runs out", "no rig", "asks first"
OUTCOMES = dict.fromkeys(RIGS, FINISHES) | {
    "hang of 1 mm, taking in 0.9 mm": RUNS_OUT,  # the hook is drawn onto the sheave
    "hang of 1 mm, taking in 2 mm": RUNS_OUT,
    "span of 1 km, 20 elements": ASKS,  # a hang of 5 m in 20 elements beside it: steps of microseconds
    "span of 10 km": NO_RIG,  # its line to the winch, 3 km up, is heavier than who hangs on it
    "1 g": NO_RIG,  # as is the line of 10 m to the winch
    "1 g on wire": NO_RIG,
    "gravity of 1e-9": NO_RIG,  # next to no weight, and forces no nearer to balance than rounding lets them
    "damping of 1000 s": ASKS,
    "1000 elements": ASKS,
}
"""What becomes of each: runs to its end, stops because no line is left, cannot hang and says so, or asks first."""
