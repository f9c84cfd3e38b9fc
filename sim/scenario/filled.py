"""The scenario written out again with every default filled in: what a result folder keeps as `scenario.yaml`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

import yaml

from sim.scenario.model import MAY_BE_NONE, Limits, Note, Scenario
from sim.scenario.parts.part import Part
from sim.scenario.quantity import ASSUMED, Quantity, plain_digits


class _TextDumper(yaml.SafeDumper):
    """Writes every text plainly where YAML allows it: our reader takes no text for anything else."""

    yaml_implicit_resolvers: ClassVar[dict[str, Any]] = {}  # pyright: ignore[reportIncompatibleVariableOverride]


_HEAD = "# The scenario as it was read, every default filled in and every `like` followed.\n"


def filled_in(scenario: Scenario) -> str:
    """YAML text that reads back as an equal scenario: same SI values, spreads and origins; quantities as written."""
    tree = _table(scenario)
    for note in scenario.notes:
        _put_note(tree, note)
    text = yaml.dump(tree, Dumper=_TextDumper, sort_keys=False, allow_unicode=True, default_flow_style=None, width=110)
    return _HEAD + text


def _table(part: Part) -> dict[str, Any]:
    """One part's keys as written, in the order of its model; what is left out on purpose stays out."""
    table: dict[str, Any] = {}
    for name, info in type(part).model_fields.items():
        value = getattr(part, name)
        key = info.alias or name
        if isinstance(part, Scenario) and key in MAY_BE_NONE:
            table[key] = _plain(value) if not _says_none(value) else "none"
        elif value is not None and not (isinstance(value, Mapping | tuple | str) and not value):
            table[key] = _plain(value)
    return table


def _says_none(value: Any) -> bool:
    return value.none if isinstance(value, Limits) else not value


def _plain(value: Any) -> Any:
    """A value as YAML carries it; every scalar a text."""
    if isinstance(value, Quantity):
        return _quantity(value)
    if isinstance(value, Part):
        return _table(value)
    if isinstance(value, Mapping):
        return {_key(key): _plain(inner) for key, inner in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(inner) for inner in value]
    if isinstance(value, bool):
        return "yes" if value else "no"
    return plain_digits(value) if isinstance(value, float) else str(value)


def _key(key: Any) -> str:
    return key.text if isinstance(key, Quantity) else str(key)


def _quantity(value: Quantity) -> Any:
    """As written; long where it has an origin or a spread."""
    text = value.text or value.written_si()
    if value.exact and value.origin == ASSUMED:
        return text
    long: dict[str, Any] = {"value": text}
    if value.origin != ASSUMED:
        long["from"] = value.origin
    if not value.exact:
        ends = (type(value).of(value.low_si), type(value).of(value.high_si))
        long["range"] = [end.written_si() for end in ends]
    return long


def _put_note(tree: dict[str, Any], note: Note) -> None:
    """Put a note back into the table it stood in."""
    here: Any = tree
    for step in note.where:
        key: Any = step
        inner = here[key] if isinstance(here, list) else here.setdefault(key, {})
        if not isinstance(inner, dict | list):
            inner = here[key] = {} if inner == "none" else {"value": inner}
        here = inner
    here["notes"] = note.text
