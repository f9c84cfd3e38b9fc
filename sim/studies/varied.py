"""A scenario with another value under one key, and one in which what the catalogue gives stands under keys too."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sim.rig.sheave import BEARINGS
from sim.scenario.kinds import Force, Length, MassPerLength, Ratio, Share, Time
from sim.scenario.model import Scenario
from sim.scenario.parts.lines import Line, LineType
from sim.scenario.parts.part import Part
from sim.scenario.parts.sheaves import BearingFriction, Sheave
from sim.scenario.quantity import Quantity
from sim.strength.own import line_data


def with_value(scenario: Scenario, key: str, value: float) -> Scenario:
    """The scenario with this value (SI) under a key such as `moves / 1 / speed`; list entries count from 1.

    A table of quantities, such as a stretch curve, is multiplied by the value. Raises KeyError for a key that is not
    there or holds no quantity.
    """
    return _set(scenario, [step.strip() for step in key.split("/")], value, key)


def stated_value(scenario: Scenario, key: str) -> Quantity:
    """The quantity under a key. Raises KeyError."""
    here: Any = scenario
    for step in (step.strip() for step in key.split("/")):
        here = _under(here, step, key)
    if not isinstance(here, Quantity):
        raise KeyError(key)
    return here


def spelled_out(scenario: Scenario) -> Scenario:
    """The same rig with what catalogue and handbook give written in place: stretch, mass, damping, losses."""
    lines: dict[str, Line] = {}
    sheaves: dict[str, Sheave] = dict(scenario.sheaves)
    for name, line in scenario.lines.items():
        data = line_data(line, name)
        lines[name] = line.model_copy(
            update={
                "type": LineType.model_construct(
                    stretch={Force.of(f): Share.of(s) for f, s in data.stretch if f > 0},
                    mass_per_length=MassPerLength.of(data.mass_kg_per_m),
                    damping_ratio=Ratio.of(data.damping_ratio or 0.0) if data.damping_time_s is None else None,
                    damping_time=None if data.damping_time_s is None else Time.of(data.damping_time_s),
                    damping_limit=Share.of(data.damping_limit),
                    fibre=data.fibre or None,
                )
            }
        )
        for place in line.route:
            if place in sheaves and sheaves[place].turns and sheaves[place].bending_loss is None:
                loss = Share.of(data.bending_loss or 0.0)
                sheaves[place] = sheaves[place].model_copy(update={"bending_loss": loss})
    for name, sheave in sheaves.items():
        if sheave.turns and isinstance(sheave.bearing, str) and sheave.tread_diameter is not None:
            friction, pin = BEARINGS[sheave.bearing]
            by_figures = BearingFriction(
                friction=Ratio.of(friction), pin_diameter=Length.of(pin * sheave.tread_diameter.m)
            )
            sheaves[name] = sheave.model_copy(update={"bearing": by_figures})
    return scenario.model_copy(update={"lines": lines, "sheaves": sheaves})


def _under(here: Any, step: str, key: str) -> Any:
    if isinstance(here, Part) and step in type(here).model_fields:
        return getattr(here, step)
    if isinstance(here, Mapping) and step in here:
        return here[step]
    if isinstance(here, tuple | list) and step.isdecimal() and 1 <= int(step) <= len(here):
        return here[int(step) - 1]
    raise KeyError(key)


def _set(here: Any, steps: list[str], value: float, key: str) -> Any:
    if not steps:
        if isinstance(here, Quantity):
            return type(here).of(value)
        if isinstance(here, Mapping) and here and all(isinstance(q, Quantity) for q in here.values()):
            return {at: type(q).of(q.si * value) for at, q in here.items()}
        raise KeyError(key)
    inner = _set(_under(here, steps[0], key), steps[1:], value, key)
    if isinstance(here, Part):
        return here.model_copy(update={steps[0]: inner})
    if isinstance(here, Mapping):
        return {**here, steps[0]: inner}
    place = int(steps[0]) - 1
    return (*here[:place], inner, *here[place + 1 :])
