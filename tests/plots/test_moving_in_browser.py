"""The moving page in a real browser: it asks for nothing, says nothing on the console, and moves who it should."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Literal

import pytest

from plots import write_moving_page
from plots.frames import frames
from sim.results.shown import bare
from tests.browser import opened
from tests.plots.moving_results import NASTY, moving_result, nasty_result

PLANNED = "planned move"
POINTS_OF = "[data-part=time]"


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "planned move.html"
    write_moving_page(moving_result(), PLANNED, path)
    return path


def middle_of(page: Any, thing: str) -> tuple[float, float]:
    """Where the middle of a named point's symbol is in the window, by what the page's data call it."""
    box = page.evaluate(
        """name => {
            const data = JSON.parse(document.getElementById("data").textContent);
            const thing = data.things.find(t => t.does === "shift" && !("part" in t) && t.of[0] === name);
            const r = document.getElementById(thing.ids[0]).getBoundingClientRect();
            return [r.x + r.width / 2, r.y + r.height / 2];
        }""",
        thing,
    )
    return box[0], box[1]


def px_per_m(page: Any) -> float:
    """The scale on the screen: of the SVG's points, and of the points on metres."""
    return page.evaluate(
        """() => {
            const data = JSON.parse(document.getElementById("data").textContent);
            return data.views[0].rise * document.querySelector("svg.moving").getScreenCTM().d;
        }"""
    )


def slide(page: Any, seconds: float) -> None:
    page.locator(POINTS_OF).evaluate(
        "(slider, s) => { slider.value = String(s); slider.dispatchEvent(new Event('input')); }", seconds
    )


def stand_still(page: Any) -> None:
    """From now on the page's time goes on only where a test lets it, so that a busy machine changes nothing."""
    page.clock.install(time=0)
    page.clock.pause_at(1000)


def test_nothing_is_asked_for_and_nothing_goes_wrong(path: Path) -> None:
    with opened(path) as window:
        for at in (0.5, 3.0, 6.0):
            slide(window.page, at)
        window.page.get_by_role("button", name="Play").click()
        window.page.wait_for_timeout(200)
        assert window.asked == [path.as_uri()]
        assert window.told == []


def test_the_slider_moves_the_performer_as_far_as_the_trace_says(path: Path) -> None:
    of = frames(moving_result(), PLANNED)
    with opened(path, height=1400) as window:
        page = window.page
        start = middle_of(page, "lamplighter")
        slide(page, 2.3)
        now = middle_of(page, "lamplighter")
        frame = int(abs(of.time_s - 2.3).argmin())
        down_m = of.places["lamplighter"][0, 2] - of.places["lamplighter"][frame, 2]
        assert down_m > 3
        assert (now[1] - start[1]) / px_per_m(page) == pytest.approx(down_m, abs=0.03)
        assert now[0] == pytest.approx(start[0], abs=0.5)
        assert page.locator("[data-part=clock]").inner_text() == f"{of.time_s[frame]:.2f} s"
        told = page.get_by_role("row", name="lamplighter: height").locator("td").inner_text()
        assert told == f"{bare(float(of.places['lamplighter'][frame, 2]), 'm')} m"
        slide(page, 0.0)
        assert middle_of(page, "lamplighter") == pytest.approx(start, abs=0.5)


def test_a_line_that_parts_is_dotted_from_then_on_and_follows_its_ends(path: Path) -> None:
    def drawn(page: Any) -> list[str]:
        return page.evaluate(
            """() => {
                const data = JSON.parse(document.getElementById("data").textContent);
                const thing = data.things.find(t => t.does === "line" && t.line === "left leg" && t.view === 0);
                const paths = document.getElementById(thing.ids[0]).querySelectorAll("path");
                return Array.from(paths, p => p.getAttribute("d"));
            }"""
        )

    with opened(path) as window:
        slide(window.page, 1.9)
        bears, hangs = drawn(window.page)[:2]
        assert bears
        assert not hangs
        slide(window.page, 2.1)
        bears, hangs = drawn(window.page)[:2]
        assert not bears
        assert hangs.count("M") == hangs.count("L") == 1


def test_play_pause_events_and_keys(path: Path) -> None:
    with opened(path) as window:
        page = window.page
        stand_still(page)

        def clock() -> float:
            return float(page.locator("[data-part=clock]").inner_text().removesuffix(" s"))

        button = page.locator("[data-part=play]")
        assert clock() == 0.0  # nothing moves unasked
        button.click()
        assert button.inner_text() == "Pause"
        page.clock.run_for(1000)
        assert clock() == pytest.approx(1.0, abs=0.05)
        button.click()
        stood = clock()
        page.clock.run_for(200)
        assert clock() == stood
        assert button.inner_text() == "Play"
        page.locator(POINTS_OF).focus()
        page.keyboard.press("End")
        assert clock() == pytest.approx(6.0, abs=0.01)
        page.keyboard.press("Home")
        assert clock() == 0.0
        page.keyboard.press("ArrowRight")
        assert 0.0 < clock() < 0.05
        page.keyboard.press("ArrowLeft")
        assert clock() == 0.0
        page.keyboard.press(" ")
        assert button.inner_text() == "Pause"
        page.keyboard.press(" ")
        page.get_by_role("button", name="2.000 s").click()
        assert clock() == 2.0
        assert page.locator(POINTS_OF).get_attribute("aria-valuetext") == "2.00 s"


def test_who_wants_less_motion_sees_still_pictures(path: Path) -> None:
    with opened(path) as window:
        page = window.page
        page.emulate_media(reduced_motion="reduce")
        assert page.get_by_text("Your system asks for less motion").is_visible()
        stand_still(page)
        page.evaluate(
            """() => {
                window.seen = [];
                document.getElementById("figure").addEventListener("moved", e => window.seen.push(e.detail));
                document.querySelector("[data-part=play]").click();
            }"""
        )
        page.clock.run_for(1400)
        seen = page.evaluate("window.seen")
        assert {round(2 * t) / 2 for t in seen} == {0.0, 0.5, 1.0}
        assert len(set(seen)) == 3
    with opened(path) as window:
        assert not window.page.get_by_text("Your system asks for less motion").is_visible()


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it, of 'rgb(r, g, b)'."""
    channels = [int(x) / 255 for x in colour.removeprefix("rgb(").removesuffix(")").split(",")]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1200])
def test_text_can_be_read_in_light_and_dark_on_a_phone_and_on_a_desk(
    path: Path, scheme: Literal["light", "dark"], width: int
) -> None:
    """WCAG 2.2, 1.4.3: at least 4.5:1 for text. 1.4.10: no scrolling sideways."""
    with opened(path, width=width, scheme=scheme) as window:
        page = window.page
        ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
        inks = page.evaluate(
            """() => Array.from(document.querySelectorAll("h1, h2, p, td, th, li, button, output, select, svg text"))
                .map(e => e instanceof SVGElement ? getComputedStyle(e).fill : getComputedStyle(e).color)"""
        )
        assert len(inks) > 50
        assert (luminance(ground) < 0.1) == (scheme == "dark")
        for ink in set(inks):
            a, b = sorted((luminance(ground), luminance(ink)))
            assert (b + 0.05) / (a + 0.05) >= 4.5, ink
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_every_figure_and_control_is_told_in_text(path: Path) -> None:
    with opened(path) as window:
        image = window.page.get_by_role("img")
        assert image.count() == 1
        assert image.get_attribute("aria-labelledby")
        for role in ("button", "slider", "combobox"):
            for each in window.page.get_by_role(role).all():
                assert each.evaluate(
                    "e => (e.ariaLabel || e.textContent || (e.labels && e.labels[0].textContent) || '').trim()"
                )


def test_names_with_script_and_markup_do_nothing_and_are_read_as_written(tmp_path: Path) -> None:
    path = tmp_path / "nasty.html"
    write_moving_page(nasty_result(), NASTY, path)
    with opened(path) as window:
        window.page.on("dialog", lambda dialog: window.told.append(f"dialog: {dialog.message}"))
        slide(window.page, 3.0)
        assert window.page.locator("h1").inner_text() == NASTY
        assert window.page.title() == f"{NASTY}: {NASTY}"
        assert window.page.locator("main img").count() == 0
        assert window.page.get_by_role("row", name=f"{NASTY}: height").count() == 1
        drawn = "".join(window.page.locator("svg.moving text").all_text_contents())
        assert "".join(NASTY.split()) in "".join(drawn.split())  # broken over lines at its spaces
        assert (window.told, window.asked) == ([], [path.as_uri()])
