"""What is called the worst force of a sweep: the nearest to failure after reductions, numbers worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.results.model import Factors, Reduction
from sim.strength.elements import Element, Place
from sim.strength.left import strength_left_N
from sim.studies.curves import Curves, worst_of
from sim.studies.ends import AS_STATED


def _made(forces: dict[str, list[float]]) -> Curves:
    """A sweep of three instants with these forces."""
    values = {f"force_N:{name}": np.array([force]) for name, force in forces.items()}
    return Curves("power loss", np.array([1.0, 2.0, 3.0]), (AS_STATED,), values, (("", "", ""),))


def _element(name: str, kind: str, strength_N: float, *places: Place) -> Element:
    asked = Factors()
    return Element(name, kind, places or (Place("", (name,)),), name, strength_N, "certificate", asked)


def test_the_worst_force_is_the_nearest_to_failure_after_reductions() -> None:
    # By hand: 4 kN of 30 kN is 0.133 of the line, but a knot leaves 12 kN at its end, where 3 kN are 0.25; the sheave,
    # 20 kN, bears 3.9 kN at the most, 0.195. Before reductions the instant of 4 kN, 2 s, would be called the worst.
    knot = Reduction("bowline", "flyer", 0.4, "a table", needs_evidence=False)
    line = _element(
        "line", "line", 30e3, Place("head", ("line:winch -> head", "line:head -> flyer")),
        Place("flyer", ("line:head -> flyer",), reductions=(knot,)),
    )  # fmt: skip
    sheave, brake = _element("head", "sheave", 20e3), _element("winch brake", "brake", 3e3, Place("", ("winch",)))
    forces = {
        "line": [3e3, 4e3, 3e3], "line:winch -> head": [2e3, 4e3, 3e3], "line:head -> flyer": [3e3, 2.9e3, 2e3],
        "head": [3.8e3, 3.9e3, 3.7e3], "winch": [2e3, 2.1e3, 2.9e3],
    }  # fmt: skip
    left = strength_left_N([line, sheave, brake], forces)
    assert left == {"line:winch -> head": 30e3, "line:head -> flyer": pytest.approx(12e3), "head": 20e3}
    worst = worst_of(_made(forces), [line, sheave, brake])
    assert worst["worst force"].time_s == 1.0
    # What sees clearly more at another instant still has its own case there, so nothing is judged on less.
    assert worst["worst for line"].time_s == 2.0
    assert worst["worst for winch"].time_s == 3.0
    assert worst_of(_made(forces), [replace(line, places=(Place("", ("line",)),))])["worst force"].time_s == 2.0


def test_hardware_bears_what_it_holds_and_a_leg_its_share() -> None:
    # By hand: a shackle of 8 kN on the line, and a sling of which one leg, 10 kN, takes 0.7 of the sheave's force.
    shackle = replace(_element("shackle", "shackle", 8e3), fallback="line")
    sling = replace(_element("sling", "sling", 10e3, Place("", ("sling",), share=0.7)), fallback="head")
    left = strength_left_N([shackle, sling], {"line", "head"})
    assert left == {"line": 8e3, "head": pytest.approx(10e3 / 0.7)}
