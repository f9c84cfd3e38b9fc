"""Numbers in figures with a decimal comma, and thousands set apart by a narrow space: ISO 80000-1:2022, clause 7.3."""

from __future__ import annotations

import re
from collections.abc import Callable
from xml.etree import ElementTree

import pytest

from plots import history_figure, moving_drawing, rig_figure, sweep_figure
from plots.markup import markup
from sim.results.model import Result
from sim.results.shown import Asked, Mark, Units, Writing
from tests.plots import builders, moving_results

CASE = "power loss, worst force"


def _history(result: Result, units: Asked) -> str:
    return markup(history_figure(result, CASE, units), "x").svg


def _sweep(result: Result, units: Asked) -> str:
    return markup(sweep_figure(result, "power loss", units), "x").svg


def _rig(result: Result, units: Asked) -> str:
    return markup(rig_figure(result.drawing, result, units=units), "x").svg


def _moving(result: Result, units: Asked) -> str:
    return moving_drawing(moving_results.moving_result(), next(iter(moving_results.moving_result().traces)), units).svg


def _read(text: str, thousands: str, mark: str) -> str:
    """The text with its numbers as a reader of that notation reads them."""
    number = re.compile(rf"\d(?:[\d{thousands}]*\d)?(?:{re.escape(mark)}\d+)?")
    return number.sub(lambda m: repr(float(m[0].replace(thousands, "").replace(mark, "."))), text)


def _texts(svg: str) -> list[str]:
    return ["".join(each.itertext()) for each in ElementTree.fromstring(svg).iter() if each.text]


@pytest.mark.parametrize("draw", [_history, _sweep, _rig, _moving])
@pytest.mark.parametrize("units", list(Units))
def test_a_comma_changes_the_mark_of_every_number_and_nothing_else(
    draw: Callable[[Result, Asked], str], units: Units
) -> None:
    result = builders.simple_result()
    plain, marked = _texts(draw(result, units)), _texts(draw(result, Writing(units, Mark.COMMA)))
    assert len(plain) == len(marked)
    changed = [(a, b) for a, b in zip(plain, marked, strict=True) if a != b]
    assert changed
    assert [_read(point, ",", ".") for point, _ in changed] == [_read(comma, "\u202f", ",") for _, comma in changed]
    left = [text for text in marked if re.search(r"\d\.\d", text)]
    assert all(text.startswith("stopload ") or text in result.cases[CASE].remarks for text in left), left
