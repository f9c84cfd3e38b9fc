"""What weight does: heavier performers never unload a line, and after a stop the harness pulls at least the weight."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.dynamics.run import Raw, run, static_values
from sim.rig.case import Case
from sim.rig.rig import Rig
from tests.properties.random_rigs import PERFORMER, of, scenarios, text_of
from tests.properties.runs import PLANNED, SAMPLE_RATE_HZ, built, case_of, end_state, history, ready

TRIED = settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
HANGING = ("drop", "bridle", "block", "counterweight")
STOPS = st.integers(0, PLANNED - 1)
AFTER_S = 2.0


def with_mass_times(text: str, more: float) -> str:
    """The scenario with a heavier performer, all else as it was."""
    table = yaml.safe_load(text)
    performer = table["performers"][PERFORMER]
    performer["mass"] = of(more * float(performer["mass"].split()[0]), "kg")
    return text_of(table)


def pulled_down(rig: Rig) -> set[str]:
    """Sheaves that their line's two legs pull downwards, so that more tension cannot relieve them of their weight."""
    found = set()
    for line in rig.lines:
        ends = [np.array(rig.point(p.point).position_m) + np.array(p.offset_m) for p in line.route]
        for k in range(1, len(ends) - 1):
            legs = [(ends[n] - ends[k]) / np.linalg.norm(ends[n] - ends[k]) for n in (k - 1, k + 1)]
            if legs[0][2] + legs[1][2] < 0.0:
                found.add(f"force_N:{line.route[k].name}")
    return found


@TRIED
@given(scenarios(), st.floats(1.0, 2.0))
def test_more_mass_never_lowers_a_force_at_rest(text: str, more: float):
    """Every span, drive and harness, and every sheave whose legs pull down on it.

    In all five kinds each line's tension is fixed by the weights it balances, in proportion to them and with one sign
    (frictionless at rest). A line that the weight makes taut sags less, too. Where legs pull a sheave upwards, against
    its own weight, more tension may lower the load on its pin: left out.
    """
    rig = built(text)
    light, heavy = static_values(ready(rig)), static_values(ready(built(with_mass_times(text, more))))
    sheaves = {f"force_N:{s.name}" for s in rig.sheaves} - pulled_down(rig)
    sheaves |= {f"force_N:{s.name}" for s in rig.springs if s.other is None}  # a mount carries such a sheave too
    forces = [name for name in light if name.startswith(("force_N", "tension_N")) and name not in sheaves]
    assert forces
    for name in forces:
        assert heavy[name] >= light[name] - 1e-6 * ready(rig).start.reference_N, name


@TRIED
@given(scenarios(HANGING))
def test_the_harness_hangs_by_its_whole_weight(text: str):
    """At rest it carries the performer's weight, no more and no less; a rigid one is measured above the hook."""
    of_rig = ready(built(text))
    p = of_rig.rig.performers[0]
    found = static_values(of_rig)[f"force_N:{PERFORMER} harness"] / p.weight_N
    assert found >= 1.0 - 1e-6
    assert found <= (1.0 + 1e-6 if p.strap is not None else 1.1)


def stopped_without_drag(rig: Rig, number: int) -> tuple[Rig, Case]:
    """The rig in still vacuum, for drag bears weight that the harness then does not."""
    bare = replace(rig, points=tuple(replace(p, drag_area_m2=0.0) for p in rig.points))
    return bare, case_of(bare, number)


def upward_m_s(raw: Raw) -> float:
    """Mean upward speed at the run's end of what hangs in the harness: torso and what lags behind it."""
    rig, p = raw.ready.rig, raw.ready.rig.performers[0]
    parts = [x for x in rig.points if x.name in (p.body, f"{PERFORMER} lagging mass")]
    return sum(x.mass_kg * end_state(raw, x.name)[5] for x in parts) / sum(x.mass_kg for x in parts)


@TRIED
@given(scenarios(HANGING, floors=False), STOPS)
def test_after_a_stop_the_harness_pulls_what_momentum_asks(text: str, number: int):
    """The mean upward pull over a time T is m (g + dv / T), dv the upward speed gained; a peak is no less than a mean.

    So the peak after a stop is never below the hanging weight where the performer was sinking or still at the stop and
    is no faster downwards at the end: always in the harness, whatever rubs above it. It need not be so for a performer
    thrown upwards who is looked at before coming down, in drag or on a floor; nor for the force at a winch or in a line
    beyond a rubbing sheave, which after sinking bears less than the weight for good.
    """
    rig, case = stopped_without_drag(built(text), number)
    p = rig.performers[0]
    if p.strap is None:
        return
    begin = float(case.stop_time_s or 0.0)
    before = run(ready(rig), case, 1e-6, None, begin)
    after = run(ready(rig), case, 1e-6, SAMPLE_RATE_HZ, begin + AFTER_S)
    gained = upward_m_s(after) - upward_m_s(before)
    mean_N = p.body_mass_kg * (rig.gravity_m_s2 + gained / AFTER_S)
    pull = history(after, f"force_N:{PERFORMER} harness")[after.time_s >= begin]
    assert pull.max() >= mean_N - 1e-3 * p.weight_N
    if upward_m_s(before) <= 0.0 and gained >= 0.0:
        assert pull.max() >= p.weight_N * (1.0 - 1e-6)
    if (
        len([x for x in rig.lines if not x.strap]) == 1 and not rig.anchors
    ):  # straight below its sheave the pull is upwards at every instant, so its mean is known
        assert abs(np.trapezoid(pull) / (len(pull) - 1) - mean_N) < 2e-3 * p.weight_N
