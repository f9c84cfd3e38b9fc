"""On every random rig of every kind, in the planned move and in every stop: line, energy, and no line ever pushes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.dynamics.orders import AT_REST, END_OF_TIME
from sim.dynamics.run import Raw, run
from sim.rig.line import Line
from tests.properties.random_rigs import KINDS, scenarios
from tests.properties.runs import PLANNED, SAMPLE_RATE_HZ, built, case_of, columns, ready

TRIED = settings(max_examples=30, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
END_S = 4.0
RESIDUAL = 1e-5


def paid_out_m(raw: Raw, name: str) -> float:
    """Line a drive has let out (m): by its motion while it has power, after that by its drum."""
    off = raw.case.power_off.get(name)
    if off is None or raw.end_s < off.time_s:
        return float(raw.case.motions[name].position_m(raw.end_s))
    drive = next(k for k, d in enumerate(raw.ready.rig.drives) if d.name == name)
    return float(raw.state[int(raw.ready.start.model.drives[drive]["state"])])


def gained_m(raw: Raw, line: Line) -> float:
    """Unstretched line that came into being: what hangs more than at the start, less what its drives let out.

    A metre of rim travel lets out 1 / (1 + the strain it was wound with) metres of unstretched line.
    """
    lay, gates = raw.ready.start.layout, raw.ready.start.model.gates
    states = [int(raw.ready.start.model.elements[e]["state"]) for e in lay.elements_of(line.name)]
    gained = float((raw.state[states] - raw.ready.start.state[states]).sum())
    for place, gate in zip(line.route, lay.line_gates[line.name], strict=True):
        if place.kind == "drive":
            gained -= paid_out_m(raw, place.name) * float(gates[gate]["wound"])
    return gained


@pytest.mark.parametrize("kind", KINDS)
@TRIED
@given(st.data())
def test_line_and_energy_are_kept_and_line_only_pulls(kind: str, data: st.DataObject):
    """Four seconds of each case: long enough for every move and stop to be over and the rig to bounce after it."""
    rig = built(data.draw(scenarios((kind,))))
    for number in (*range(len(rig.stops)), PLANNED):
        raw = run(ready(rig), case_of(rig, number), 1e-6, SAMPLE_RATE_HZ, END_S)
        assert raw.status in (END_OF_TIME, AT_REST)
        assert np.isfinite(raw.samples).all()
        for line in rig.lines:
            assert abs(gained_m(raw, line)) < 1e-9, (raw.case.name, line.name)
        assert raw.residual < RESIDUAL, raw.case.name
        assert raw.samples[:, columns(raw.ready, "tension_N")].min() >= 0.0, raw.case.name
