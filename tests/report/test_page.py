"""The page in a real browser: quiet, asking nobody, its cursor and tables working, readable by everyone."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from sim.report.document import document
from sim.report.look import Look
from sim.report.page import page, template
from sim.report.source import read_source
from tests.browser import opened
from tests.report.made import demo_folder


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = demo_folder("stonemasons-fall", tmp_path_factory.mktemp("page"))
    source = read_source(folder, Look())
    path = folder.with_name("report.html")
    path.write_text(page(document(source), source), encoding="utf-8")
    return path


def test_it_is_quiet_and_asks_nobody(report: Path) -> None:
    with opened(report) as seen:
        seen.page.mouse.move(300, 300)
        assert seen.told == []
        assert seen.asked == [report.resolve().as_uri()]


def test_the_pointer_and_the_slider_move_one_cursor_in_all_plots(report: Path) -> None:
    with opened(report) as seen:
        figures = seen.page.locator("figure[data-case]")
        assert figures.count() >= 1
        sheet = figures.first.locator(".paper")
        sheet.evaluate("sheet => sheet.scrollIntoView({block: 'end'})")
        place = json.loads(figures.first.get_attribute("data-axes") or "")[0]
        box = sheet.locator("svg").bounding_box()
        assert box is not None
        middle = box["x"] + box["width"] * (place["left"] + 0.5 * place["width"])
        seen.page.mouse.move(middle, box["y"] + box["height"] - 200.0)
        middle_s = 0.5 * (place["from_s"] + place["to_s"])
        told = seen.page.locator(".clock output").inner_text()
        assert float(told.removesuffix(" s")) == pytest.approx(middle_s, abs=0.02)
        seen.page.locator("#clock").fill(str(0.25 * place["to_s"]))
        for line in seen.page.locator(".cursors i:visible").all():
            assert line.evaluate("line => line.offsetHeight") > 5
        assert seen.page.locator(".cursors i:visible").count() == seen.page.locator(".cursors i").count()
        there = seen.page.locator(".stage").first
        before = there.locator("svg").inner_html()
        seen.page.locator("#clock").fill(str(0.6 * place["to_s"]))
        assert there.locator("svg").inner_html() != before
        seen.page.locator("#clock").fill(str(0.25 * place["to_s"]))
        assert f"{0.25 * place['to_s']:.3f} s: " in seen.page.locator(".readout").first.inner_text()
        assert seen.told == []


def test_a_click_on_a_head_sorts_numbers_as_numbers(report: Path) -> None:
    with opened(report) as seen:
        table = seen.page.locator("table.sortable", has_text="Elements, worst first").first
        head = table.locator("th", has_text="force").first
        head.locator("button").click()
        column = head.evaluate("head => head.cellIndex")
        cells = table.locator(f"tbody tr td:nth-child({column + 1})").all_inner_texts()
        numbers = [float(text) for text in cells]
        assert numbers == sorted(numbers)
        assert head.get_attribute("aria-sort") == "ascending"
        head.locator("button").click()
        assert head.get_attribute("aria-sort") == "descending"


def test_every_figure_says_what_it_shows_and_a_phone_shows_all_of_it(report: Path) -> None:
    with opened(report, width=390, height=800, touch=True) as seen:
        sheets = seen.page.locator("[role=img]")
        assert sheets.count() >= 2
        for sheet in sheets.all():
            told = sheet.get_attribute("aria-label") or sheet.evaluate(
                "e => [...e.querySelectorAll(`title, desc`)].map(each => each.textContent).join(` `)"
            )
            assert len(told) > 20
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= 390
        assert seen.told == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_stand_out_from_their_ground(report: Path, scheme: str) -> None:
    """Contrast of at least 4.5 to 1: Web Content Accessibility Guidelines 2.2, success criterion 1.4.3."""
    with opened(report, scheme="dark" if scheme == "dark" else "light") as seen:
        pairs = seen.page.evaluate(
            """() => {
                const words = 'p, li, td, th, a, caption, figcaption, h1, h2, footer, output';
                const none = 'rgba(0, 0, 0, 0)';
                return [...document.querySelectorAll(words)].map((each) => {
                    let ground = each;
                    while (ground && getComputedStyle(ground).backgroundColor === none) ground = ground.parentElement;
                    return [getComputedStyle(each).color, getComputedStyle(ground || document.body).backgroundColor];
                });
            }"""
        )
    assert len(pairs) > 50
    for ink, ground in {(a, b) for a, b in pairs}:
        assert _contrast(ink, ground) >= 4.5, (ink, ground)


def test_it_is_small_and_its_policy_forbids_requests(report: Path) -> None:
    text = report.read_text(encoding="utf-8")
    assert len(text.encode()) < 3_000_000
    assert "default-src 'none'" in text
    assert not re.findall(r"""(?:src|href)=["'](?!#|data:)""", text.replace("xlink:href", "").replace('href="#', ""))
    assert "http" not in template("report.js")


def _contrast(ink: str, ground: str) -> float:
    light, dark = sorted((_luminance(ink), _luminance(ground)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance as the guidelines define it."""
    parts = [int(c) / 255.0 for c in re.findall(r"\d+", colour)[:3]]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
