"""What every model of the format shares: frozen, no unknown keys, rules about keys that stand in plain lists.

To add a key: add one attribute with its type and its docstring to the model it belongs to. If it excludes or needs
another key, add it to `exactly_one`, `at_most_one` or `needs` of the same model. Nothing else has to change: reader,
JSON Schema and filled-in file all go by the models.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar, Self

from pydantic import BaseModel, ConfigDict, ModelWrapValidatorHandler, ValidationInfo, model_validator

from sim.scenario.refused import Refused, listed, nearest_word, quoted
from sim.scenario.trade_words import meant_by

EVERYWHERE = ("notes",)
"""Keys that may stand in any table; the reader sets them aside (Scenario.notes)."""


class Part(BaseModel):
    """Base of all models. The lists of rules name keys as written; those of base classes count too."""

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=True)

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Groups of keys of which exactly one is written."""
    at_most_one: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Groups of keys of which at most one is written."""
    needs: ClassVar[Mapping[str, tuple[str, ...]]] = {}
    """Key -> keys that must stand beside it."""

    @classmethod
    def check_written(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        """Further rules about which keys are written (all values are still as written). Override where needed."""
        yield from ()

    def check_values(self) -> Iterator[Refused]:
        """Further rules about values, once all were read well and no rule about keys was broken. Override where needed.

        `at` of what is refused may name a key of this part.
        """
        yield from ()

    @classmethod
    def keys(cls) -> tuple[str, ...]:
        """The keys of this part as written in a file."""
        return tuple(info.alias or name for name, info in cls.model_fields.items())

    @classmethod
    def alternatives(cls) -> Iterator[tuple[str, ...]]:
        """All groups of keys that exclude each other."""
        for group_list in ("exactly_one", "at_most_one"):
            for base in cls.__mro__:
                yield from vars(base).get(group_list, ())

    @classmethod
    def all_needs(cls) -> Iterator[tuple[str, tuple[str, ...]]]:
        """(key, keys that must stand beside it) of this part and its bases."""
        for base in cls.__mro__:
            yield from vars(base).get("needs", {}).items()

    @model_validator(mode="wrap")
    @classmethod
    def _checked(cls, written: Any, read: ModelWrapValidatorHandler[Self], info: ValidationInfo) -> Self:
        """Unknown keys, rules on keys, the values themselves, rules on values: all told at once."""
        if not isinstance(written, dict):
            return read(written)
        known = written.copy()
        for refused in cls._unknown_keys(written):
            _complain(info, refused, written)
            known.pop(str(refused.at), None)
        rules_broken = [*cls._group_rules(known), *cls.check_written(known)]
        for refused in rules_broken:
            _complain(info, refused, written)
        part = read(known)
        for refused in () if rules_broken else part.check_values():
            _complain(info, refused, written)
        return part

    @classmethod
    def _unknown_keys(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        keys = cls.keys()
        for key in written:
            if key not in keys:
                near = meant_by(key, keys) or nearest_word(key, (*keys, *EVERYWHERE))
                expected = "a key of the format" if near and len(keys) > 12 else listed(keys)
                yield Refused(f"unknown key {quoted(key)}", expected, near, at=key)

    @classmethod
    def _group_rules(cls, written: Mapping[str, Any]) -> Iterator[Refused]:
        """The rules in exactly_one, at_most_one and needs."""
        for base in cls.__mro__:
            for group in vars(base).get("exactly_one", ()):
                if not any(key in written for key in group):
                    yield Refused(f"none of {listed(group)}", "exactly one of them")
        for key, others in cls.all_needs():
            for other in others:
                if key in written and other not in written:
                    yield Refused(f"{key} without {other}", f"{other} beside {key}", at=key_at(written, key))
        for group in cls.alternatives():
            present = [key for key in group if key in written]
            if len(present) > 1:
                at = key_at(written, present[1])
                yield Refused(listed(present, "and"), f"only one of {listed(group)}", at=at)


def key_at(written: Mapping[str, Any], key: str) -> str:
    """The key as it stands in the file, with its place."""
    return next((k for k in written if k == key), key)


def _complain(info: ValidationInfo, refused: Refused, written: Mapping[str, Any]) -> None:
    """Collect while a file is read, so that all faults are told at once; raise where a part is made by code."""
    if not isinstance(info.context, list):
        raise refused
    if refused.at is None:
        refused.at = written
    elif type(refused.at) is str:
        refused.at = written.get(refused.at, written)
    info.context.append(refused)
