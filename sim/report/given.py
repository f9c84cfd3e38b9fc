"""What the scenario gives, value by value: as written, its spread, where it comes from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from sim.report.look import Look
from sim.report.spans import Spans, Traced, joined, say
from sim.scenario import Scenario
from sim.scenario.parts.part import Part
from sim.scenario.quantity import ASSUMED, DEFAULT, Quantity

SCENARIO_FILE = "scenario.yaml"
Path: TypeAlias = tuple[str | int, ...]
_SMALL_M = 0.3
"""Below this a length is shown in millimetres or inches."""


@dataclass(frozen=True)
class Given:
    """One value of the scenario and the keys that lead to it."""

    path: Path
    value: Any

    @property
    def origin(self) -> str:
        """Where it comes from: 'assumed' where the file does not say, 'default' where the program filled it in."""
        return self.value.origin if isinstance(self.value, Quantity) else ""

    @property
    def is_assumed(self) -> bool:
        """A quantity nobody stated a source for."""
        return self.origin in (ASSUMED, DEFAULT)

    def as_written(self) -> Traced:
        """The value as its author wrote it."""
        return Traced(_text(self.value), self.path, of=SCENARIO_FILE)

    def converted(self, look: Look) -> Traced | None:
        """A quantity in the report's units, to four digits; None where these are its own or it has no such unit."""
        if not isinstance(self.value, Quantity):
            return None
        text = exact(self.value.si, self.value.si_unit, look)
        if text is None or text.replace("\u00a0", " ") == self.value.text:
            return None
        return Traced(text, self.path, self.value.si_unit, self.value.si, "converted", SCENARIO_FILE)

    def spread(self, look: Look) -> Spans:
        """From the least to the greatest it may be; empty where none was stated."""
        if not isinstance(self.value, Quantity) or self.value.exact:
            return ()
        unit = self.value.si_unit
        ends = []
        for end, si in (("low", self.value.low_si), ("high", self.value.high_si)):
            text = exact(si, unit, look) or f"{look.marked(f'{si:.4g}')} {unit}".strip()
            ends.append((Traced(text, self.path, unit, si, end, SCENARIO_FILE),))
        return joined(ends, " to ")


def exact(si: float, unit: str, look: Look) -> str | None:
    """A value to four significant digits in the report's units; None for a unit that has only one way to be shown.

    >>> exact(0.006, "m", Look()), exact(84.0, "kg", Look())
    ('6\u00a0mm', '84\u00a0kg')
    """
    if unit == "m" and abs(si) < _SMALL_M and si:
        size, sign = (0.001, "mm") if look.units == "si" else (0.0254, "in")
    elif unit in ("m", "N", "kg", "m/s", "m/s^2"):
        size, sign = look.size(unit), look.sign(unit)
    else:
        return None
    return _four(si / size, sign, look)


def _four(value: float, sign: str, look: Look) -> str:
    digits = f"{value:.4g}"
    plain = f"{float(digits):,.10f}".rstrip("0").rstrip(".")
    return f"{look.marked(plain)}\u00a0{sign}"


def walk(part: Any, path: Path = ()) -> Iterator[Given]:
    """Every value of a part and of the parts in it, in the order of the format; what was left out is left out."""
    if isinstance(part, Part):
        for name, info in type(part).model_fields.items():
            value = getattr(part, name)
            if value is not None and name != "compare":
                yield from walk(value, (*path, info.alias or name))
    elif isinstance(part, Mapping):
        for key, value in part.items():
            yield from walk(value, (*path, key.text if isinstance(key, Quantity) else str(key)))
    elif isinstance(part, tuple | list) and any(isinstance(each, Part | Mapping) for each in part):
        for i, each in enumerate(part):
            yield from walk(each, (*path, i))
    elif part != () and part != "":
        yield Given(path, part)


def at(scenario: Scenario, path: Path) -> Any:
    """What stands under these keys."""
    here: Any = scenario
    for step in path:
        here = _attribute(here, str(step)) if isinstance(here, Part) else here[step]
    return here


def described(scenario: Scenario, path: Path, keys: tuple[str, ...] = (), leave: tuple[str, ...] = ()) -> Spans:
    """A part in words: `type aramid copolymer 12-strand, diameter 6 mm`; all of its keys, or some, or all but some."""
    pieces = []
    for given in walk(at(scenario, path), path):
        first = str(given.path[len(path)]) if len(given.path) > len(path) else ""
        if (keys and first not in keys) or first in leave:
            continue
        value = given.as_written()
        inner = [str(step + 1) if isinstance(step, int) else step for step in given.path[len(path) :]]
        name = " ".join(inner).replace("_", " ")
        pieces.append(
            (value,) if keys == (name,) or not name else say("{name} {value}", name=_named(given, name), value=value)
        )
    return joined(pieces)


def _named(given: Given, name: str) -> Traced:
    return Traced(name, given.path, how="keys", of=SCENARIO_FILE)


def _attribute(part: Any, key: str) -> Any:
    for name, info in type(part).model_fields.items():
        if key in (name, info.alias):
            return getattr(part, name)
    raise KeyError(key)


def _text(value: Any) -> str:
    if isinstance(value, Quantity):
        return value.text or value.written_si()
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple | list):
        return "[" + ", ".join(_text(each) for each in value) + "]"
    return f"{value:g}" if isinstance(value, float) else str(value)
