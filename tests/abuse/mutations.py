"""Damage to scenario files that still looks like a scenario: keys, values, units, kinds, texts and their encoding.

Where the choices come from is left to the caller: hypothesis shrinks them, a coverage-guided fuzzer steers them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import deepcopy
from pathlib import Path
from typing import Any, Protocol, TypeVar

import yaml

ROOT = Path(__file__).parents[2]
WHOLE = ROOT / "tests" / "scenario" / "whole"
SEEDS = {
    p.stem: p.read_text(encoding="utf-8") for p in sorted([*(ROOT / "scenarios").glob("*.yaml"), *WHOLE.glob("*.yaml")])
}

T = TypeVar("T")


class Choices(Protocol):
    """Where a mutation takes its decisions from."""

    def pick(self, among: Sequence[T]) -> T:
        """One of several."""
        ...

    def whole(self, low: int, high: int) -> int:
        """A whole number, both ends included."""
        ...

    def text(self) -> str:
        """Any text."""
        ...


UNITS = [
    *("m", "mm", "km", "in", "ft", "kg", "g", "t", "lb", "N", "kN", "MN", "kgf", "lbf", "s", "ms", "us"),
    *("min", "Hz", "m/s", "mm/s", "m/s^2", "m/s²", "m/s^3", "N/m", "kN/mm", "N m", "deg", "rad", "degC"),
    *("°C", "%", "W", "kW", "kg m^2", "", "ton", "kn", "M", "k g", "m m", "m^9", "°", "µm", "parsec"),
    *("kg/m", "g/m"),
]
NUMBERS = [
    *("0", "-0", "1", "-1", "2", "0.5", "1e-9", "1e9", "1e99", "-1e99", "1e-99", "1e308", "1e400"),
    *("999999999999999999", "9" * 60, "0." + "0" * 30 + "1", "1/3", "1 1/4", "1/0", "0/1", "nan", "inf"),
    *("-inf", "٣", "½", "−3", "1_000", "0x10", "1,5", "0.001", "0.01", "0.1", "10", "100", "1000", "10000"),
    *("1e6", "1e-3", "1e-6", "3", "20", "0.3", "1.", ".5", "+5", "--5", "1e", "5 6", "12.6", "84", "3 1/2"),
    *("010", "1:30", "1e-30", "1e30"),
]
WORDS = [
    *("none", "no", "yes", "on", "true", "null", "~", "", " ", "x", "like", "every instant", "winch"),
    *("pull team", "lowering hand", "driven", "exact", "hanging", "standing", "held", "ball", "plain"),
    *("path", "hold", "let go", "planned move", "as stated", "../../../etc/hostname", "/dev/zero"),
    *("/dev/stdin", "a\x00b", "a\tb", "\u202e", "\ud800", "x" * 300, "[", "]", "{", "}", "*a", "&a"),
    *("!!python/object:os.system", "<<", "%", "@", "`", "|", ">", "- -", "\ufeff", "CON", "nul", ".", ".."),
    *("a/b", "a\\b", "C:\\x", "trace.csv", "💥", "é", "\x1b[31mred\x1b[0m", "\r", "\u2028"),
]
SHAPES: list[Any] = [[], {}, [[]], {"": ""}, ["a", "b"], {"x": "y"}, [["0 m", "0 m", "0 m"]], {"value": "1 m"}, ["1 m"]]
LONG_FORMS = ["value", "from", "within", "range", "notes", "like"]


def tree_of(text: str) -> Any:
    """A file as tables, lists and texts."""
    return yaml.load(text, Loader=yaml.BaseLoader)


def written(tree: Any) -> str:
    """The tree as a file again."""
    return yaml.dump(tree, Dumper=yaml.SafeDumper, sort_keys=False, allow_unicode=True, width=10**6)


def places(tree: Any, above: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The way to everything within a tree."""
    inner = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    found: list[tuple[Any, ...]] = []
    for step, below in inner:
        found += [(*above, step), *places(below, (*above, step))]
    return found


def at(tree: Any, way: Sequence[Any]) -> Any:
    """What stands there."""
    for step in way:
        tree = tree[step]
    return tree


def _value(choices: Choices, tree: Any) -> Any:
    kind = choices.whole(0, 6)
    if kind == 0:
        return choices.pick(NUMBERS) + " " + choices.pick(UNITS)
    if kind == 1:
        return choices.pick(WORDS)
    if kind == 2:
        return deepcopy(choices.pick(SHAPES))
    if kind == 3:
        return choices.text()
    if kind == 4:  # something from elsewhere in the file
        return deepcopy(at(tree, choices.pick(places(tree))))
    if kind == 5:
        return {choices.pick(LONG_FORMS): choices.pick(NUMBERS) + " " + choices.pick(UNITS), "value": "1 m"}
    return choices.pick(NUMBERS)


def _replace(choices: Choices, tree: Any, way: tuple[Any, ...]) -> None:
    at(tree, way[:-1])[way[-1]] = _value(choices, tree)


def _number(choices: Choices, tree: Any, way: tuple[Any, ...]) -> None:
    """Another number before the same unit: the damage that reads as a rig most often."""
    old = at(tree, way)
    if isinstance(old, str) and any(c.isdigit() for c in old):
        unit = old.lstrip("-+−0123456789./ e")
        at(tree, way[:-1])[way[-1]] = f"{choices.pick(NUMBERS)} {unit}".strip()
    else:
        _replace(choices, tree, way)


def _unit(choices: Choices, tree: Any, way: tuple[Any, ...]) -> None:
    old = at(tree, way)
    if isinstance(old, str):
        at(tree, way[:-1])[way[-1]] = f"{old.split(' ')[0]} {choices.pick(UNITS)}"


def _drop(choices: Choices, tree: Any, way: tuple[Any, ...]) -> None:
    del at(tree, way[:-1])[way[-1]]


def _rename(choices: Choices, tree: Any, way: tuple[Any, ...]) -> None:
    parent = at(tree, way[:-1])
    if isinstance(parent, dict):
        new = choices.pick(
            [choices.pick(WORDS), choices.text(), str(choices.pick(places(tree))[-1]), str(way[-1]) + "s"]
        )
        renamed = {new if key == way[-1] else key: inner for key, inner in parent.items()}
        parent.clear()
        parent.update(renamed)
    else:
        parent.reverse()


def _copy(choices: Choices, tree: Any, way: tuple[Any, ...]) -> None:
    """The same again, under a new name or at the end of its list; or under any other table."""
    inner = deepcopy(at(tree, way))
    parent = at(tree, way[:-1])
    other = at(tree, choices.pick([(), *places(tree)]))
    for target in (parent, other) if choices.whole(0, 1) else (parent,):
        if isinstance(target, dict):
            target[f"{way[-1]} {choices.whole(2, 3)}"] = inner
        elif isinstance(target, list):
            target.append(inner)


MUTATIONS: list[Callable[[Choices, Any, tuple[Any, ...]], None]] = [
    *(_number, _number, _number),
    *(_replace, _unit, _drop, _rename, _copy),
]
ENCODINGS = ["utf-8", "utf-8", "utf-8", "utf-8", "utf-8-sig", "utf-16", "utf-32", "latin-1", "cp037", "utf-7"]


def damaged(choices: Choices, seed: str, most: int = 4) -> str:
    """A file with up to `most` changes."""
    tree = tree_of(seed)
    for _ in range(choices.whole(1, most)):
        everywhere = places(tree)
        if not everywhere:
            break
        choices.pick(MUTATIONS)(choices, tree, choices.pick(everywhere))
        tree = tree_of(written(tree)) if isinstance(tree, dict) and not _knotted(tree) else tree_of(seed)
    return written(tree)


def _knotted(tree: Any, above: tuple[int, ...] = ()) -> bool:
    """Whether a copy has landed within itself."""
    if not isinstance(tree, dict | list):
        return False
    inner = tree.values() if isinstance(tree, dict) else tree
    return id(tree) in above or any(_knotted(each, (*above, id(tree))) for each in inner)


def encoded(choices: Choices, text: str) -> bytes:
    """The file's bytes, now and then in another encoding, torn or with some bytes changed."""
    content = text.encode(choices.pick(ENCODINGS), errors="replace")
    if choices.whole(0, 9) == 0 and content:
        content = content[: choices.whole(0, len(content) - 1)]
    if choices.whole(0, 9) == 0 and content:
        place = choices.whole(0, len(content) - 1)
        content = content[:place] + bytes([choices.whole(0, 255)]) + content[place + choices.whole(0, 2) :]
    return content
