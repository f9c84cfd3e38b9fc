"""Colours of curves, held against a colour library: contrast, and difference with every kind of colour vision."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path

import pytest
from coloraide import Color

from plots import style
from sim.report.page import template

PAGES = {
    "report": template("report.css"),
    "moving case": (Path(style.__file__).parent / "moving.html.j2").read_text(encoding="utf-8"),
}
OF_THE_PAGE = {style.INK: "--ink", style.SOFT: "--soft"}
"""What a moving drawing leaves to the page it stands in."""


def _contrast(one: str, other: str) -> float:
    """Web Content Accessibility Guidelines 2.2, as the library computes it."""
    return Color(one).contrast(other, method="wcag21")


@pytest.mark.parametrize("colour", style.COLOURS)
def test_each_stands_out_three_to_one_from_white(colour: str) -> None:
    """Success criterion 1.4.11: graphical objects."""
    assert _contrast(colour, style.PAPER) >= 3.0


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("colour", style.COLOURS)
def test_each_stands_out_from_a_page_light_or_dark(colour: str, page: str) -> None:
    grounds = re.findall(r"--paper: (#[0-9a-f]{6})", PAGES[page])
    assert len(grounds) >= 2
    own = re.findall(rf"{OF_THE_PAGE.get(colour, 'none')}: (#[0-9a-f]{{6}})", PAGES[page])
    inks = own[: len(grounds)] if colour in OF_THE_PAGE else [colour] * len(grounds)
    assert len(inks) == len(grounds)
    for ink, ground in zip(inks, grounds, strict=True):
        assert _contrast(ink, ground) >= 3.0, (ink, ground)


@pytest.mark.parametrize("vision", ["full", "protan", "deutan", "tritan"])
def test_any_two_are_told_apart_with_every_colour_vision(vision: str) -> None:
    seen = [Color(c) if vision == "full" else Color(c).filter(vision) for c in style.COLOURS]
    for one, other in combinations(seen, 2):
        assert one.delta_e(other, method="2000") >= 15.0, (one, other)


def test_any_two_of_a_panel_differ_in_dash_or_marker_too() -> None:
    looks = [style.curve_style(i) for i in range(2 * style.CURVES_PER_PANEL)]
    assert len({(look.dash, look.marker) for look in looks}) == len(looks)
