"""The inputs of a scenario as a flat list of keys and values, for comparing one with another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from sim.results.inputs import Input, Inputs
from sim.scenario.faults import ScenarioErrors
from sim.scenario.kinds import Coordinate
from sim.scenario.model import Scenario
from sim.scenario.parts.part import Part
from sim.scenario.quantity import ASSUMED, DEFAULT, Quantity, plain_digits
from sim.scenario.reader import read_text
from sim.scenario.tree import TreeError, read_tree

_Path = tuple[str, ...]
_AXES = ("x", "y", "z")


def kept_inputs(text: str) -> tuple[Inputs, str]:
    """The inputs of a filled-in scenario, and what has to be known of them, '' for nothing.

    One that this version does not read is compared by its words alone; what is no scenario at all has no inputs.
    """
    try:
        return inputs_of(read_text(text)), ""
    except ScenarioErrors as errors:
        why = str(errors.faults[0])
    try:
        tree, _ = read_tree(text)
    except TreeError:
        return {}, f"its filled-in scenario cannot be read ({why}), so its inputs are not compared"
    words = {path: Input(str(value)) for path, value in _flat(tree, ())}
    return words, f"this version does not read its filled-in scenario ({why}), so its inputs are compared as words"


def inputs_of(scenario: Scenario) -> Inputs:
    """Every input of a scenario, defaults filled in, by the keys that lead to it."""
    return dict(_part(scenario, ()))


def _part(part: Part, path: _Path) -> Iterator[tuple[_Path, Input]]:
    for name, info in type(part).model_fields.items():
        yield from _value(getattr(part, name), (*path, info.alias or name))


def _value(value: Any, path: _Path) -> Iterator[tuple[_Path, Input]]:
    if isinstance(value, Quantity):
        yield from _quantity(value, path)
    elif isinstance(value, Part):
        yield from _part(value, path)
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _value(inner, (*path, key.text if isinstance(key, Quantity) else str(key)))
    elif isinstance(value, tuple | list):
        yield from _list(value, path)
    elif isinstance(value, bool):
        yield path, Input("yes" if value else "no")
    elif isinstance(value, float):
        yield path, Input(plain_digits(value), value)
    elif value is not None and value != "":
        yield path, Input(str(value))


def _list(values: tuple[Any, ...] | list[Any], path: _Path) -> Iterator[tuple[_Path, Input]]:
    """A list: names in one, coordinates by their axes, what has a name by that, the rest by number."""
    if values and all(isinstance(each, str) for each in values):
        yield path, Input(", ".join(values))
        return
    names = [getattr(each, "name", None) for each in values]
    if all(isinstance(each, Coordinate) for each in values) and len(values) == len(_AXES):
        steps: tuple[str, ...] = _AXES
    elif all(isinstance(name, str) for name in names) and len(set(names)) == len(names):
        steps = tuple(str(name) for name in names)
    else:
        steps = tuple(str(number) for number in range(1, len(values) + 1))
    for step, each in zip(steps, values, strict=True):
        yield from _value(each, (*path, step))


def _quantity(value: Quantity, path: _Path) -> Iterator[tuple[_Path, Input]]:
    yield path, Input(value.text or value.written_si(), value.si, value.si_unit)
    if not value.exact:
        for which, si in (("least", value.low_si), ("greatest", value.high_si)):
            yield (*path, which), Input(type(value).of(si).written_si(), si, value.si_unit)
    if value.origin not in (ASSUMED, DEFAULT):
        yield (*path, "from"), Input(value.origin)


def _flat(value: Any, path: _Path) -> Iterator[tuple[_Path, str]]:
    """The texts of a tree and the keys that lead to them."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _flat(inner, (*path, str(key)))
    elif isinstance(value, list):
        for number, inner in enumerate(value, 1):
            yield from _flat(inner, (*path, str(number)))
    else:
        yield path, str(value)
