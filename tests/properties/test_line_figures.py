"""Figures of lines of random rigs: there for every rig, with the signs they must have, the same read either way."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, reject, settings

import sim
from sim.results.model import Run, Trace
from sim.rig.rig import Rig, RigError
from sim.strength.judge import judge
from sim.studies.bends import Counted, count_bends
from sim.studies.line_figures import Asked, line_figures
from tests.properties.random_rigs import scenarios

TRIED = settings(max_examples=12, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def tried(text: str) -> Asked:
    """The planned move of a random rig, or another rig where this one is refused in words."""
    scenario = sim.read_text(text, "random rig")
    rig = sim.build_rig(scenario)
    try:
        run = sim.simulate(rig, sim.planned_case(rig), audited=False)
    except RigError:
        reject()
    return Asked(scenario, rig, {"planned move": run}, judge(scenario, {"planned move": run.case}).elements)


def told(counted: Counted) -> tuple[int, dict[str, float], set[str]]:
    """How often the worst piece is bent, line over each place, and the places that cannot be followed."""
    names = {each.at for each in counted.bent}
    return sum(counted.worst().values()), {name: counted.run_over_m(name) for name in names}, set(counted.unknown)


def from_the_other_end(rig: Rig, run: Run, name: str) -> tuple[Counted, Counted]:
    line = rig.line(name)
    there = replace(line, route=line.route[::-1])
    return count_bends(rig, line, run.trace, 0.006), count_bends(rig, there, run.trace, 0.006)


@TRIED
@given(scenarios())
def test_every_rig_has_its_figures_and_they_are_the_same_from_either_end(text: str):
    asked = tried(text)
    for name, of in line_figures(asked).items():
        weight = of.own_weight
        assert weight.longest_out_m >= weight.out_m > 0.0
        assert weight.out_kg == pytest.approx(weight.mass_kg_per_m * weight.out_m)
        for span in weight.spans:
            assert span.sag_m is None or 0.0 <= span.sag_m < span.way_m
        if of.recoil is not None and of.recoil.energy_at_break_J is not None:
            assert of.recoil.energy_at_break_J > 0.0
        if "drive" not in {place.kind for place in asked.rig.line(name).route}:
            continue  # slack between two tied ends may lie on either side of a sheave
        here, there = from_the_other_end(asked.rig, asked.runs["planned move"], name)
        (worst, over, unknown), (worst_there, over_there, unknown_there) = told(here), told(there)
        assert worst == worst_there
        assert over == pytest.approx(over_there, abs=1e-9)
        assert unknown == unknown_there


@TRIED
@given(scenarios(kinds=("drop",)))
def test_what_runs_over_a_sheave_near_a_winch_is_what_the_winch_pays_out_and_takes_in(text: str):
    asked = tried(text)
    trace = asked.runs["planned move"].trace
    for line in asked.rig.lines:
        if line.strap or line.route[0].kind != "drive" or line.route[1].kind != "sheave":
            continue
        paid = trace.columns[f"paid_out_m:{line.route[0].name}"]
        moved = float(np.abs(np.diff(paid)).sum())
        over = count_bends(asked.rig, line, trace, 0.001).run_over_m(line.route[1].name)
        assert over == pytest.approx(moved, abs=0.002) or math.isclose(moved, 0.0, abs_tol=0.002)


def test_a_run_that_left_no_history_has_figures_all_the_same():
    asked = tried_demo()
    empty = Trace(np.zeros(0), {name: np.zeros(0) for name in asked.runs["planned move"].trace.columns})
    runs = {"planned move": replace(asked.runs["planned move"], trace=empty)}
    of = line_figures(replace(asked, runs=runs))["hoist line"]
    assert of.bends is not None
    assert of.bends.per_move == 0
    assert set(of.bends.not_counted) == {"winch", "lead sheave", "head sheave", "flying block"}


def tried_demo() -> Asked:
    from tests.demos.demos import read
    from tests.studies.asked import asked

    return asked(read("chimney-sweeps-rise"))
