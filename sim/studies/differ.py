"""What differs between two result folders: their inputs read, their figures compared, and what has to be known."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from sim.results.comparison import Comparison, Variant
from sim.results.difference import Same
from sim.results.folder import RESULT
from sim.results.kept import Kept, drawable, read_kept
from sim.results.two_results import Compared, Side, compare_kept, side_of
from sim.scenario.kept import kept_inputs
from sim.studies.compare import Ran
from sim.version import VERSION


def compare_folders(first: Path, second: Path, same: Same | None = None) -> Compared:
    """Two result folders against each other. Raises FolderError where one is none that can be read."""
    one, other = read_kept(first), read_kept(second)
    return compared(one, other, names_of(first, second), same)


def compared(first: Kept, second: Kept, names: tuple[str, str], same: Same | None = None) -> Compared:
    """Two results that were read, under these names."""
    inputs, notes = [], []
    for kept, name in zip((first, second), names, strict=True):
        found, why = kept_inputs(kept.scenario) if kept.scenario else ({}, "its filled-in scenario is missing")
        inputs.append(found)
        notes += [f"{name}: {sentence}." for sentence in (*_of(kept), why) if sentence]
    if not all(inputs):
        inputs = [{}, {}]  # one side alone would only list every key of the other
    sides = side_of(first, names[0]), side_of(second, names[1])
    return Compared(
        *sides,
        compare_kept(first, second, (inputs[0], inputs[1]), same),
        (*notes, *_made(*sides)),
        bool(first.altered or second.altered),
    )


def curves_of(first: Kept, second: Kept, names: tuple[str, str]) -> Comparison | None:
    """Both results as the variants of a comparison, for drawing their curves over one another; None where one of them
    does not fit this version. One that was altered says so in its name. Limits are drawn where both have the same.
    """
    one, other = drawable(first), drawable(second)
    if one is None or other is None:
        return None
    told = [f"{name} (altered)" if kept.altered else name for kept, name in zip((first, second), names, strict=True)]
    variants = tuple(
        Variant(name, {}, result.exit_status, result.verdict) for name, result in zip(told, (one, other), strict=True)
    )
    return Comparison(
        title=one.title if one.title == other.title else f"{one.title} | {other.title}",
        over="two results",
        variants=variants,
        words=(),
        limits={key: value for key, value in one.limits.items() if other.limits.get(key) == value},
        drawing=one.drawing if one.drawing.floor_m == other.drawing.floor_m else None,
        stamp={"version": VERSION},
        exit_status=max(one.exit_status, other.exit_status),
        curves={
            variant.name: Ran(variant, None, result).curves
            for variant, result in zip(variants, (one, other), strict=True)
        },
    )


def names_of(first: Path, second: Path) -> tuple[str, str]:
    """What two folders are called beside each other: their names, or with their paths where these are alike."""
    names = first.resolve().name, second.resolve().name
    return names if names[0] != names[1] else (str(first), str(second))


def _of(kept: Kept) -> Iterator[str]:
    """What has to be known of one folder."""
    if kept.altered:
        some = ", ".join(kept.altered[:5]) + (f" and {len(kept.altered) - 5} more" if len(kept.altered) > 5 else "")
        yield f"no longer what was written, altered or missing: {some}"
    if not kept.sealed:
        yield f"{RESULT} has no seal, so an altered number in it shows only when it is run again"
    for name, why in kept.unread.items():
        yield f"{name} is not compared: {why}"


def _made(first: Side, second: Side) -> Iterator[str]:
    """What made the two, where that was not the same."""
    if (first.version, first.source) != (second.version, second.source):
        yield f"{_maker(first)}; {_maker(second)}."
    if first.made_with != second.made_with and first.made_with and second.made_with:
        yield f"{first.name} with {first.made_with}; {second.name} with {second.made_with}."


def _maker(side: Side) -> str:
    mark = f" (source {side.source.removeprefix('sha256 ')})" if side.source else ""
    return f"{side.name} was made by stopload {side.version or 'of unknown version'}{mark}"
