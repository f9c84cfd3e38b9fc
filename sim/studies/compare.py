"""The same scenario with changed keys: which variants there are, and each of them run through the whole study.

Variants come from the file's compare cases, from line types and diameters, or from listed values of any key; two of
these together are a grid. One variant that cannot be read, built or finished keeps its cause and never stops the rest.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from typing import Any

from sim.build import build_rig
from sim.results.comparison import Curves, Variant
from sim.results.comparison_curves import curves_of
from sim.results.journal import KeepsRuns
from sim.results.model import Result
from sim.results.on_floor import felt_on_floor
from sim.rig.rig import RigError
from sim.scenario import KeyPath, Scenario, ScenarioErrors, changed, changes_of
from sim.scenario.refused import Refused
from sim.studies.compare_figures import figures_of
from sim.studies.compare_hook import hook_stop
from sim.studies.compare_left import certificates, spreads, without_unfit_ends
from sim.studies.prepared import made_ready
from sim.studies.scenario import run_scenario

AS_WRITTEN = "as written"
MOST_VARIANTS = 100
"""Variants of one comparison: each is a whole study, and nobody reads a longer table."""

Tell = Callable[[str, int, int], None]
Changes = Mapping[str, Any]


@dataclass(frozen=True)
class Asked:
    """One variant to run: values under keys, or changes as under `compare` in a file; neither: as the file is."""

    name: str
    values: tuple[tuple[KeyPath, str], ...] = ()
    changes: Changes = field(default_factory=dict)

    @property
    def said(self) -> dict[str, str]:
        """Each changed key, as messages name it, and its value as written."""
        return {**dict(_flat(self.changes)), **{str(key): value for key, value in self.values}}


@dataclass(frozen=True)
class Axis:
    """What one dimension of a comparison goes over, in words, and its variants."""

    over: str
    variants: tuple[Asked, ...]


@dataclass(frozen=True)
class Ran:
    """One variant that was tried: its row, and where it has a result the scenario, the result and what to draw."""

    variant: Variant
    scenario: Scenario | None = None
    result: Result | None = None

    @property
    def curves(self) -> Curves:
        """What is drawn beside the other variants."""
        return curves_of(self.result) if self.result is not None else Curves()


# --- which variants -------------------------------------------------------------------------------------------------


def cases_of_file(scenario: Scenario) -> Axis:
    """The compare cases of the file, after the scenario as it is written."""
    first = AS_WRITTEN if AS_WRITTEN not in scenario.compare else f"{AS_WRITTEN} in the file"
    cases = [Asked(name, changes=changes) for name, changes in scenario.compare.items()]
    return Axis("the compare cases of the file", (Asked(first), *cases))


_TYPE_AND_DIAMETER = re.compile(r"(.+?)\s+(\d[\d./ ]*\s*(?:mm|in))")


def over_types(types: Sequence[str], lines: Sequence[str]) -> Axis:
    """The lines of those names in each type; a type may be followed by a diameter, as in `7x19 galvanised 5 mm`."""
    variants = []
    for each in types:
        sized = _TYPE_AND_DIAMETER.fullmatch(each)
        pairs = [("type", sized[1]), ("diameter", sized[2])] if sized else [("type", each)]
        values = tuple((KeyPath(("lines", line, key), None), value) for line in lines for key, value in pairs)
        variants.append(Asked(each, values))
    return Axis(f"type of {' and '.join(lines)}", tuple(variants))


def over_diameters(diameters: Sequence[str], lines: Sequence[str]) -> Axis:
    """The lines of those names in each diameter."""
    paths = [KeyPath(("lines", line, "diameter"), None) for line in lines]
    variants = [Asked(each, tuple((path, each) for path in paths)) for each in diameters]
    return Axis(f"diameter of {' and '.join(lines)}", tuple(variants))


def over_values(key: KeyPath, values: Sequence[str]) -> Axis:
    """Each of the values under one key."""
    return Axis(str(key), tuple(Asked(_short(each), ((key, each),)) for each in values))


def _short(value: str) -> str:
    """A quantity's long form by its value alone."""
    long = re.fullmatch(r"\{\s*value:\s*([^,{}]+?)\s*(?:,.*)?\}", value)
    return long[1] if long else value


def grid(axes: Sequence[Axis]) -> Axis:
    """Every variant of one axis with every variant of the next; names that would be the same are numbered."""
    variants = [
        Asked(", ".join(each.name for each in chosen), tuple(value for each in chosen for value in each.values))
        for chosen in product(*(axis.variants for axis in axes))
    ]
    return Axis(" x ".join(axis.over for axis in axes), tuple(_numbered(variants)))


def _numbered(variants: Sequence[Asked]) -> Iterator[Asked]:
    taken: dict[str, int] = {}
    for each in variants:
        taken[each.name] = taken.get(each.name, 0) + 1
        number = taken[each.name]
        yield each if number == 1 else replace(each, name=f"{each.name} ({number})")


def _flat(changes: Any, steps: tuple[str, ...] = ()) -> Iterator[tuple[str, str]]:
    """The changed keys of a compare case, each by the keys that lead to it, and its value as text."""
    if isinstance(changes, Mapping):
        for key, inner in changes.items():
            yield from _flat(inner, (*steps, str(key)))
    else:
        yield " / ".join(steps), _text(changes)


def _text(value: Any) -> str:
    if isinstance(value, Mapping):
        return f"{{{', '.join(f'{key}: {_text(inner)}' for key, inner in value.items())}}}"
    return f"[{', '.join(map(_text, value))}]" if isinstance(value, list | tuple) else str(value)


# --- running them ---------------------------------------------------------------------------------------------------


def run_variants(scenario: Scenario, asked: Sequence[Asked], progress: Tell | None = None) -> Iterator[Ran]:
    """Run the variants one after another, each through the whole study; give each as soon as it is done.

    progress(what, done, total) is told of every run of every variant. A variant that fails is given with its cause.
    """
    for number, each in enumerate(asked, 1):
        yield run_variant(scenario, each, _telling(progress, f"{number} of {len(asked)}, {each.name}"))


def read_variant(scenario: Scenario, asked: Asked) -> tuple[Scenario, tuple[str, ...]]:
    """The scenario of one variant, and what it left behind. Raises ScenarioErrors, Refused."""
    changes = asked.changes or changes_of(scenario, asked.values)
    if not changes:
        return scenario, ()
    made = changed(scenario, changes, asked.name)
    return without_unfit_ends(scenario, made)


def causes(scenario: Scenario, asked: Sequence[Asked]) -> dict[str, str]:
    """Why variants cannot be read or built, by name, found without running anything; none where all can be."""
    found = {}
    for each in asked:
        try:
            made_ready(read_variant(scenario, each)[0])
        except (ScenarioErrors, Refused, RigError) as wrong:
            found[each.name] = _cause(each, wrong)
    return found


def _telling(progress: Tell | None, which: str) -> Tell | None:
    if progress is None:
        return None
    return lambda what, done, total: progress(f"{which}: {what}", done, total)


def run_variant(
    scenario: Scenario, asked: Asked, progress: Tell | None = None, journal: KeepsRuns | None = None
) -> Ran:
    """One variant through the whole study; one that fails is given with its cause. journal: as of `run_scenario`."""
    try:
        made, notes = read_variant(scenario, asked)
        result = run_scenario(made, progress, journal, ranges=False)
        hook = hook_stop(build_rig(made), result, _harnesses(made))
    except (ScenarioErrors, Refused, RigError) as wrong:
        return _lost(asked, _cause(asked, wrong))
    except Exception as fault:  # noqa: BLE001  (whatever one variant meets, the others are run)
        return _lost(asked, f"a fault of stopload, not of the file: {type(fault).__name__}: {fault}", status=3)
    return Ran(
        Variant(
            name=asked.name,
            changes=asked.said,
            status=result.exit_status,
            verdict=result.verdict,
            notes=(
                *felt_on_floor(result),
                *certificates(scenario, made, result),
                *spreads(scenario, asked.said, made),
                *notes,
            ),
            figures=figures_of(result),
            hook=hook,
        ),
        made,
        result,
    )


def _lost(asked: Asked, cause: str, status: int = 2) -> Ran:
    return Ran(Variant(asked.name, asked.said, status, "not run", cause))


def _cause(asked: Asked, wrong: ScenarioErrors | Refused | RigError) -> str:
    """What was changed, and what is wrong with that; its fault stands in no line of the file, so its key is told."""
    said = ", ".join(f"{key}: {value}" for key, value in asked.said.items())
    if isinstance(wrong, RigError):
        why = " ".join(wrong.sentences)
    elif isinstance(wrong, Refused):
        why = str(wrong)
    else:
        faults = [(f.key, Refused(f.found, f.expected, f.nearest)) for f in wrong.faults]
        why = "; ".join(str(each) if key in asked.said else f"{key}: {each}" for key, each in faults)
    return f"{said}: {why}" if said else why


def _harnesses(scenario: Scenario) -> dict[str, float | None]:
    """Stiffness of each performer's harness (N/m), None for a rigid one."""
    found: dict[str, float | None] = {}
    for name, performer in scenario.performers.items():
        stiffness = performer.harness.stiffness
        found[name] = None if performer.harness.rigid or isinstance(stiffness, str) else stiffness.N_per_m
    return found
