"""What else a rigger asks of each line, from the runs of a scenario: see `sim.results.lines` for the figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sim.dynamics.run import ready
from sim.results.lines import Basis, LineFigures, Recoil
from sim.results.model import CaseResult, ElementResult, Outcome, Run
from sim.rig.line import Line
from sim.rig.rig import Rig
from sim.scenario.model import Scenario
from sim.strength.catalogue import LineData, find
from sim.strength.own import line_data
from sim.strength.recoil import energy_J_per_m, snap_back_m_s
from sim.studies.bending import bends
from sim.studies.own_weight import own_weight

AREA = Basis("energy", "area under the load-stretch curve as run, straight on beyond its last point", "computed")
WAVE = Basis("speed of the parted end", "tension over the line's impedance (longitudinal waves), no losses", "computed")


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
    weight = own_weight(ready(asked.rig), line, data, planned)
    recoil = _recoil(asked, line, data, weight.longest_out_m)
    missing = () if recoil else ("energy at break: no figure, neither the line nor its type states a strength",)
    return LineFigures(
        type=spec.type if isinstance(spec.type, str) else "a type written in place",
        recoil=recoil,
        own_weight=weight,
        bends=bends(asked.scenario, asked.rig, line, data, planned),
        missing=missing,
    )


def _strength(asked: Asked, line: Line, data: LineData) -> tuple[float, Basis] | None:
    """Where the line breaks (N): what it states, else what its type has; nothing taken off. None where nobody says."""
    spec, known = asked.scenario.lines[line.name], data.sources.get("breaking_strength_N")
    element = asked.elements.get(line.name)
    if spec.allowed_force is None and element is not None and element.breaking_strength_N is not None:
        own = known is not None and element.breaking_strength_N == known.value
        status = known.status if own and known else "stated"
        return element.breaking_strength_N, Basis("breaking strength", element.strength_origin, status)
    return (known.value, Basis("breaking strength", known.source, known.status)) if known else None


def _recoil(asked: Asked, line: Line, data: LineData, length_m: float) -> Recoil | None:
    found = _strength(asked, line, data)
    if found is None:
        return None
    strength_N, whence = found
    peak_N = max((case.peaks[line.name].force_N for case in asked.finished.values()), default=0.0)
    per_metre = energy_J_per_m(data.stretch, strength_N)
    entry = asked.scenario.lines[line.name].type
    said = find(entry).recoil if isinstance(entry, str) else None
    known = data.sources.get("stretch")
    words = (Basis("how it recoils", said.source_in_words, said.status),) if said else ()
    return Recoil(
        breaking_strength_N=strength_N,
        energy_at_break_J_per_m=per_metre,
        energy_at_break_J=per_metre * length_m,
        peak_force_N=peak_N,
        energy_at_peak_J=energy_J_per_m(data.stretch, peak_N) * length_m,
        snap_back_speed_m_s=snap_back_m_s(data.stretch, line.material.mass_kg_per_m, strength_N),
        says=said.says if said else "",
        basis=(whence, _stretch_basis(data), AREA, WAVE, *words),
        energy_at_break_low_J_per_m=per_metre * known.low / known.value if known else None,
        energy_at_break_high_J_per_m=per_metre * known.high / known.value if known else None,
    )


def _stretch_basis(data: LineData) -> Basis:
    known = data.sources.get("stretch")
    if known is None:
        return Basis("load-stretch curve", "as the scenario states it", "stated")
    return Basis("load-stretch curve", known.source, known.status)
