"""A case as one page that moves: everything in one HTML file, which asks nothing of any network."""

from __future__ import annotations

from pathlib import Path

from plots import page
from plots.events import warnings_of
from plots.moving import moving_drawing, script
from plots.template import template
from sim.results.cautions import FULL, SHORT
from sim.results.model import Result
from sim.results.shown import Units, shown

_MOST_EVENTS = 200


def moving_page(result: Result, case_name: str, units: Units | str = Units.SI) -> str:
    """The page of a case: its drawing with play, slider and keys, the figures of each instant, and all of it in words.

    Raises:
        KeyError: where the result has no such case or no trace of it.
        ValueError: for unknown units, or a trace that does not say where everybody is.
    """
    from markupsafe import Markup

    units, case = Units(units), result.cases[case_name]
    drawn = moving_drawing(result, case_name, units)
    times = drawn.data["time_s"]
    return template(
        "moving.html.j2"
    ).render(
        title=result.title,
        revision=result.revision,
        prepared_by=result.prepared_by,
        case=case,
        warnings=warnings_of(case),
        caution=SHORT,
        cautions=FULL,
        svg=Markup(drawn.svg),  # made by the drawing library, which escapes every text
        data=Markup(drawn.json()),  # there is no < in it
        script=Markup(script()),
        start_s=times[0],
        end_s=times[-1],
        numbered=drawn.numbered.items(),
        readings=[
            (r["name"], f"{r['values'][0]:.{r['decimals']}f} {r['unit']}".rstrip()) for r in drawn.data["readings"]
        ],
        events=case.events[:_MOST_EVENTS],
        more_events=max(0, len(case.events) - _MOST_EVENTS),
        words=drawn.words,
        peaks=[(name, shown(p.force_N, "N", units), shown(p.time_s, "s")) for name, p in case.peaks.items()],
        source=page.source_line(result.stamp),
    )


def write_moving_page(result: Result, case_name: str, path: Path, units: Units | str = Units.SI) -> None:
    """Write the page of a case. Errors as of `moving_page`, and OSError from the disk."""
    path.write_text(moving_page(result, case_name, units), encoding="utf-8", newline="\n")
