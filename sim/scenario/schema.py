"""The JSON Schema of the format, made from the models, so that editors complete and check while typing.

Editors see YAML's own numbers and booleans where our reader sees text, so the schema allows both. It checks shapes,
words and keys; what one element says of another only the reader checks.
Write the shipped file anew after a change of the models: `python -m sim.scenario.schema`.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import Any

from pydantic.json_schema import GenerateJsonSchema
from typing_extensions import override

from sim.scenario import kinds
from sim.scenario.model import SECTIONS, Scenario
from sim.scenario.parts.part import Part
from sim.scenario.quantity import SCHEMA_MARK, Quantity

SHIPPED = Path(__file__).with_name("scenario.schema.json")
"""The file in the package that editors are pointed to."""

Schema = dict[str, Any]

_NOTES: Schema = {
    "description": "For people; may stand in any table.",
    "anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}],
}
_LIKE: Schema = {
    "type": "string",
    "description": "Copy the keys of this element of the same section; the rest override.",
}


class _Defaults(GenerateJsonSchema):
    """Writes a default as one would write it in the file."""

    @override
    def encode_default(self, dft: Any) -> Any:
        if isinstance(dft, Quantity):
            return dft.text
        if isinstance(dft, Part):
            return {key: self.encode_default(value) for key, value in dft if value not in (None, {}, ())}
        return super().encode_default(dft)


def json_schema() -> Schema:
    """The whole schema, JSON Schema 2020-12."""
    schema = Scenario.model_json_schema(schema_generator=_Defaults)
    definitions: Schema = schema.pop("$defs")
    models = {model.__name__: model for model in _parts(Part)}
    named = {model for section in SECTIONS.values() for model in section}
    for name, definition in definitions.items():
        if name in models:
            _add_rules(definition, models[name], has_like=models[name] in named)
    _add_rules(schema, Scenario, has_like=False)
    for section in SECTIONS:
        schema["properties"][section].setdefault("properties", {})["notes"] = _NOTES
    definitions |= {kind.__name__: _quantity(kind) for kind in _kinds()}
    dialect = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    whole = {**dialect, **schema, "$defs": dict(sorted(definitions.items()))}
    return _loosened(whole)


def schema_text() -> str:
    """The schema as the shipped file holds it."""
    return json.dumps(json_schema(), indent=1, ensure_ascii=False) + "\n"


def _parts(base: type[Part]) -> Iterator[type[Part]]:
    for model in base.__subclasses__():
        yield model
        yield from _parts(model)


def _kinds() -> list[type[Quantity]]:
    classes = [kind for kind in vars(kinds).values() if isinstance(kind, type)]
    return [kind for kind in classes if issubclass(kind, Quantity) and kind is not Quantity]


def _add_rules(definition: Schema, model: type[Part], has_like: bool) -> None:
    """Notes and like, and the model's rules on which keys go together."""
    properties: Schema = definition["properties"]
    properties["notes"] = _NOTES
    due: list[Schema] = [{"required": definition.pop("required")}] if "required" in definition else []
    groups = [group for base in model.__mro__ for group in vars(base).get("exactly_one", ())]
    due += [{"anyOf": [{"required": [key]} for key in group]} for group in groups]
    rules: list[Schema] = [
        {"not": {"required": [*pair]}} for group in model.alternatives() for pair in combinations(group, 2)
    ]
    if has_like:
        properties["like"] = _LIKE
        rules += [{"anyOf": [{"required": ["like"]}, {"allOf": due}]}] if due else []
    else:
        rules += due
        definition |= {"dependentRequired": {key: [*others] for key, others in model.all_needs()}}
    if rules:
        definition["allOf"] = rules


def _quantity(kind: type[Quantity]) -> Schema:
    """A quantity as text, or in its long form."""
    text: Schema = {"type": ["string", "number"] if kind.bare else "string", "examples": [kind.example()]}
    return {
        "description": f"{kind.kind.capitalize()}: {', '.join(kind.accepts)}" + (", or no unit" if kind.bare else ""),
        "anyOf": [
            text,
            {
                "type": "object",
                "properties": {
                    "value": text,
                    "from": {"type": "string", "description": "Where the value comes from."},
                    "within": {"type": ["string", "number"], "description": "How far off it may be."},
                    "range": {"type": "array", "items": text, "minItems": 2, "maxItems": 2},
                    "notes": _NOTES,
                },
                "required": ["value"],
                "not": {"required": ["within", "range"]},
                "additionalProperties": False,
            },
        ],
    }


def _loosened(schema: Any) -> Any:
    """Free text may look like a number or a truth to an editor: `revision: 2` is right."""
    if isinstance(schema, list):
        return [_loosened(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    loose = {key: _loosened(value) for key, value in schema.items()}
    if "discriminator" in loose:
        # an element that is like another need not say its kind, so it may look like several
        del loose["discriminator"]
        loose["anyOf"] = loose.pop("oneOf")
    if isinstance(loose.get(SCHEMA_MARK), str):
        loose = {"$ref": f"#/$defs/{loose.pop(SCHEMA_MARK)}", **loose}
    if schema.get("type") == "string" and not schema.keys() & {"enum", "const", "examples"}:
        loose["type"] = ["string", "number", "boolean"]
        loose.pop("minLength", None)
    return loose


if __name__ == "__main__":
    SHIPPED.write_text(schema_text(), encoding="utf-8")
