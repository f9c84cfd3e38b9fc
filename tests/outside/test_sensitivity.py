"""Sensitivity studies: a function with known Sobol indices, a fall whose every slope follows by calculus, the page.

The fall is of a mass onto a line without damping: peak force w (1 + s), w = m g, s = sqrt(1 + 2 h k / w), free fall h,
stiffness k. One percent of k, and of h, changes it by (h k / w) / (s (1 + s)) percent, one of m by what is
left of 1. Inputs are varied by 1 %, for which the difference over the ends stands for the slope to 1e-4.
"""

import math
import re

import numpy as np
import pytest

import sim
from sim.results.sensitivity import FigureSensitivity, Index, Influence, Varied
from sim.scenario.reader import read_file
from sim.strength.own import line_data
from sim.studies.cases import PLANNED
from sim.studies.sensitivity import (
    How,
    Sampled,
    SensitivityError,
    evaluated,
    one_at_a_time,
    scenario_sensitivity,
    sensitivity,
)
from sim.studies.varied import stated_value, with_value
from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form
from tests.outside.rigs import G
from tests.outside.sensitivity_page import DEMO, FIGURES, PAGE, WORDS, page, sampled, worst_instant_s

KNOWN = closed_form("integrals of the function of Ishigami and Homma 1990, formulas from memory")
FALL = closed_form("strength-of-materials textbooks, and calculus")

# --- a function with known indices ------------------------------------------------------------------------------

A, B = 7.0, 0.1


def ishigami(x: tuple[float, ...]) -> tuple[float, ...]:
    return (math.sin(x[0]) + A * math.sin(x[1]) ** 2 + B * x[2] ** 4 * math.sin(x[0]),)


def test_indices_of_a_function_whose_indices_are_known(agrees: Agrees) -> None:
    by_first = 0.5 * (1.0 + B * math.pi**4 / 5.0) ** 2
    by_second = A**2 / 8.0
    by_both = 8.0 * B**2 * math.pi**8 / 225.0  # first and third together
    whole = by_first + by_second + by_both
    inputs = [Varied(f"x{i}", (), 0.0, -math.pi, math.pi) for i in (1, 2, 3)]
    found = sensitivity(ishigami, inputs, [("", "")], How(samples=1024, workers=None)).figures[0]
    first = [by_first / whole, by_second / whole, 0.0]
    total = [(by_first + by_both) / whole, by_second / whole, by_both / whole]
    for i, one in enumerate(found.influences):
        name = one.input.name
        agrees(f"{name}: first index, 1,024 samples", KNOWN, one.first.value, first[i], allowed_abs=0.02, unit="")
        agrees(f"{name}: total index, 1,024 samples", KNOWN, one.total.value, total[i], allowed_abs=0.02, unit="")
        assert one.first.low < first[i] < one.first.high
        assert one.total.low < total[i] < one.total.high


def test_an_input_that_does_nothing_has_indices_of_nothing() -> None:
    inputs = [Varied(name, (), 0.0, 0.0, 1.0) for name in ("x", "idle")]
    one, idle = sensitivity(lambda x: (x[0] ** 2,), inputs, [("", "")], How(samples=64)).figures[0].influences
    assert idle.first == idle.total == Index(0.0, 0.0, 0.0)
    assert one.total.value == pytest.approx(1.0, abs=0.05)


def test_a_figure_that_never_varies_has_indices_of_nothing_and_its_own_value() -> None:
    found = sensitivity(lambda x: (2.0,), [Varied("x", (), 0.0, 0.0, 1.0)] * 2, [("", "")], How(samples=16))
    one = found.figures[0]
    assert one.influences[0].first == one.influences[0].total == Index(0.0, 0.0, 0.0)
    assert one.stated == one.least == one.low_5 == one.high_95 == one.most == 2.0


def test_the_spread_of_all_samples_is_that_of_the_figure() -> None:
    """x evenly from 3 to 5: least and most near the ends, the middle nine tenths from 3.1 to 4.9."""
    one = sensitivity(lambda x: (x[0],), [Varied("x", (), 4.0, 3.0, 5.0)] * 2, [("", "")], How(samples=256)).figures[0]
    assert (one.stated, one.low_5, one.high_95) == pytest.approx((4.0, 3.1, 4.9), abs=0.01)
    assert one.above == pytest.approx(0.5, abs=0.01)
    assert (one.least, one.most) == pytest.approx((3.0, 5.0), abs=0.02)


# --- a fall whose slopes follow by calculus ---------------------------------------------------------------------

MASS_KG, STIFFNESS_N, LENGTH_M, FALL_M = 80.0, 60_000.0, 5.0, 2.0
TOP_M = 20_000.0
MASS, EA, HEIGHT = "performers / weight / mass", "lines / line / type / stiffness_EA", "performers / weight / at / 3"


def falling() -> Sampled:
    text = rigs.scenario(
        performers={"weight": rigs.performer(MASS_KG, rigs.at(0, 0, TOP_M - LENGTH_M + FALL_M), release_s=0.1)},
        lines={"line": rigs.line(STIFFNESS_N, ["anchor", "weight"], length_m=LENGTH_M)},
        anchors={"anchor": rigs.anchor(0, 0, TOP_M)},
        duration_s=1.2,
        tolerance=1e-9,
    )
    scenario = sim.read_text(text, "fall")

    def by_one_percent_of(whole: float, key: str) -> Varied:
        stated = stated_value(scenario, key).si
        return Varied(key, (key,), stated, stated - 0.01 * whole, stated + 0.01 * whole)

    wholes = {MASS: MASS_KG, EA: STIFFNESS_N, HEIGHT: FALL_M}
    inputs = tuple(by_one_percent_of(whole, key) for key, whole in wholes.items())
    return Sampled(scenario, inputs, ((PLANNED, "force_N:line"),))


def slopes() -> tuple[float, list[float]]:
    """Peak force, and its percent for a percent of mass, stiffness and free fall."""
    w, k = MASS_KG * G, STIFFNESS_N / LENGTH_M
    s = math.sqrt(1.0 + 2.0 * FALL_M * k / w)
    soft = FALL_M * k / w / (s * (1.0 + s))
    return w * (1.0 + s), [1.0 - soft, soft, soft]


def test_one_at_a_time_in_a_rig_is_the_slope_of_the_closed_form(agrees: Agrees) -> None:
    of = falling()
    stated, ends = one_at_a_time(of, of.inputs)
    peak, percents = slopes()
    agrees("peak of a fall, as stated", FALL, stated[0], peak, 1e-3, "N")
    for i, (name, percent) in enumerate(zip(("mass", "stiffness", "free fall"), percents, strict=True)):
        ours = (ends[i, 1, 0] - ends[i, 0, 0]) / stated[0] / 0.02
        agrees(f"peak of a fall: percent for a percent of {name}", FALL, ours, percent, 1e-3, "")


def test_indices_of_a_rig_are_the_squares_of_its_slopes(agrees: Agrees) -> None:
    """Within small spreads every function is a plane: an even spread of one percent gives variances as slopes squared,
    and an input does nothing together with others."""
    found = scenario_sensitivity(falling(), How(samples=256)).figures[0]
    _, percents = slopes()
    squares = np.square(percents) / np.sum(np.square(percents))
    for one, name, square in zip(found.influences, ("mass", "stiffness", "free fall"), squares, strict=True):
        for which, index in (("first", one.first), ("total", one.total)):
            agrees(f"fall, {name}: {which} index, 256 samples", FALL, index.value, square, allowed_abs=0.03, unit="")


# --- keys -------------------------------------------------------------------------------------------------------


def test_a_value_lands_under_its_key_and_nowhere_else() -> None:
    of = read_file(DEMO)
    changed = with_value(of, "drives / winch / brakes / 1 / delay", 0.1)
    assert stated_value(changed, "drives / winch / brakes / 1 / delay").si == 0.1
    assert with_value(changed, "drives / winch / brakes / 1 / delay", 0.08) != changed
    assert changed.drives["winch"].at == of.drives["winch"].at  # type: ignore[union-attr]
    assert changed.performers == of.performers


@pytest.mark.parametrize("key", ["drives / hoist / at / 3", "drives / winch / at / 4", "title", "drives / winch"])
def test_a_key_that_holds_no_quantity_is_refused(key: str) -> None:
    with pytest.raises(KeyError):
        with_value(read_file(DEMO), key, 1.0)


def test_a_sample_that_cannot_be_run_is_told_and_none_is_left_out() -> None:
    of = sampled(1.0)
    wrong = tuple(-1.0 if one.name == "stretch of the line, slow" else one.stated for one in of.inputs)
    with pytest.raises(SensitivityError, match="1 of 2 samples have no figures"):
        evaluated(of, [tuple(one.stated for one in of.inputs), wrong])


# --- the page ---------------------------------------------------------------------------------------------------


def tables() -> dict[tuple[str, str], tuple[list[float], dict[str, list[str]]]]:
    """The page's sections: case and words of the figure, to the numbers of its first line and its table's cells."""
    found = {}
    for block in PAGE.read_text(encoding="utf-8").split("\n## ")[2:]:
        case, _, words = block.partition("\n")[0].partition(": ")
        rows = [row.split(" | ") for row in re.findall(r"^\| (.+) \|$", block, re.MULTILINE)[1:]]
        stated = [float(x) for x in re.findall(r"(?<=As stated )[\d.]+", block)]
        found[case, words] = (stated, {row[0]: row[1:] for row in rows})
    return found


def said_instant_s() -> float:
    said = re.search(r"power loss at ([\d.]+) s", PAGE.read_text(encoding="utf-8"))
    assert said is not None
    return float(said[1])


def test_the_page_still_says_what_each_input_does_alone() -> None:
    """A change of solver, demo or catalogue that moves a peak's third digit after the point shows here."""
    of = sampled(said_instant_s())
    stated, ends = one_at_a_time(of, of.inputs)
    said = tables()
    for f, (case, figure) in enumerate(FIGURES):
        words, _, scale = WORDS[figure]
        first, rows = said[case, words]
        assert first == [pytest.approx(scale * stated[f], rel=1e-4, abs=6e-4)]
        assert rows.keys() == {one.name for one in of.inputs}
        for i, one in enumerate(of.inputs):
            shown = [float(x) for x in rows[one.name][:2]]
            assert shown == pytest.approx((scale * ends[i, :, f]).tolist(), rel=1e-4, abs=6e-4), one.name


def test_what_the_catalogue_gives_can_be_written_in_place() -> None:
    """To rounding: a bearing's friction times its pin over the tread is then multiplied in another order."""
    of = sampled(said_instant_s())
    values = tuple(one.stated for one in of.inputs)
    as_given = Sampled(read_file(DEMO), (), of.figures, of.stop, of.time_s)
    assert of(values) == pytest.approx(as_given(()), rel=1e-10)


def test_the_two_spreads_of_the_stretch_make_the_range_of_the_catalogue() -> None:
    slow, fast = (one for one in sampled(1.0).inputs if one.keys == ("lines / drop line / type / stretch",))
    known = line_data(read_file(DEMO).lines["drop line"]).sources["stretch"]
    assert slow.low * fast.low == pytest.approx(known.low / known.value)
    assert slow.high * fast.high == pytest.approx(known.high / known.value)


@pytest.mark.slow
def test_the_page_still_says_what_the_inputs_do_together() -> None:
    time_s = worst_instant_s(read_file(DEMO))
    assert time_s == pytest.approx(said_instant_s(), abs=1.5e-3)
    found = scenario_sensitivity(sampled(said_instant_s()))
    said = tables()
    for figure in found.figures:
        _, rows = said[figure.case, WORDS[figure.figure][0]]
        for one in figure.influences:
            shown = [float(cell.split(" ")[0]) for cell in rows[one.input.name][3:5]]
            assert shown == pytest.approx([one.first.value, one.total.value], abs=0.011), one.input.name
    assert "## Inputs" in page(found, time_s)


def test_no_slope_is_told_where_there_is_none() -> None:
    def influence(low: float, high: float, stated: float) -> Influence:
        nothing = Index(0.0, 0.0, 0.0)
        return Influence(Varied("x", (), stated, stated - 1.0, stated + 1.0), low, high, nothing, nothing)

    def slope(figure: float, low: float, high: float, stated: float) -> float | None:
        return FigureSensitivity("", "", figure, 0.0, 0.0, 0.0, 0.0, 0.0, ()).per_percent(influence(low, high, stated))

    assert slope(2.0, 1.9, 2.1, 4.0) == pytest.approx(0.2)
    assert slope(2.0, 2.1, 2.2, 4.0) is None  # turns in between
    assert slope(2.0, 1.9, 2.1, 0.0) is None
    assert slope(0.0, -0.1, 0.1, 4.0) is None
