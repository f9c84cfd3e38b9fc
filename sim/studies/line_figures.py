"""What else a rigger asks of each line, from the runs of a scenario: see `sim.results.lines` for the figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sim.dynamics.run import ready
from sim.results.lines import LineFigures, Spin
from sim.results.model import CaseResult, ElementResult, Outcome, Run
from sim.rig.line import Line
from sim.rig.rig import Rig
from sim.scenario.model import Scenario
from sim.strength.catalogue import find
from sim.strength.hot import hottest
from sim.strength.own import line_data
from sim.strength.recoil import beyond_its_fibre
from sim.strength.water import in_water
from sim.studies.bending import bends
from sim.studies.own_weight import own_weight
from sim.studies.recoiling import breaks_at, recoil
from sim.studies.standing import creep, spin


@dataclass(frozen=True)
class Asked:
    """What the figures are made from. runs: every case of the scenario, the planned move first."""

    scenario: Scenario
    rig: Rig
    runs: Mapping[str, Run]
    elements: Mapping[str, ElementResult]

    @property
    def finished(self) -> Mapping[str, CaseResult]:
        """The cases that did not fail."""
        return {name: run.case for name, run in self.runs.items() if run.case.outcome is not Outcome.FAILED}


def line_figures(asked: Asked) -> Mapping[str, LineFigures]:
    """The figures of every line of a scenario, by its name."""
    return {line.name: _of(asked, line) for line in asked.rig.lines if not line.strap}


def _of(asked: Asked, line: Line) -> LineFigures:
    spec = asked.scenario.lines[line.name]
    data = line_data(spec, line.name)
    planned = next(iter(asked.runs.values())).trace
    of, found = ready(asked.rig), breaks_at(spec, asked.elements.get(line.name), data)
    weight = own_weight(of, line, data, planned)
    peak_N = max((case.peaks[line.name].force_N for case in asked.finished.values()), default=0.0)
    strength_N = found[0] if found else None
    construction = find(spec.type).construction if isinstance(spec.type, str) else data.fibre
    turning = spin(of, line, data, construction, strength_N, planned)
    gap = "no figure, neither the line nor its type states a strength"
    if found:
        gap = beyond_its_fibre(data.stretch, found[0], data.material)
    return LineFigures(
        type=spec.type if isinstance(spec.type, str) else "a type written in place",
        recoil=recoil(spec, data, line.material.mass_kg_per_m, found, weight.longest_out_m, peak_N) if found else None,
        own_weight=weight,
        bends=bends(asked.scenario, asked.rig, line, data, planned),
        creep=creep(of, line, data, strength_N),
        spin=_at_its_swivel(asked.scenario, line.name, turning),
        heat=hottest(asked.scenario, spec, data),
        in_water=in_water(asked.scenario, line.name, data),
        missing=(f"energy at break: {gap}",) if gap else (),
    )


def _at_its_swivel(scenario: Scenario, line: str, found: Spin | None) -> Spin | None:
    """The same, with the swivel that holds this end of the line, if the file has one."""
    if found is None:
        return None
    performer = scenario.performers.get(found.on)
    ends = {found.on, *(performer.harness.points if performer is not None else {})}
    held = [name for name, h in scenario.hardware.items() if h.kind == "swivel" and h.holds == line and h.end in ends]
    return replace(found, swivel=held[0]) if held else found
