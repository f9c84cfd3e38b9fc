"""Every number of a report is one of the result: each is looked up again in the files, with another units library."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pint
import pytest
import yaml

from sim.report.document import document
from sim.report.look import Look, Mark
from sim.report.source import read_source
from sim.report.spans import Said, Traced
from sim.results.body import PUBLISHED
from sim.results.shown import Units
from sim.strength.words import DOUBTFUL
from tests.report.made import all_spans, demo_folder, made_up_folder

UNITS = pint.UnitRegistry()
SHOWN_IN = {
    Units.SI: {"N": "kN", "m": "m", "m/s": "m/s", "kg": "kg", "m/s^2": "m/s^2"},
    Units.US: {"N": "lbf", "m": "ft", "m/s": "ft/s", "kg": "lb", "m/s^2": "ft/s^2"},
}
SMALLER = {Units.SI: ("mm", "N", "g"), Units.US: ("in",)}
"""Signs of small lengths, forces and masses."""
NOT_OF_THE_LIBRARY = ("", "g", "g/s")
"""Ratios, and g as a measure of force over weight, which a units library takes for grams."""
FIXED = re.compile(
    r"CFC 60|CFC 180|5 Hz|SHA-256|g/s"  # names of filters and of a hash
)
"""What may stand in fixed words although it has a digit."""


@pytest.fixture(scope="module")
def drop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return demo_folder("lamplighters-drop-hard-brake", tmp_path_factory.mktemp("reports"))


@pytest.fixture(scope="module")
def fall(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return demo_folder("stonemasons-fall", tmp_path_factory.mktemp("reports"))


@pytest.mark.parametrize("look", [Look(), Look(Units.US), Look(mark=Mark.COMMA), Look(Units.US, Mark.COMMA)])
@pytest.mark.parametrize("which", ["drop", "fall", "made up"])
def test_every_number_and_name_is_a_field_of_the_files(
    which: str, look: Look, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    folder = made_up_folder(tmp_path) if which == "made up" else request.getfixturevalue(which)
    seen = 0
    for span in all_spans(document(read_source(folder, look), drawn=False)):
        if isinstance(span, Traced):
            seen += 1
            _check(span, folder, look)
    assert seen > 100


def test_fixed_words_hold_no_number(drop: Path, fall: Path, tmp_path: Path) -> None:
    for folder in (drop, fall, made_up_folder(tmp_path)):
        source = read_source(folder, Look())
        published = {Look().with_unit(each.value, each.unit) for each in PUBLISHED} | {each.scope for each in PUBLISHED}
        published |= {each.source for each in PUBLISHED}
        for span in all_spans(document(source, drawn=False)):
            if isinstance(span, Said) and span.text not in published:
                bare = FIXED.sub("", span.text)
                assert not re.search(r"\d", bare) or re.fullmatch(r"\d+", bare), span


def test_a_document_that_lies_is_found_out(drop: Path) -> None:
    """The walk itself can fail: a number off by one in its last digit, and a field that is not there."""
    source = read_source(drop, Look())
    element = next(iter(source.result.elements))
    good = source.number("elements", element, "emergency_N")
    _check(good, drop, Look())
    last = str((int(good.text.split("\u00a0")[0][-1]) + 2) % 10)
    bad = Traced(good.text.split("\u00a0")[0][:-1] + last + "\u00a0kN", good.field, good.unit, good.sort)
    with pytest.raises(AssertionError):
        _check(bad, drop, Look())
    with pytest.raises(KeyError):
        _check(Traced("1", ("elements", "nobody", "static_N"), "N", 1.0), drop, Look())


def _check(span: Traced, folder: Path, look: Look) -> None:
    if span.how == "hash":
        digest = hashlib.sha256((folder / "result.json").read_bytes()).hexdigest()
        assert digest.startswith(span.text)
        assert len(span.text) >= 12
        return
    if span.of == "scenario.yaml":
        _check_given(span, folder, look)
        return
    value = _look_up(_result(folder), span.field)
    if span.how == "key":
        assert str(span.field[-1]) == span.text
    elif span.how == "count":
        assert span.text == str(len(value))
    elif span.how == "end":
        assert value == DOUBTFUL + span.text
    elif span.unit is None:
        noted = _result(folder).get("not_numbers", {}).get("/" + "/".join(map(str, span.field)))
        assert span.text == (noted if value is None else str(value))
    elif value is None:
        assert span.text == "–"
    elif span.how == "small":
        assert _number(span.text, look) == pytest.approx(value, rel=0.06)
    elif span.how == "percent":
        number, _, sign = span.text.partition("\u00a0")
        assert sign == "%"
        assert _number(number, look) == pytest.approx(100.0 * value, rel=0.06)
    elif span.how == "fitting" and (sign := span.text.partition("\u00a0")[2]) in SMALLER[look.units]:
        _check_rounded(span.text, UNITS.Quantity(float(value), span.unit).to(sign).m, look)
    else:
        _check_number(span.text, float(value), span.unit, look)


def _check_given(span: Traced, folder: Path, look: Look) -> None:
    tree = _scenario(folder)
    if span.how == "keys":
        assert span.field
        assert str(span.field[-1]).replace("_", " ") in span.text.replace("_", " ") or isinstance(span.field[-1], int)
        return
    value = _look_up(tree, span.field)
    if span.how == "key":
        assert str(span.field[-1]) == span.text
        return
    long = value if isinstance(value, Mapping) else {"value": value}
    if span.how == "value":
        written = long["value"]
        assert span.text == (written if isinstance(written, str) else f"[{', '.join(written)}]")
    elif span.how == "origin":
        assert span.text == long["from"]
    else:
        written = {"low": long.get("range", [""])[0], "high": long.get("range", [""])[-1]}.get(span.how, long["value"])
        number, _, sign = span.text.partition("\u00a0")
        shown = UNITS.Quantity(_number(number, look), sign.replace("²", "^2") or "dimensionless")
        if "degC" not in written:
            assert shown.to_base_units().m == pytest.approx(_written(written).to_base_units().m, rel=6e-4)


def _written(text: str) -> Any:
    number, _, unit = text.partition(" ")
    return UNITS.Quantity(float(number.replace("\u2212", "-")), unit.replace("%", "percent") or "dimensionless")


def _check_number(text: str, value: float, unit: str, look: Look) -> None:
    sign = text.partition("\u00a0")[2]
    shown_unit = sign.replace("²", "^2").replace("·", "*") or SHOWN_IN[look.units].get(unit, unit)
    if unit in NOT_OF_THE_LIBRARY:
        assert shown_unit == unit
    else:
        assert shown_unit == SHOWN_IN[look.units].get(unit, shown_unit)
        value = UNITS.Quantity(value, unit).to(shown_unit).m
    _check_rounded(text, value, look)


def _check_rounded(text: str, value: float, look: Look) -> None:
    number = text.partition("\u00a0")[0]
    decimals = len(number.replace(",", ".").rpartition(".")[2]) if re.search(_mark(look), number) else 0
    assert abs(_number(number, look) - value) <= 0.5000001 * 10.0**-decimals, (text, value)


def _mark(look: Look) -> str:
    return r"\." if look.mark is Mark.POINT else ","


def _number(text: str, look: Look) -> float:
    if look.mark is Mark.COMMA:
        text = text.replace("\u202f", "").replace(",", ".")
    return float(text.replace(",", "").replace("\u2212", "-"))


@cache
def _result(folder: Path) -> Any:
    return json.loads((folder / "result.json").read_text(encoding="utf-8"))


@cache
def _scenario(folder: Path) -> Any:
    return yaml.load((folder / "scenario.yaml").read_text(encoding="utf-8"), Loader=yaml.BaseLoader)


def _look_up(tree: Any, field: tuple[str | int, ...]) -> Any:
    here: Any = tree
    for i, step in enumerate(field):
        last = i == len(field) - 1
        here = here.get(step) if last and isinstance(here, dict) else here[step]
    return here
