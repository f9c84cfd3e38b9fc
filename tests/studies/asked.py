"""Line figures of a demo from its planned move alone, for the tests of them."""

from __future__ import annotations

from functools import cache

import sim
from sim.results.lines import LineFigures
from sim.results.model import Run
from sim.scenario.model import Scenario
from sim.strength.judge import judge
from sim.studies.line_figures import Asked, line_figures
from tests.demos.demos import read


def asked(scenario: Scenario) -> Asked:
    """The planned move of a scenario, run and judged."""
    rig = sim.build_rig(scenario)
    run: Run = sim.simulate(rig, sim.planned_case(rig), audited=False)
    elements = judge(scenario, {run.case.name: run.case}).elements
    return Asked(scenario, rig, {run.case.name: run}, elements)


def figures(scenario: Scenario) -> dict[str, LineFigures]:
    """The figures of every line."""
    return dict(line_figures(asked(scenario)))


@cache
def of_demo(name: str) -> dict[str, LineFigures]:
    """The same of a demo."""
    return figures(read(name))
