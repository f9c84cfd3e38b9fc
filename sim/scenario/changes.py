"""Changed keys laid over a scenario's tree: what `compare` in a file and listed values of a key come down to."""

from __future__ import annotations

from sim.scenario.copying import Complaints
from sim.scenario.model import SECTIONS
from sim.scenario.parts.part import Part
from sim.scenario.parts.strength import Strength
from sim.scenario.refused import Refused, nearest_word, quoted
from sim.scenario.tree import Table, place_of

MOST_CASES = 50
"""Compare cases in one file."""

_WHOLE = ("type",)
"""Tables that are changed as a whole: half of one line type and half of another is no type."""
_CERTIFIED = ("type", "diameter")
"""What a line's certificate and its bending life are for."""


def with_changes(root: Table, changes: Table, refused: Complaints) -> Table:
    """A new tree: the root's keys with the changes over them. Neither is altered.

    A line that changes its type or diameter leaves its certificate behind, unless the change brings one: a certificate
    never crosses types. Keys that the changed ones exclude are left behind too, and a quantity that is changed leaves
    behind where the old value came from and how far it might be off.
    """
    changed = _copy_without(root, {"compare"})
    for key, change in changes.items():
        base = changed.get(key)
        if key == "compare":
            refused.append((place_of(key), Refused("compare within a compare case", "keys of the scenario")))
        elif key in SECTIONS and isinstance(change, Table) and isinstance(base, Table):
            changed[key] = _elements(base, change, SECTIONS[key], refused)
        elif isinstance(change, Table) and isinstance(base, Table):
            changed[key] = _over(base, change)
        else:
            changed[key] = change
    return changed


def _elements(base: Table, change: Table, models: tuple[type[Part], ...], refused: Complaints) -> Table:
    """The elements of one section; a change names elements that are there."""
    changed = base.copy()
    for name, keys in change.items():
        if name not in base:
            near = nearest_word(name, base)
            refused.append((place_of(name), Refused(quoted(name), "an element that is there to be changed", near)))
        elif isinstance(keys, Table) and isinstance(base[name], Table):
            changed[name] = _over(_left_behind(base[name], keys, models), keys)
        else:
            changed[name] = keys
    return changed


def _left_behind(element: Table, keys: Table, models: tuple[type[Part], ...]) -> Table:
    """The element without the keys that the changed ones exclude, and without the certificate of another type."""
    gone = {
        key
        for model in models
        for group in model.alternatives()
        if any(changed in group for changed in keys)
        for key in group
    }
    if any(key in keys and keys[key] != element.get(key) for key in _CERTIFIED):
        gone |= {*Strength.keys(), "bending_life"} - {"design_factor"}
    return _copy_without(element, gone - {*keys})


def _over(base: Table, change: Table) -> Table:
    """The change over the base, table by table."""
    changed = base.copy()
    for key, value in change.items():
        under = base.get(key)
        quantity = isinstance(value, Table) and "value" in value
        if isinstance(value, Table) and isinstance(under, Table) and key not in _WHOLE and not quantity:
            changed[key] = _over(under, value)
        else:
            changed[key] = value
    return changed


def _copy_without(table: Table, keys: set[str]) -> Table:
    copy = table.copy()
    for key in keys & {*copy}:
        del copy[key]
    return copy
