"""A figure as an element of a page: whole, on its own, and with every name as it was written."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from matplotlib.figure import Figure

from plots.markup import Told, markup

NAME = 'a d="M 0.123456 0.5 L 1.23456 2" id="b" href="#c" url(#d) <b>&amp; #000000 rotate(-0 1 2)'


@pytest.fixture
def figure() -> Figure:
    made = Figure(figsize=(4.0, 3.0))
    made.text(0.1, 0.5, NAME, parse_math=False)
    axes = made.add_axes((0.25, 0.125, 0.5, 0.25))
    axes.plot([0.0, 1.0, 2.0], [3.0, 1.0, 2.0], marker="o", gid="told-7")
    axes.set_xlim(0.0, 2.0)
    return made


@pytest.mark.parametrize("page_colours", [False, True])
def test_what_looks_like_markup_in_a_name_stays_as_it_is(figure: Figure, page_colours: bool) -> None:
    root = ElementTree.fromstring(markup(figure, "told", page_colours=page_colours).svg)
    assert NAME in [text.text for text in root.iter("{http://www.w3.org/2000/svg}text")]


def test_ids_are_its_own_and_everything_pointed_to_is_there(figure: Figure) -> None:
    svg = markup(figure, "told", Told("A title", "Words", "moving")).svg
    tree = ElementTree.fromstring(svg)
    ids = [each.get("id") for each in tree.iter() if "id" in each.attrib]
    assert "told-7" in ids
    assert all(str(name).startswith("told-") for name in ids)
    assert len(ids) == len(set(ids))
    without_text = re.sub(r"<text.*?</text>", "", svg)
    pointed = re.findall(r'href="#([^"]*)"|url\(#([^)]*)\)', without_text)
    assert pointed
    assert {one or other for one, other in pointed} <= set(ids)
    assert tree.get("aria-labelledby") == "told-title told-words"


@pytest.mark.filterwarnings("error")
def test_letters_that_only_the_readers_fonts_have_are_written_without_a_word(figure: Figure) -> None:
    figure.text(0.1, 0.7, "木偶飞人")
    assert "木偶飞人" in markup(figure, "told").svg


def test_axes_are_told_as_parts_of_the_figure(figure: Figure) -> None:
    (place,) = markup(figure, "told").axes
    assert (place.left, place.top, place.width, place.height) == pytest.approx((0.25, 0.625, 0.5, 0.25))
    assert (place.from_x, place.to_x) == (0.0, 2.0)
