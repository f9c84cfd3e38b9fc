"""Names: who is called what, and which names are allowed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sim.scenario.model import SECTIONS
from sim.scenario.refused import Refused, nearest_word, quoted
from sim.scenario.tree import NOT_SHOWN, Items, Place, Table, Text, place_of

PLANNED_MOVE = "planned move"
"""The name of the case without any stop."""

_FORBIDDEN = re.compile(r"->|[:,#'\"\u2018\u2019\u201c\u201d]|[\t\n]|" + NOT_SHOWN.pattern)

Complaint = tuple[Place, Refused]


def table(parent: Any, key: str) -> Table:
    """The table under a key, empty where there is none."""
    inner = parent.get(key) if isinstance(parent, Table) else None
    return inner if isinstance(inner, Table) else Table()


def items(parent: Any, key: str) -> Items:
    """The list under a key, empty where there is none."""
    inner = parent.get(key) if isinstance(parent, Table) else None
    return inner if isinstance(inner, Items) else Items()


def texts(parent: Any, key: str) -> list[Text]:
    """The texts of a list under a key."""
    return [item for item in items(parent, key) if isinstance(item, Text)]


def word(parent: Any, key: str) -> Text | None:
    """The text under a key."""
    inner = parent.get(key) if isinstance(parent, Table) else None
    return inner if isinstance(inner, Text) and inner else None


@dataclass(frozen=True)
class Names:
    """Element name -> its section; harness points have the section 'harness point'."""

    section: dict[str, str]
    point_of: dict[str, str]
    """Harness point -> its performer."""

    @classmethod
    def of(cls, root: Table) -> Names:
        """The names of a file."""
        section = {str(name): key for key in SECTIONS for name in table(root, key)}
        point_of = {
            str(point): str(performer)
            for performer, keys in table(root, "performers").items()
            for point in table(table(keys, "harness"), "points")
        }
        return cls(dict.fromkeys(point_of, "harness point") | section, point_of)

    def among(self, *sections: str) -> list[str]:
        """All names in these sections."""
        return [name for name, section in self.section.items() if section in sections]

    def refuse(self, name: Text, *sections: str, what: str) -> Iterator[Complaint]:
        """Refuse a name that is in none of the sections; `what` says what was expected there."""
        found = self.section.get(name)
        if found in sections:
            return
        is_what = f" is one of the {found}" if found and found != "harness point" else f" is a {found}" if found else ""
        near = nearest_word(name, self.among(*sections))
        yield place_of(name), Refused(f"{quoted(name)}{is_what and ', which' + is_what}", what, near)


def check_names(root: Table) -> Iterator[Complaint]:
    """Every name once in the file, and of allowed characters."""
    first: dict[str, str] = {}
    for name, what in _all_names(root):
        yield from _allowed(name)
        if name in first:
            place = place_of(name)
            yield place, Refused(f"the name {quoted(name)} again", f"a name not yet used ({first[name]})")
        first.setdefault(name, what)
    cases: set[str] = {PLANNED_MOVE}
    for stop in items(root, "stops"):
        name = word(stop, "name")
        if name is not None:
            yield from _allowed(name)
            if name in cases:
                yield name.place, Refused(f"the case name {quoted(name)} again", "a name of its own for each case")
            cases.add(name)
    for name in table(root, "compare"):
        yield from _allowed(name)


def _all_names(root: Table) -> Iterator[tuple[str, str]]:
    for section in SECTIONS:
        for name, keys in table(root, section).items():
            yield name, f"it stands in {section}"
            if section == "performers":
                for point in table(table(keys, "harness"), "points"):
                    yield point, f"it is a harness point of {name}"


def _allowed(name: str) -> Iterator[Complaint]:
    wrong = _FORBIDDEN.search(name)
    if wrong:
        found = f"{quoted(wrong[0])} in the name {quoted(name)}"
        yield place_of(name), Refused(found, "a name without : , # -> or quotes")
    elif not name.strip() or name != name.strip():
        yield place_of(name), Refused(f"the name {quoted(name)}", "a name without blanks around it")
    elif len(name) > 60:
        yield place_of(name), Refused(f"a name of {len(name)} characters", "at most 60")
