"""YAML as this format uses it: tables, lists and texts, each with its place in the file, and nothing more.

PyYAML only cuts the text into events. Every scalar stays the text that was typed; what it means is decided by the field
it stands in, so `on`, `No`, `1:30`, `1.10` and `010` are what they look like. Anchors, aliases, tags, merge keys,
duplicate keys and further documents are refused, and nesting is limited before anything recurses into it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import yaml
from typing_extensions import override

from sim.scenario.refused import Refused, quoted

MOST_VALUES = 10_000
"""Scalars in a file; a rig of twenty lines needs about 1,000."""
DEEPEST = 24
"""Tables and lists within each other; the format itself needs 8."""

NOT_SHOWN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff\ufeff\ufffe\uffff]")
"""Control characters, marks that turn the direction of writing, halves of pairs: nobody sees what they do to a line on
a terminal, in a drawing or in a file, and some of them make one number look like another."""

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Place:
    """Line and column (from 1) and the keys and list places (from 0) that lead there."""

    line: int
    column: int
    path: tuple[str | int, ...] = ()


START = Place(1, 1)


class Text(str):
    """A scalar as typed, or a key."""

    __slots__ = ("place",)
    place: Place

    @classmethod
    def put(cls, text: str, place: Place) -> Text:
        """The text at its place."""
        made = cls(text)
        made.place = place
        return made


class Table(dict[str, Any]):
    """Keys (each a Text) and what stands under them. Its place is that of the key it stands under."""

    place: Place = START

    @override
    def copy(self) -> Table:
        made = Table(self)
        made.place = self.place
        return made


class Items(list[Any]):
    """A list."""

    place: Place = START


class TreeError(Exception):
    """The text cannot be taken further; `refused` says why, `place` where."""

    def __init__(self, refused: Refused, place: Place) -> None:
        super().__init__(str(refused))
        self.refused, self.place = refused, place


def place_of(thing: object, otherwise: Place = START) -> Place:
    """Where a Text, Table or Items stands."""
    place = getattr(thing, "place", None)
    return place if isinstance(place, Place) else otherwise


def read_tree(text: str) -> tuple[Table, list[tuple[Place, Refused]]]:
    """The file's table, and what was refused on the way. Raises TreeError where no table can be made of the text."""
    builder = _Builder()
    try:
        for event in yaml.parse(text, Loader=_Loader):
            builder.take(event)
    except yaml.MarkedYAMLError as error:
        raise _not_yaml(error, text) from None
    except yaml.reader.ReaderError as error:
        before = text[: error.position]
        place = Place(before.count("\n") + 1, error.position - (before.rfind("\n") + 1) + 1)
        raise TreeError(Refused("an unprintable character", "text that can be read"), place) from None
    except yaml.YAMLError as error:
        raise TreeError(Refused(str(error).splitlines()[0], "YAML"), START) from None
    if not isinstance(builder.root, Table):
        found = "nothing" if not builder.root else "a list" if isinstance(builder.root, Items) else quoted(builder.root)
        raise TreeError(Refused(found, "a table of keys, such as title: and performers:"), place_of(builder.root))
    return builder.root, builder.refused


def _not_yaml(error: yaml.MarkedYAMLError, text: str) -> TreeError:
    """Where the text stops being YAML; for a bracket that never closes, where it opens."""
    in_brackets = (error.context or "").startswith("while parsing a flow") and error.context_mark is not None
    mark: Any = error.context_mark if in_brackets else error.problem_mark or error.context_mark
    if mark is None:
        return TreeError(Refused("text that is no YAML", "YAML"), START)
    lines = text.split("\n")
    if in_brackets:
        refused = Refused("a bracket that does not close", "its other half, and commas between what is in it")
    elif mark.line < len(lines) and lines[mark.line][mark.column : mark.column + 1] == "\t":
        refused = Refused("a tab", "blanks to indent")
    else:
        refused = Refused(f"text that is no YAML ({error.problem or error.context})", "key, colon, blank, value")
    return TreeError(refused, Place(mark.line + 1, mark.column + 1))


@dataclass
class _Open:
    """A table or list still being filled."""

    made: Table | Items
    place: Place
    key: Text | None = None
    skip: bool = False


@dataclass
class _Builder:
    """Takes events one by one and grows the tree; no recursion, whatever the nesting."""

    root: Any = None
    refused: list[tuple[Place, Refused]] = field(default_factory=list)
    stack: list[_Open] = field(default_factory=list)
    documents: int = 0
    values: int = 0

    def take(self, event: Any) -> None:
        """One event of PyYAML."""
        if isinstance(event, yaml.DocumentStartEvent):
            self._document(event)
        elif isinstance(event, yaml.AliasEvent):
            self._refuse(event, f"alias *{event.anchor}", "the value written out, or like: with a name")
            self._put(Text.put("", self._next_place(event)))
        elif isinstance(event, yaml.ScalarEvent):
            self._no_extras(event)
            self._scalar(event)
        elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
            self._no_extras(event)
            self._open(event, Table() if isinstance(event, yaml.MappingStartEvent) else Items())
        elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            done = self.stack.pop()
            if not done.skip:
                self._put(done.made)

    def _document(self, event: Any) -> None:
        self.documents += 1
        if self.documents > 1:
            raise TreeError(Refused("a second document", "one document in a file"), self._mark(event))
        if event.version or event.tags:
            self._refuse(event, "a % directive", "none")

    def _no_extras(self, event: Any) -> None:
        if event.anchor is not None:
            self._refuse(event, f"anchor &{event.anchor}", "no anchors: like: with a name copies an element")
        if event.tag is not None:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            self._refuse(event, f"tag {quoted(tag)}", "no tags: the key says what a value is")

    def _awaits_key(self) -> bool:
        return bool(self.stack) and isinstance(self.stack[-1].made, Table) and self.stack[-1].key is None

    def _scalar(self, event: Any) -> None:
        self.values += 1
        if self.values > MOST_VALUES:
            raise TreeError(Refused(f"more than {MOST_VALUES} values", "fewer"), self._mark(event))
        if not self._awaits_key():
            hidden = NOT_SHOWN.search(event.value)
            if hidden:
                self._refuse(event, f"{quoted(hidden[0])} in {quoted(event.value)}", "text that can be shown")
            self._put(Text.put(event.value, self._next_place(event)))
            return
        parent = self.stack[-1]
        key = Text.put(event.value, self._mark(event, (*parent.place.path, event.value)))
        if key in parent.made:
            self.refused.append((key.place, Refused(f"{quoted(key)} a second time", "each key once")))
        if key == "<<" and event.implicit[0]:
            self.refused.append((key.place, Refused("merge key <<", "like: with a name, to copy an element")))
        parent.key = key

    def _open(self, event: Any, made: Table | Items) -> None:
        if len(self.stack) >= DEEPEST:
            raise TreeError(Refused(f"more than {DEEPEST} levels of nesting", "fewer"), self._mark(event))
        skip = self._awaits_key()
        if skip:
            self._refuse(event, "a list or table as a key", "a word as key")
        made.place = self._next_place(event)
        self.stack.append(_Open(made, made.place, skip=skip))

    def _put(self, thing: Any) -> None:
        """Under the key that waits for it, or at the end of the list, or as the root."""
        if not self.stack:
            self.root = thing
            return
        parent = self.stack[-1]
        if isinstance(parent.made, Items):
            parent.made.append(thing)
        elif parent.key is None:
            parent.key = Text.put("", place_of(thing))
        else:
            if parent.key not in parent.made and parent.key != "<<":
                parent.made[parent.key] = thing
            parent.key = None

    def _next_place(self, event: Any) -> Place:
        """The place of what this event begins; a table or list stands where its key does."""
        if not self.stack:
            return self._mark(event)
        parent = self.stack[-1]
        if isinstance(parent.made, Items):
            return self._mark(event, (*parent.place.path, len(parent.made)))
        if parent.key is None:
            return self._mark(event, parent.place.path)
        if isinstance(event, yaml.ScalarEvent | yaml.AliasEvent):
            return self._mark(event, (*parent.place.path, parent.key))
        return parent.key.place

    def _mark(self, event: Any, path: tuple[str | int, ...] = ()) -> Place:
        mark = event.start_mark
        return Place(mark.line + 1, mark.column + 1, tuple(str(p) if isinstance(p, str) else p for p in path))

    def _refuse(self, event: Any, found: str, expected: str) -> None:
        path = self._next_place(event).path if self.stack else ()
        self.refused.append((self._mark(event, path), Refused(found, expected)))


def as_tree(thing: Any, place: Place = START) -> Any:
    """Plain tables, lists and texts as a tree; every place is the given one."""
    if isinstance(thing, Mapping):
        table = Table()
        table.place = Place(place.line, place.column, place.path)
        for key, inner in thing.items():
            below = Place(place.line, place.column, (*place.path, str(key)))
            table[Text.put(str(key), below)] = as_tree(inner, below)
        return table
    if isinstance(thing, list | tuple):
        made = Items(as_tree(inner, Place(place.line, place.column, (*place.path, i))) for i, inner in enumerate(thing))
        made.place = place
        return made
    return Text.put(str(thing), place)
