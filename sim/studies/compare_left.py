"""What a variant leaves behind of the scenario it was made from, and says so: certificates, ends, spreads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from sim.results.model import Result
from sim.scenario import Scenario, filled_in
from sim.scenario.model import Source
from sim.strength.own import line_data
from sim.strength.splices import SpliceTooShort
from sim.strength.terminations import UnknownTermination, termination


def without_unfit_ends(base: Scenario, made: Scenario) -> tuple[Scenario, tuple[str, ...]]:
    """Ends that the file makes in the old type and nobody makes in the new one are left out, and said."""
    lines, notes = dict(made.lines), []
    for name, line in made.lines.items():
        before = base.lines.get(name)
        if before is None or before.type == line.type:
            continue
        try:
            data = line_data(line, name)
        except (KeyError, ValueError):
            continue  # an unknown type or size: building the rig says so
        kept = dict(line.terminations)
        for end, word in line.terminations.items():
            try:
                termination(word, end, data.fibre, data.textile, data.terminated_by)
            except (UnknownTermination, SpliceTooShort):
                if before.terminations.get(end) == word:
                    del kept[end]
                    notes.append(
                        f"{name}: '{word}' at {end} is not made in {data.name}; the end is left without a termination "
                        "and the line is not judged. A compare case may state another."
                    )
        lines[name] = line.model_copy(update={"terminations": kept})
    if not notes:
        return made, ()
    left = made.model_copy(update={"lines": lines})
    return left.with_source(Source(made.source_name, filled_in(left), made.path)), tuple(notes)


_STATED = ("breaking_strength", "working_load_limit", "allowed_force")


def certificates(base: Scenario, made: Scenario, result: Result) -> list[str]:
    """What was said of a line's strength and does not hold for another type or diameter, and what is used instead."""
    notes = []
    for name, line in made.lines.items():
        before = base.lines.get(name)
        if before is None or (before.type, before.diameter) == (line.type, line.diameter):
            continue
        had = next((value for key in _STATED if (value := getattr(before, key)) is not None), None)
        if had is None or any(getattr(line, key) == had for key in _STATED):
            continue
        element = result.elements.get(name)
        now = (
            f"judged on {element.breaking_strength_N / 1000:.1f} kN ({element.strength_origin})"
            if element is not None and element.breaking_strength_N is not None
            else "not judged, for no strength of it is known"
        )
        notes.append(f"{name}: {had.text} ({had.origin}) is of another type or diameter and is left behind; {now}.")
    return notes


def spreads(base: Scenario, keys: Iterable[str], made: Scenario) -> list[str]:
    """Changed keys whose value as written had a spread: the new one stands alone."""
    notes = []
    for key in keys:
        before, after = _quantity(base, key), _quantity(made, key)
        if before is not None and after is not None and not before.exact and after.exact:
            notes.append(f"{key}: the spread written with {before.text} is not carried over to {after.text}.")
    return notes


def _quantity(scenario: Scenario, key: str) -> Any:
    """The quantity that stands under a key, None where there is none."""
    here: Any = scenario
    for step in key.split(" / "):
        if isinstance(here, Mapping):
            here = here.get(step)
        elif isinstance(here, tuple):
            here = here[int(step) - 1] if step.isdecimal() and int(step) <= len(here) else None
        else:
            here = getattr(here, step, None)
    return here if hasattr(here, "exact") and hasattr(here, "text") else None
