"""Reports of rigs of every kind: one element, sixty with forty cases, long and foreign names, everything failing."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

from plots.page import letters_without_font
from sim.report.blocks import all_sentences
from sim.report.document import document
from sim.report.look import Look
from sim.report.page import page
from sim.report.paper import paper
from sim.report.source import read_source
from sim.report.spans import plain
from sim.results.model import Finding, Outcome, Result
from tests.browser import opened
from tests.report.made import made_up_folder, renamed
from tests.results.made_up import made_up_result

HOSTILE = (
    "<script>document.title='taken'</script>",
    "{{ 7 * 7 }}{% for x in y %}",
    '#panic("taken") $x^2$ #read("/etc/passwd") \\u{41} `raw` *bold* _it_ @ref <label>',
    "</script><img src=x onerror=alert(1)>\"'&amp;",
)
FOREIGN = ("Ünïcödé «Łódź» Привет Ελλάδα", "مرحبا بالعالم", "ทดสอบ 木偶飞人 テスト", "e\u0301 combining \u202eoverride")
LONG = "a" * 300 + " and " + "very-long-name-without-a-blank_" * 20


def _all_of_it(folder: Path, look: Look | None = None) -> tuple[str, str]:
    look = look or Look()
    source = read_source(folder, look)
    content = document(source)
    pdf = PdfReader(io.BytesIO(paper(content, look)))
    return page(content, source), " ".join(each.extract_text() for each in pdf.pages)


def _one_element() -> Result:
    plain_result = made_up_result()
    name = "drop line"
    return replace(
        plain_result,
        elements={name: plain_result.elements[name]},
        weakest=name,
        sweeps={},
        findings=(),
        not_simulated=(),
    )


def _sixty_and_forty() -> Result:
    made = made_up_result()
    elements = {f"element {i}": replace(made.elements["drop line"], name=f"element {i}") for i in range(60)}
    case = made.cases["power loss, worst force"]
    cases = {f"case {i}": replace(case, name=f"case {i}") for i in range(40)}
    traces = dict.fromkeys(cases, made.traces["planned move"])
    return replace(made, elements=elements, cases=cases, traces=traces, weakest="element 0", findings=())


def _everything_failing() -> Result:
    made = made_up_result()
    why, remedy = "the step fell below a nanosecond", "look at the stiffest line"
    cases = {
        name: replace(case, outcome=Outcome.FAILED, reason=why, remedy=remedy, performers={}, drives={}, audit=None)
        for name, case in made.cases.items()
    }
    elements = {name: replace(each, within=False) for name, each in made.elements.items()}
    return replace(
        made, cases=cases, elements=elements, traces={}, sweeps={}, verdict="not finished", exit_status=3, weakest=None
    )


@pytest.mark.parametrize("make", [_one_element, _everything_failing], ids=["one element", "everything failing"])
def test_small_and_failing(make, tmp_path: Path) -> None:
    made = make()
    html, text = _all_of_it(made_up_folder(tmp_path, made))
    for name in (*made.elements, *made.cases):
        assert name in html
        assert "".join(name.split()) in "".join(text.replace("\u200b", "").split())


def test_what_fails_is_said_on_the_first_page_in_plain_words(tmp_path: Path) -> None:
    source = read_source(made_up_folder(tmp_path, _everything_failing()), Look())
    front = document(source, drawn=False).front
    told = [plain(item) for block in front for item in getattr(block, "items", (getattr(block, "words", ()),))]
    assert "Verdict: not finished." in told
    assert "planned move: the step fell below a nanosecond. look at the stiffest line" in told
    assert (
        "lamplighter feels 6.40 times its weight in the case “power loss, worst force”; at most 6.00 is asked for."
        in told
    )
    assert any("faults: late brake" in each for each in told)


@pytest.mark.parametrize(("water_m", "ground"), [(None, "floor"), (0.5, "water"), (-1.0, "floor")])
def test_who_reaches_the_ground_is_said_to_reach_it(water_m: float | None, ground: str, tmp_path: Path) -> None:
    made = made_up_result()
    case = made.cases["planned move"]
    who = {name: replace(each, clearance_m=-0.05) for name, each in case.performers.items()}
    findings = (
        Finding("clearance", "lamplighter", "planned move", -0.05, 0.3, "m", False),
        Finding(
            "landing_speed", "lamplighter", "planned move", 2.28, None, "m/s", None, "limits state no landing_speed"
        ),
    )
    drawing = replace(made.drawing, floor_m=0.0, water_m=water_m) if made.drawing else None
    made = replace(made, cases={"planned move": replace(case, performers=who)}, findings=findings, drawing=drawing)
    source = read_source(made_up_folder(tmp_path, made), Look())
    front = document(source, drawn=False).front
    told = [plain(item).replace("\u00a0", " ") for block in front for item in getattr(block, "items", ())]
    assert (
        f"lamplighter reaches the {ground} in the case “planned move”, with a clearance of -0.05 m; "
        "at least 0.30 m is asked for." in told
    )
    assert (
        "lamplighter comes down on the floor at 2.28 m/s in the case “planned move”, and no landing_speed is stated "
        "among the limits." in told
    )
    assert any(each.startswith(f"lamplighter reaches the {ground} in the case “planned move”: ") for each in told)
    assert not any("at most –" in each or "nearest" in each for each in told)


def test_what_is_not_judged_for_one_reason_is_one_sentence(tmp_path: Path) -> None:
    why = "no design factor is asked of it"
    names = ("drop line", "head sling", "winch")
    findings = tuple(Finding("design_factor", name, "planned move", None, None, "", None, why) for name in names)
    made = replace(made_up_result(), findings=findings)
    front = document(read_source(made_up_folder(tmp_path, made), Look()), drawn=False).front
    told = [plain(item) for block in front for item in getattr(block, "items", ())]
    assert f"design factor of drop line, head sling, winch: {why}" in told


def test_a_move_that_is_not_made_stands_on_the_first_page(tmp_path: Path) -> None:
    made = made_up_result()
    short = "team ends 1.23 m away from where its moves lead: its people cannot give what they ask"
    case = replace(made.cases["planned move"], remarks=(short,))
    made = replace(made, cases={**made.cases, "planned move": case})
    front = document(read_source(made_up_folder(tmp_path, made), Look()), drawn=False).front
    assert f"planned move: {short}" in [plain(item) for block in front for item in getattr(block, "items", ())]


def test_what_is_doubtful_stands_on_the_first_page(tmp_path: Path) -> None:
    doubt = "drop line: 18.7 kN is more than the catalogue has for it: is the size right?"
    made = made_up_result()
    made = replace(made, assumptions=(*made.assumptions, f"Doubtful: {doubt}"))
    front = document(read_source(made_up_folder(tmp_path, made), Look()), drawn=False).front
    assert doubt in [plain(item) for block in front for item in getattr(block, "items", ())]


def test_a_drive_that_never_stops_is_said_to_run_on(tmp_path: Path) -> None:
    made = made_up_result()
    name, case = next((n, c) for n, c in made.cases.items() if c.stop_time_s is not None)
    drives = {"winch": replace(case.drives["winch"], stopping_distance_m=110.0, stopping_time_s=None)}
    made = replace(made, cases={**made.cases, name: replace(case, drives=drives)})
    _, text = _all_of_it(made_up_folder(tmp_path, made))
    text = " ".join(text.replace("\u200b", "").split())
    assert "over 110.00 runs on" in text
    assert "line let out or in by winch, which runs on 110.00 m" in text.replace("\u00a0", " ")


@pytest.mark.slow
def test_sixty_elements_and_forty_cases(tmp_path: Path) -> None:
    html, text = _all_of_it(made_up_folder(tmp_path, _sixty_and_forty()))
    assert all(f"element {i}" in html for i in range(60))
    assert all(f"case{i}" in "".join(text.replace("\u200b", "").split()) for i in range(40))


@pytest.mark.parametrize("name", HOSTILE)
def test_markup_and_code_in_names_is_text_and_does_nothing(name: str, tmp_path: Path) -> None:
    made = renamed(made_up_result(), performer=name, element=name, case=name, title=name)
    source = read_source(made_up_folder(tmp_path, made), Look())
    content = document(source, drawn=True)
    path = tmp_path / "report.html"
    path.write_text(page(content, source), encoding="utf-8")
    pdf = PdfReader(io.BytesIO(paper(content, Look())))
    first = "".join(pdf.pages[0].extract_text().replace("\u200b", "").split())
    assert "".join(name.split()) in first.replace("’", "'").replace("”", '"').replace("“", '"')
    with opened(path) as seen:
        assert seen.page.title() == name
        assert seen.page.locator("h1").inner_text() == " ".join(name.split())
        assert seen.page.locator("img, iframe, object").count() == 0
        assert seen.told == []
        assert seen.asked == [path.resolve().as_uri()]


@pytest.mark.parametrize("name", [*FOREIGN, LONG], ids=["accents", "arabic", "cjk", "odd", "long"])
def test_names_of_other_scripts_and_lengths(name: str, tmp_path: Path) -> None:
    made = renamed(made_up_result(), performer=name, element=name, case=name, title=name)
    source = read_source(made_up_folder(tmp_path, made), Look())
    content = document(source, drawn=False)
    path = tmp_path / "report.html"
    path.write_text(page(content, source), encoding="utf-8")
    assert any(name in plain(sentence) for sentence in all_sentences(content))
    pages = PdfReader(io.BytesIO(paper(content, Look()))).pages
    for each in pages:
        _nothing_leaves(each)
    first = "".join(pages[0].extract_text().split())
    assert ("Boxesstandforletters" in first) == bool(letters_without_font(name))
    with opened(path, width=390) as seen:
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= 390
        assert seen.told == []


def _nothing_leaves(page_of_pdf) -> None:
    """No text begins outside the paper's margins."""
    width = float(page_of_pdf.mediabox.width)
    places: list[float] = []
    page_of_pdf.extract_text(
        visitor_text=lambda text, cm, tm, font, size: places.append(cm[4] + tm[4]) if text.strip() else None
    )
    assert places
    assert max(places) < width
