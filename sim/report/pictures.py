"""The figures of a report with their words: the rig, the history of each case, each stop at every instant."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeAlias

from plots.markup import Markup
from sim.report.blocks import Paragraph, Picture, TimeAxis, Tone
from sim.report.drawing import HISTORY, RIG, SWEEP, Drawn, Wanted
from sim.report.sections.worst import telling_cases
from sim.report.source import Source
from sim.report.spans import Spans, joined, say
from sim.results.model import CaseResult

_MOST_MOVING = 5
"""Cases whose rig moves on the page: more would make it heavy, and nobody looks at them all."""
_BLANK = Markup('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 72 72"></svg>', 1.0, 1.0, ())
"""Stands for a figure where only the words of a report are asked for."""

Figures: TypeAlias = Mapping[str, Drawn]
"""What was drawn, by prefix; one that is not among them is left blank."""


def wanted(source: Source) -> list[Wanted]:
    """The figures of the report, in the order they are drawn in."""
    moving = telling_cases(source)[:_MOST_MOVING]
    return [
        Wanted(RIG, "", "rig"),
        *(Wanted(SWEEP, name, f"sweep{number}") for number, name in enumerate(source.result.sweeps)),
        *(Wanted(HISTORY, name, f"case{n}", name in moving) for n, name in enumerate(_with_history(source))),
    ]


def rig_picture(source: Source, figures: Figures) -> Picture | Paragraph:
    """The rig to scale with the worst force on each element."""
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
    return _picture(figures, "rig", alternative, caption)


def history_pictures(source: Source, figures: Figures) -> Iterator[Picture | Paragraph]:
    """The history of each case that has one."""
    for number, name in enumerate(_with_history(source)):
        case = source.key("cases", name)
        what = say("History of “{case}”: {figures}", case=case, figures=_peaks(source, name, source.result.cases[name]))
        yield _picture(figures, f"case{number}", what, say("“{case}”", case=case), "time", name)


def sweep_pictures(source: Source, figures: Figures) -> Iterator[Picture | Paragraph]:
    """Each stop or failure at every instant."""
    for number, name in enumerate(source.result.sweeps):
        key = source.key("sweeps", name)
        alternative = say(
            "Greatest forces, force over weight, clearance and stopping distance for every instant at which "
            "“{name}” can "
            "come, below the speed of the move.",
            name=key,
        )
        caption = say("“{name}” at every instant: each point of a curve is the worst of one run", name=key)
        yield _picture(figures, f"sweep{number}", alternative, caption, "stop")


def _with_history(source: Source) -> list[str]:
    return [name for name in source.result.cases if name in source.result.traces]


def _picture(
    figures: Figures, name: str, alternative: Spans, caption: Spans, over: str = "", case: str = ""
) -> Picture | Paragraph:
    """The figure of that name, or a sentence in its place where it could not be drawn."""
    drawn = figures.get(name, Drawn(_BLANK))
    if drawn.figure is None:
        words = say("No figure here, because it could not be drawn ({why}): {what}", why=drawn.trouble, what=caption)
        return Paragraph(words, Tone.LOUD)
    axes = tuple(TimeAxis(a.left, a.top, a.width, a.height, a.from_x, a.to_x) for a in drawn.figure.axes)
    size = drawn.figure.width_in, drawn.figure.height_in
    return Picture(name, drawn.figure.svg, alternative, caption, *size, axes, over, case, drawn.moving)


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
