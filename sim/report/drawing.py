"""The figures of a report as markup; each is asked for, and found, by what its ids begin with."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from plots.history import history_figure
from plots.markup import Markup, markup
from plots.moving import moving_drawing
from plots.rig_drawing import rig_figure
from plots.sweep import sweep_figure
from sim.report.blocks import Moving
from sim.report.look import Look
from sim.results.model import Result

RIG, HISTORY, SWEEP = "rig", "history", "sweep"


@dataclass(frozen=True)
class Wanted:
    """A figure of a report: its kind, what it is of, what its ids begin with, and whether the rig moves beside it."""

    kind: str
    name: str
    prefix: str
    moving: bool = False


@dataclass(frozen=True)
class Drawn:
    """A figure, and the rig that moves beside it; or why there is none."""

    figure: Markup | None = None
    moving: Moving | None = None
    trouble: str = ""


Tell: TypeAlias = Callable[[str, int, int], None]
Draw: TypeAlias = Callable[[Result, Look, Sequence[Wanted], Tell | None], dict[str, Drawn]]
"""Draws all that is wanted and gives it by prefix, telling how far it is."""


def draw_here(result: Result, look: Look, wanted: Sequence[Wanted], tell: Tell | None = None) -> dict[str, Drawn]:
    """All of it, one after another, in this process."""
    made = dict[str, Drawn]()
    for each in wanted:
        made[each.prefix] = draw_one(result, look, each)
        if tell is not None:
            tell("drawing", len(made), len(wanted))
    return made


def draw_one(result: Result, look: Look, wanted: Wanted) -> Drawn:
    """One figure; what goes wrong with it is told in its place, since it should not cost the reader the others."""
    try:
        if wanted.kind == RIG:
            figure = rig_figure(result.drawing, result, units=look.writing)
        elif wanted.kind == SWEEP:
            figure = sweep_figure(result, wanted.name, look.writing)
        else:
            figure = history_figure(result, wanted.name, look.writing)
        made = markup(figure, wanted.prefix)
        return Drawn(made, _moving(result, look, wanted) if wanted.moving else None)
    except Exception as wrong:  # noqa: BLE001  (one figure never stops the rest)
        return Drawn(trouble=f"{type(wrong).__name__}: {wrong}")


def _moving(result: Result, look: Look, wanted: Wanted) -> Moving | None:
    """The rig moving in a case; None where its history does not say where everybody is."""
    try:
        made = moving_drawing(result, wanted.name, look.writing, f"moving-{wanted.prefix}")
    except ValueError:
        return None
    return Moving(made.svg, made.json())
