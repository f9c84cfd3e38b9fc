"""The accuracy page's own machinery: what fails, what is written, and what counts as gone stale."""

from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest

from tests.outside.accuracy.page import PageError, by_file, line_of, read, stale, write
from tests.outside.accuracy.rows import Agrees, Row, closed_form, practice, table

FILE = "test_accuracy_page.py"


def gathered() -> tuple[Agrees, list[Row]]:
    rows: list[Row] = []
    count = itertools.count()
    return Agrees(FILE, rows.append, lambda: (3, next(count))), rows


def some_rows() -> list[Row]:
    check, rows = gathered()
    check("a force", closed_form("m g"), 980.7, 980.665, 1e-3, "N")
    check("a place", table("a table"), -1.0004, -1.0, unit="m", allowed_abs=2e-3)
    check("nothing", closed_form("zero"), 1e-9, 0.0, unit="N", allowed_abs=0.1)
    check.within("a band", practice(), 6.0, 5.0, 7.0)
    check.within("one end", practice(), 6.0, 5.9, math.inf, "kN")
    return rows


def test_a_difference_above_what_is_allowed_fails_and_is_still_written_down():
    check, rows = gathered()
    with pytest.raises(AssertionError, match=r"a force: ours 990 N, theirs 980 N .* 10 N apart, 9\.8 N allowed"):
        check("a force", closed_form("m g"), 990.0, 980.0, 0.01, "N")
    with pytest.raises(AssertionError, match="5 to 7"):
        check.within("a band", practice(), 7.01, 5.0, 7.0)
    check.within("the same with a tenth allowed", practice(), 7.01, 5.0, 7.0, allowed=0.1)
    with pytest.raises(AssertionError, match="ours is nan"):
        check("no number", practice(), math.nan, 1.0, 0.1)
    assert [round(row.share, 2) for row in rows] == [1.02, math.inf, 0.01]


def test_rows_are_plain_enough_to_travel():
    check, rows = gathered()
    check("a force", practice(), np.float64(1.0), np.float32(1.0), np.float64(0.1))
    check("a place", practice(), np.float64(1.0), 1, unit="m", allowed_abs=np.float64(0.1))
    assert {type(value) for row in rows for value in row.as_plain().values()} == {str, float, bool, tuple}


def test_a_text_that_would_break_the_table_is_refused():
    check, _ = gathered()
    with pytest.raises(TypeError, match="bar"):
        check("a | b", practice(), 1.0, 1.0, 0.1)
    with pytest.raises(TypeError, match="one of"):
        check("neither", practice(), 1.0, 1.0)


def test_a_page_says_what_was_found_and_is_read_back():
    rows = some_rows()
    sections = {FILE: [line_of(row) for row in rows]}
    page = write(sections)
    assert "| a force | m g | closed form | 980.7 N | 980.665 N | 0.004 % | 0.1 % |" in page
    assert "| a place | a table | published table | -1.0004 m | -1 m | 0.00040 m | 0.002 m |" in page
    assert "| a band | common practice, no source | common practice | 6 | 5 to 7 | inside | inside |" in page
    assert "| closed form | 2 | 0.004 % of 0.1 % allowed: a force |" in page
    assert read(page) == sections
    assert write(read(page)) == page
    assert stale(read(page), rows) == []


def test_rows_keep_the_order_of_their_tests_whoever_finished_first():
    rows = some_rows()
    assert by_file(reversed(rows))[FILE] == rows
    assert [Row.from_plain(row.as_plain()) for row in rows] == rows
    with pytest.raises(PageError, match="the same case twice: a force"):
        by_file([rows[0], dataclasses.replace(rows[1], case="a force")])


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"case": "another"}, ["a force: on the page, but not checked", "another: not on the page"]),
        ({"ours": 980.7 + 0.2}, ["ours is 980.9 N, the page says 980.7 N"]),
        ({"low": 980.8, "high": 980.8}, ["theirs is 980.8 N, the page says 980.665 N"]),
        ({"allowed": 1.1e-3}, ["allowed is 0.11 %, the page says 0.1 %"]),
        ({"source": "elsewhere"}, ["source is elsewhere, the page says m g"]),
        ({"unit": "kN"}, ["ours is 980.7 kN, the page says 980.7 N", "theirs is 980.665 kN, the page says 980.665 N"]),
        ({"ours": 980.7 + 0.09}, []),
        ({"ours": 980.7 + 1e-9}, []),
    ],
)
def test_a_page_is_stale_when_more_than_a_tenth_of_what_is_allowed_has_changed(change: dict, said: list[str]):
    rows = some_rows()
    page = read(write({FILE: [line_of(row) for row in rows]}))
    found = stale(page, [dataclasses.replace(rows[0], **change), *rows[1:]])
    assert [line.removeprefix(f"{FILE}: ").removeprefix("a force: ") for line in found] == [
        line.removeprefix("a force: ") for line in said
    ]
