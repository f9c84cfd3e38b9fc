"""`like: other name` and `notes`: what is worked out on the written text, before any key is given a meaning."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sim.scenario.model import SECTIONS, Note
from sim.scenario.parts.part import Part
from sim.scenario.refused import Refused, listed, nearest_word, quoted
from sim.scenario.tree import Items, Place, Table, Text, place_of

LONGEST_CHAIN = 20
"""Elements that may each be like the next."""

Complaints = list[tuple[Place, Refused]]


def take_out_notes(tree: Any, refused: Complaints) -> list[Note]:
    """Remove every `notes` from the tree and return them; they may stand in any table."""
    notes: list[Note] = []
    if isinstance(tree, Table) and "notes" in tree:
        written = tree.pop("notes")
        lines = written if isinstance(written, Items) else [written]
        if all(isinstance(line, Text) for line in lines):
            notes.append(Note(tree.place.path, "\n".join(lines).strip()))
        else:
            refused.append((place_of(written), Refused("a table", "notes: a text, or a list of texts")))
    for inner in tree.values() if isinstance(tree, Table) else tree if isinstance(tree, Items) else ():
        notes += take_out_notes(inner, refused)
    return notes


def copy_likes(root: Table, refused: Complaints) -> set[tuple[str, str]]:
    """Replace every element that has a `like` by the named element's keys and its own.

    Returns (section, name) of those whose like leads nowhere: they lack keys through no fault of their own.
    """
    lost: set[tuple[str, str]] = set()
    for section, models in SECTIONS.items():
        elements = root.get(section)
        if isinstance(elements, Table):
            copier = _Copier(elements, models, refused)
            for name in elements:
                copier.settle(name, ())
            lost |= {(section, name) for name in copier.lost}
    return lost


@dataclass
class _Copier:
    """The elements of one section while their likes are followed, each once."""

    elements: Table
    models: tuple[type[Part], ...]
    refused: Complaints
    settled: set[str] = field(default_factory=set)
    lost: set[str] = field(default_factory=set)

    def settle(self, name: str, waiting: tuple[str, ...]) -> None:
        """Follow the like of one element; `waiting` are those that wait for it."""
        element = self.elements[name]
        if name in self.settled or not isinstance(element, Table) or "like" not in element:
            self.settled.add(name)
            return
        other = element["like"]
        problem = self._problem(name, other, waiting)
        if problem is not None:
            self.refused.append((place_of(other, element.place), problem))
            del element["like"]
            self.settled.add(name)
            self.lost.add(name)
            return
        self.settle(other, (*waiting, name))
        if other in self.lost:
            self.lost.add(name)
        self.elements[name] = self._merged(element, self.elements[other])
        self.settled.add(name)

    def _problem(self, name: str, other: Any, waiting: tuple[str, ...]) -> Refused | None:
        if not isinstance(other, str):
            return Refused("no name", "like: the name of an element of the same section")
        if other not in self.elements:
            expected = f"like: {listed(n for n in self.elements if n != name) or 'another element'}"
            return Refused(quoted(other), expected, nearest_word(other, (n for n in self.elements if n != name)))
        if other == name or other in waiting:
            return Refused(quoted(other), "no circle of likes")
        if len(waiting) >= LONGEST_CHAIN:
            return Refused(quoted(other), f"no chain of more than {LONGEST_CHAIN} likes")
        if not isinstance(self.elements[other], Table):
            return Refused(quoted(other), "the name of an element with keys")
        return None

    def _merged(self, own: Table, other: Table) -> Table:
        """The other's keys, but those written anew and those that would exclude them; then the own keys."""
        merged = Table()
        merged.place = own.place
        excluded = {
            key
            for model in self.models
            for group in model.alternatives()
            if any(k in own for k in group)
            for key in group
        }
        for key, value in other.items():
            if key not in own and key not in excluded:
                merged[key] = value
        merged.update((key, value) for key, value in own.items() if key != "like")
        for key, others in ((k, o) for model in self.models for k, o in model.all_needs()):
            if key in merged and key not in own and any(o not in merged for o in others):
                del merged[key]
        return merged
