"""Results as a notebook shows them: text is text, figures are inline, and nothing is shown by who cannot draw."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

from tests.browser import opened
from tests.plots import builders
from tests.plots.moving_results import NASTY, nasty_result
from tests.results.made_up import made_up_result


def test_a_result_shows_itself_once_something_that_draws_is_there() -> None:
    code = (
        "import sys\n"
        "from tests.results.made_up import made_up_result\n"
        "assert 'plots' not in sys.modules and made_up_result()._repr_html_() is None\n"
        "from sim import read_result\n"
        "assert made_up_result()._repr_html_().lstrip().startswith('<div')"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=Path(__file__).parents[2], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()


def test_what_is_outside_not_judged_or_not_finished_is_told() -> None:
    page = made_up_result()._repr_html_()
    assert page is not None
    for said in (
        "OUTSIDE",
        "not judged",
        "grid bolt: no strength is given",
        "faults: late brake",
        "sweep.csv says why",
    ):
        assert said in page
    assert page.count("<img ") == 3  # the rig, the worst case of the weakest element, the sweep


def test_names_are_text_in_a_browser_too(tmp_path: Path) -> None:
    result = nasty_result()
    elements = {NASTY: replace(builders.simple_result().elements["winch"], name=NASTY, worst_case=NASTY)}
    page = replace(result, elements=elements, weakest=NASTY, sweeps={})._repr_html_()
    assert page is not None
    path = tmp_path / "cell.html"
    path.write_text(f"<!doctype html><meta charset=utf-8><title>cell</title><link rel=icon href=data:,>{page}")
    with opened(path) as window:
        cells = window.page.locator("td").all_inner_texts()
        assert NASTY in cells
        assert window.page.locator("img").count() == 2
        assert all(each.get_attribute("alt") for each in window.page.locator("img").all())
        assert window.page.evaluate("Array.from(document.images).every(i => i.complete && i.naturalWidth > 0)")
        assert window.told == []
        assert [each for each in window.asked if not each.startswith("data:")] == [path.as_uri()]
