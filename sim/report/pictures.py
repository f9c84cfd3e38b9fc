"""The figures of a report: the rig, the history of each case, each stop at every instant; all from `plots`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from plots.history import history_figure
from plots.markup import Markup, markup
from plots.moving import moving_drawing
from plots.rig_drawing import rig_figure
from plots.sweep import sweep_figure
from sim.report.blocks import Moving, Picture, TimeAxis
from sim.report.sections.worst import telling_cases
from sim.report.source import Source
from sim.report.spans import Spans, joined, say
from sim.results.model import CaseResult

_MOST_MOVING = 5
"""Cases whose rig moves on the page: more would make it heavy, and nobody looks at them all."""
NOT_DRAWN = Markup('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 72 72"></svg>', 1.0, 1.0, ())
"""Stands for a figure where only the words of a report are asked for."""


def rig_picture(source: Source, drawn: bool = True) -> Picture:
    """The rig to scale with the worst force on each element."""
    figure = NOT_DRAWN
    if drawn:
        figure = markup(rig_figure(source.result.drawing, source.result, units=source.look.units), "rig")
    lines = [
        say(
            "{line} through {places}",
            line=source.words("drawing", "lines", i, "name"),
            places=joined([(source.words("drawing", "lines", i, "through", j),) for j in range(len(line.through))]),
        )
        for i, line in enumerate(source.result.drawing.lines)
    ]
    alternative = say("The rig to scale at the start: {lines}.", lines=joined(lines, "; "))
    caption = say("The rig at the start, to scale; beside each element the greatest force on it.")
    return Picture("rig", figure.svg, alternative, caption, figure.width_in, figure.height_in)


def history_pictures(source: Source, drawn: bool = True) -> Iterator[Picture]:
    """The history of each case that has one."""
    seen = telling_cases(source)[:_MOST_MOVING]
    for number, name in enumerate(n for n in source.result.cases if n in source.result.traces):
        figure = NOT_DRAWN
        if drawn:
            figure = markup(history_figure(source.result, name, source.look.units), f"case{number}")
        case = source.key("cases", name)
        what = say("History of “{case}”: {figures}", case=case, figures=_peaks(source, name, source.result.cases[name]))
        picture = _picture(f"case{number}", figure, what, say("“{case}”", case=case), "time", name)
        yield replace(picture, moving=_moving(source, name, f"moving{number}")) if drawn and name in seen else picture


def sweep_pictures(source: Source, drawn: bool = True) -> Iterator[Picture]:
    """Each stop or failure at every instant."""
    for number, name in enumerate(source.result.sweeps):
        figure = NOT_DRAWN
        if drawn:
            figure = markup(sweep_figure(source.result, name, source.look.units), f"sweep{number}")
        key = source.key("sweeps", name)
        alternative = say(
            "Greatest forces, force over weight, clearance and stopping distance for every instant at which "
            "“{name}” can "
            "come, below the speed of the move.",
            name=key,
        )
        caption = say("“{name}” at every instant: each point of a curve is the worst of one run", name=key)
        yield _picture(f"sweep{number}", figure, alternative, caption, "stop", "")


def _moving(source: Source, name: str, prefix: str) -> Moving | None:
    """The rig moving in a case; None where its history does not say where everybody is."""
    try:
        made = moving_drawing(source.result, name, source.look.units, prefix)
    except ValueError:
        return None
    return Moving(made.svg, made.json())


def _picture(name: str, drawn: Markup, alternative: Spans, caption: Spans, over: str, case: str) -> Picture:
    axes = tuple(TimeAxis(a.left, a.top, a.width, a.height, a.from_x, a.to_x) for a in drawn.axes)
    return Picture(name, drawn.svg, alternative, caption, drawn.width_in, drawn.height_in, axes, over, case)


def _peaks(source: Source, name: str, case: CaseResult) -> Spans:
    told = [
        say(
            "{who} feels at most {g} times its weight and comes as low as {height}",
            who=source.key("cases", name, "performers", who),
            g=source.number("cases", name, "performers", who, "peak_g", unit=""),
            height=source.number("cases", name, "performers", who, "lowest_height_m"),
        )
        for who in case.performers
    ]
    lines = {line.name for line in source.result.drawing.lines}
    told += [
        say(
            "{line} bears at most {force}",
            line=source.key("cases", name, "peaks", element),
            force=source.number("cases", name, "peaks", element, "force_N"),
        )
        for element in case.peaks
        if element in lines
    ]
    return joined(told, "; ")
