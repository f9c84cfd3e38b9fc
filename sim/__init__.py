"""stopload: what every element of a performer-flying rig and the person in it see when it moves, slows down and stops.

    from sim import read_file, build_rig, planned_case, simulate
    rig = build_rig(read_file("scenarios/lamplighters-drop.yaml"))
    run = simulate(rig, planned_case(rig))
    run.case.peaks["drop line"].force_N

Everything heavy is imported when it is first asked for, so that the command line starts at once.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sim.build import build_rig
    from sim.results.folder import read_result
    from sim.rig.rig import Rig, RigError
    from sim.scenario import ScenarioErrors, read_file, read_text
    from sim.studies.cases import planned_case, stop_case
    from sim.studies.compared import compare_values
    from sim.studies.scenario import run_scenario
    from sim.studies.single import simulate
    from sim.studies.sweep import sweep

_WHERE = {
    "ScenarioErrors": "sim.scenario",
    "read_file": "sim.scenario",
    "read_text": "sim.scenario",
    "Rig": "sim.rig.rig",
    "RigError": "sim.rig.rig",
    "build_rig": "sim.build",
    "planned_case": "sim.studies.cases",
    "stop_case": "sim.studies.cases",
    "simulate": "sim.studies.single",
    "sweep": "sim.studies.sweep",
    "run_scenario": "sim.studies.scenario",
    "compare_values": "sim.studies.compared",
    "read_result": "sim.results.folder",
}
_DRAWN_BY = "plots"
"""Whoever asks for results is given what draws them, so that they show themselves in a notebook."""
_GIVES_RESULTS = frozenset(("run_scenario", "compare_values", "read_result"))

__all__ = [
    "Rig",
    "RigError",
    "ScenarioErrors",
    "build_rig",
    "compare_values",
    "planned_case",
    "read_file",
    "read_result",
    "read_text",
    "run_scenario",
    "simulate",
    "stop_case",
    "sweep",
]


def __getattr__(name: str) -> Any:
    if name in _WHERE:
        if name in _GIVES_RESULTS:
            import_module(_DRAWN_BY)
        return getattr(import_module(_WHERE[name]), name)
    raise AttributeError(f"module 'sim' has no attribute '{name}'")
