"""The demos, read and run once for all their tests, and changed copies of them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

import sim
from sim.results.model import CaseResult, Result, Trace
from sim.rig.rig import Rig
from sim.scenario.model import Scenario

FOLDER = Path(__file__).parents[2] / "scenarios"
DEMOS = sorted(p.stem for p in FOLDER.glob("*.yaml"))
G = 9.80665


@cache
def read(name: str) -> Scenario:
    """The scenario of a demo."""
    return sim.read_file(FOLDER / f"{name}.yaml")


@cache
def result(name: str) -> Result:
    """All cases of a demo."""
    return sim.run_scenario(read(name))


def planned(name: str) -> tuple[CaseResult, Trace]:
    """The planned move of a demo."""
    return result(name).cases["planned move"], result(name).traces["planned move"]


@cache
def rig(name: str) -> Rig:
    """The rig of a demo."""
    return sim.build_rig(read(name))


def changed(name: str, *changes: tuple[str, str]) -> Scenario:
    """A demo with pieces of its text replaced; each must be there."""
    text = (FOLDER / f"{name}.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return sim.read_text(text, name)


def moved(scenario: Scenario) -> tuple[CaseResult, Trace]:
    """The planned move of a scenario of one's own."""
    built = sim.build_rig(scenario)
    run = sim.simulate(built, sim.planned_case(built), audited=False)
    return run.case, run.trace


def unit(a: tuple[float, float, float], b: tuple[float, float, float]) -> NDArray[np.float64]:
    """Direction from a to b."""
    way = np.subtract(b, a)
    return way / np.linalg.norm(way)
