"""What differs between two results, held against numbers written out here: levels, units, words, pairing, one side."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.results.difference import FIRST, SECOND, Difference, Differences, Kind, Level, Same
from sim.results.difference_words import change_words, verdict_of_differences
from sim.results.differing import compare_plain
from sim.results.folder import write_result
from sim.results.inputs import Input, Inputs
from sim.results.kept import Kept, read_kept
from sim.results.model import Event, Result, SweepTable, Trace
from sim.results.two_results import Compared, compare_kept, side_of
from sim.results.whole import FolderError
from tests.results.made_up import INPUTS, made_up_result, strange_result

WORST = "power loss, worst force"


def _kept(folder: Path, result: Result) -> Kept:
    return read_kept(write_result(folder, result, INPUTS))


def _differences(tmp_path: Path, first: Result, second: Result, same: Same | None = None) -> Differences:
    return compare_kept(_kept(tmp_path / "a", first), _kept(tmp_path / "b", second), ({}, {}), same)


def _with_peak(result: Result, force_N: float, case: str = WORST) -> Result:
    """The result with another force on the drop line in one case."""
    old = result.cases[case]
    peaks = {**old.peaks, "drop line": replace(old.peaks["drop line"], force_N=force_N)}
    return replace(result, cases={**result.cases, case: replace(old, peaks=peaks)})


@pytest.mark.parametrize("make", [made_up_result, strange_result])
def test_a_result_is_the_same_as_itself_to_the_last_bit(tmp_path: Path, make) -> None:
    found = _differences(tmp_path, make(), make(), Same(Level.EXACT))
    assert found.found == ()
    assert found.numbers == found.counts[Level.EXACT] > 50


@pytest.mark.parametrize(
    ("factor", "level"),
    [
        (1 + 2e-16 * 4, Level.ALIKE),
        (1 + 5e-10, Level.ALIKE),
        (1 + 5e-9, Level.ACCURACY),
        (1 + 2.9e-5, Level.ACCURACY),  # the made-up audit says its peaks changed by 3e-5
        (1 + 3.1e-5, Level.DIFFERENT),
        (2.0, Level.DIFFERENT),
    ],
)
def test_each_number_meets_its_level(tmp_path: Path, factor: float, level: Level) -> None:
    plain = _with_peak(made_up_result(), 4000.0)
    found = _differences(tmp_path, plain, _with_peak(plain, 4000.0 * factor))
    (only,) = found.found
    assert only.level is level
    assert found.counts[level] == 1
    assert only.words == "power loss, worst force / peak / drop line / force"
    assert (only.first, only.second, only.unit, only.kind) == (4000.0, 4000.0 * factor, "N", Kind.FIGURE)
    assert only.absolute == 4000.0 * factor - 4000.0
    assert only.relative == pytest.approx((factor - 1) / factor, rel=1e-6)
    assert only.claimed == 3e-5
    for asked in Level:
        assert Same(asked).holds(only) == (level <= asked)


def test_same_takes_a_relative_difference_of_ones_own(tmp_path: Path) -> None:
    plain = _with_peak(made_up_result(), 4000.0)
    (only,) = _differences(tmp_path, plain, _with_peak(plain, 4004.0)).found
    assert Same(relative=1e-3).holds(only)
    assert not Same(relative=0.9e-3).holds(only)


def test_a_time_of_a_flat_top_is_claimed_to_the_root_only(tmp_path: Path) -> None:
    plain = made_up_result()
    case = plain.cases[WORST]
    late = replace(case, peaks={**case.peaks, "drop line": replace(case.peaks["drop line"], time_s=2.03 * 1.005)})
    later = replace(case, peaks={**case.peaks, "drop line": replace(case.peaks["drop line"], time_s=2.03 * 1.006)})
    for each, level in ((late, Level.ACCURACY), (later, Level.DIFFERENT)):  # sqrt(3e-5) is 5.5e-3
        second = replace(plain, cases={**plain.cases, WORST: each})
        (only,) = _differences(tmp_path / str(level), plain, second).found
        assert (only.level, only.unit) == (level, "s")


def test_what_one_side_has_alone_is_told_once_where_they_part(tmp_path: Path) -> None:
    plain = made_up_result()
    fewer = replace(plain, elements={name: each for name, each in plain.elements.items() if name != "head sling"})
    (gone,) = _differences(tmp_path, plain, fewer).found
    assert (gone.words, gone.only, gone.second) == ("head sling", FIRST, None)
    assert (gone.first, gone.unit) == (4210.123456789, "N")
    (new,) = _differences(tmp_path / "turned", fewer, plain).found
    assert (new.only, new.first, new.second) == (SECOND, None, 4210.123456789)


def test_a_verdict_that_turns_is_an_outcome(tmp_path: Path) -> None:
    plain = made_up_result()
    line = replace(plain.elements["drop line"], within=False)
    turned = replace(
        plain, verdict="within limits", weakest="drop line", elements={**plain.elements, "drop line": line}
    )
    found = _differences(tmp_path, plain, turned)
    assert {each.words: (each.first, each.second) for each in found.of(Kind.OUTCOME)} == {
        "verdict": ("outside limits", "within limits"),
        "weakest": ("head sling", "drop line"),
        "drop line / within": (True, False),
    }
    assert len(found.found) == len(found.counting) == 3
    bare = replace(turned.elements["drop line"], worst_place="elsewhere", within=True)
    fewer = replace(turned, elements={"drop line": bare})
    told = [each.words for each in _differences(tmp_path / "fewer", plain, fewer).of(Kind.OUTCOME)]
    assert told == ["verdict", "weakest", "drop line / worst place"]  # what decides goes before where it is


def test_one_more_event_moves_none_of_the_others(tmp_path: Path) -> None:
    plain = made_up_result()
    case = plain.cases[WORST]
    events = (Event(0.1, "slack", "drop line", 1.0, "m/s"), *case.events)
    more = replace(plain, cases={**plain.cases, WORST: replace(case, events=events)})
    (only,) = _differences(tmp_path, plain, more).found
    assert (only.kind, only.only, only.first, only.second, only.unit) == (Kind.EVENT, SECOND, None, 0.1, "s")


def test_limits_are_paired_by_what_they_limit_and_sentences_by_their_text(tmp_path: Path) -> None:
    plain = made_up_result()
    turned = replace(plain, findings=plain.findings[::-1], assumptions=("another", *plain.assumptions))
    (only,) = _differences(tmp_path, plain, turned).found
    assert (only.kind, only.second, only.only) == (Kind.WORDS, "another", SECOND)
    g_load = replace(plain.findings[0], found=6.5)
    (found,) = _differences(tmp_path / "g", plain, replace(plain, findings=(g_load, *plain.findings[1:]))).found
    assert (found.words, found.first, found.second) == ("limit / g load, lamplighter / found", 6.4, 6.5)


def test_what_a_run_cost_counts_only_where_every_bit_is_asked_for(tmp_path: Path) -> None:
    plain = made_up_result()
    case = plain.cases[WORST]
    assert case.audit is not None
    other = replace(plain, cases={**plain.cases, WORST: replace(case, audit=replace(case.audit, steps=3001))})
    (only,) = _differences(tmp_path, plain, other).found
    assert only.kind is Kind.AUDIT
    assert Same().holds(only)
    assert Same(relative=0.0).holds(only)
    assert not Same(Level.EXACT).holds(only)
    failed = replace(plain, cases={**plain.cases, WORST: replace(case, audit=replace(case.audit, passed=False))})
    (only,) = _differences(tmp_path / "failed", plain, failed).found
    assert (only.kind, only.first, only.second) == (Kind.OUTCOME, True, False)
    assert not Same().holds(only)


def test_a_curve_is_told_once_by_its_largest_difference_and_when(tmp_path: Path) -> None:
    plain = made_up_result()
    trace = plain.traces["planned move"]
    g = trace.columns["g:lamplighter"].copy()
    g[100] += 0.5
    g[200] -= 2.0
    changed = Trace(trace.time_s, {**trace.columns, "g:lamplighter": g})
    second = replace(plain, traces={**plain.traces, "planned move": changed})
    (only,) = _differences(tmp_path, plain, second).found
    assert (only.kind, only.words) == (Kind.CURVE, "planned move / history / g / lamplighter")
    assert only.at_s == pytest.approx(trace.time_s[200], rel=1e-12)
    assert only.absolute == pytest.approx(-2.0, rel=1e-6)
    scale = max(np.abs(g).max(), np.abs(trace.columns["g:lamplighter"]).max())
    assert only.relative == pytest.approx(2.0 / scale, rel=1e-6)


def test_a_coordinate_of_nearly_nothing_is_measured_against_the_place(tmp_path: Path) -> None:
    """A hanging performer's x is 1e-16 m on one machine and -1e-16 m on another: no difference of 200 %."""
    plain = made_up_result()
    time_s = np.linspace(0.0, 1.0, 11)
    sides = []
    for tiny in (1e-16, -1e-16):
        trace = Trace(time_s, {"x_m:lamplighter": np.full(11, tiny), "height_m:lamplighter": np.full(11, 10.0)})
        sides.append(replace(plain, traces={"planned move": trace}))
    (only,) = _differences(tmp_path, *sides).found
    assert only.level is Level.ALIKE
    assert only.relative == pytest.approx(2e-17)


def test_curves_of_other_instants_are_compared_where_both_have_some(tmp_path: Path) -> None:
    plain = made_up_result()
    sweep = plain.sweeps["power loss"]
    columns = {"peak_g:lamplighter": np.array([2.0, 6.4]), "force_N:drop line": np.array([1 / 3, 4300.0])}
    other = SweepTable("power loss", np.array([0.5, 1.95]), columns)
    found = _differences(tmp_path, plain, replace(plain, sweeps={"power loss": other}))
    told = {each.words: each for each in found.found}
    instants = told["power loss, every instant / instants"]
    assert (instants.first, instants.second) == ("3 instants, 1 in both", "2 instants, 1 in both")
    assert not Same().holds(instants)
    assert "power loss, every instant / peak g / lamplighter" not in told  # at 0.5 s both have 2.0
    lost = told["power loss, every instant"]
    assert (lost.kind, lost.first, lost.second) == (Kind.OUTCOME, "1 instants not finished", "0 instants not finished")
    assert sweep.causes[2]


def test_no_number_against_a_number_is_different_and_against_itself_is_not(tmp_path: Path) -> None:
    plain = made_up_result()
    bad, none = _with_peak(plain, math.inf), _with_peak(plain, math.nan)
    assert _differences(tmp_path / "1", bad, bad).found == ()
    assert _differences(tmp_path / "2", none, none).found == ()
    (only,) = _differences(tmp_path / "3", plain, bad).found
    assert only.level is Level.DIFFERENT
    assert only.relative == math.inf
    assert change_words(only) == "no number on one side"


def test_inputs_are_compared_key_by_key(tmp_path: Path) -> None:
    kept = _kept(tmp_path / "a", made_up_result())
    mass: tuple[str, ...] = ("performers", "lamplighter", "mass")
    first = {mass: Input("84 kg", 84.0, "kg"), ("lines", "tail", "diameter"): Input("6 mm", 0.006, "m")}
    second = {mass: Input("90 kg", 90.0, "kg"), ("run", "tolerance"): Input("1e-6", 1e-6)}
    found = compare_kept(kept, kept, (first, second)).of(Kind.INPUT)
    told = {each.words: (each.first, each.second, each.only, each.absolute) for each in found}
    assert told == {
        "performers / lamplighter / mass": ("84 kg", "90 kg", "", 6.0),
        "lines": ("tail", None, FIRST, None),
        "run": (None, "tolerance", SECOND, None),
    }
    same: list[Inputs] = [{mass: Input("0.5 m", 0.5, "m")}, {mass: Input("500 mm", 0.5, "m")}]
    assert compare_kept(kept, kept, (same[0], same[1])).found == ()
    warm: list[Inputs] = [{mass: Input(f"{t} degC", float(t), "degC")} for t in (20, 10)]
    (only,) = compare_kept(kept, kept, (warm[0], warm[1])).found
    assert (only.absolute, only.relative) == (-10.0, None)  # a share of a temperature in degrees says nothing


def test_the_verdict_names_the_largest_figure(tmp_path: Path) -> None:
    plain = _with_peak(made_up_result(), 4000.0)
    other = _with_peak(_with_peak(plain, 5000.0), 4100.0, "planned move")
    kept = _kept(tmp_path / "a", plain), _kept(tmp_path / "b", other)
    sides = side_of(kept[0], "a"), side_of(kept[1], "b")
    compared = Compared(*sides, compare_kept(*kept, ({}, {})))
    said = verdict_of_differences(compared)
    assert said.startswith("Different: 2 figures")
    assert "power loss, worst force / peak / drop line / force, +1 kN, 20 %" in said
    assert not compared.same
    same = Compared(*sides, compare_kept(kept[0], kept[0], ({}, {})))
    assert same.same
    assert verdict_of_differences(same).startswith("Same")
    assert not replace(same, altered=True).same


# --- folders that are not whole -------------------------------------------------------------------------------------


def test_an_altered_number_and_a_missing_history_are_seen_and_the_rest_is_compared(tmp_path: Path) -> None:
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    whole = read_kept(out)
    assert (whole.altered, whole.unread, whole.sealed) == ((), {}, True)
    text = (out / "result.json").read_text()
    (out / "result.json").write_text(text.replace('"static_N": 830.0', '"static_N": 730.0', 1))
    (out / "traces/planned move.csv").unlink()
    (out / "sweep.csv").write_text("stop_time_s,a\n1\n")
    spoilt = read_kept(out)
    assert spoilt.altered == ("result.json", "sweep.csv", "traces/planned move.csv")
    assert spoilt.unread["traces/planned move.csv"] == "it is missing"
    assert "sweep.csv" in spoilt.unread
    found = compare_kept(whole, spoilt, ({}, {})).counting
    assert [(each.words, each.only) for each in found if each.only] == [
        ("planned move / history", FIRST),
        ("power loss, every instant", FIRST),
    ]
    (number,) = (each for each in found if not each.only)
    assert (number.first, number.second) == (830.0, 730.0)


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (lambda out: (out / "result.json").unlink(), "is not a result folder"),
        (lambda out: (out / "result.json").write_text("{"), "cannot be read"),
        (lambda out: (out / "result.json").write_text("[" * 100_000), "cannot be read"),
        (lambda out: (out / "result.json").write_text('{"format": "stopload result 9", "stamp": {"version": "9.1"}}'),
         "format 'stopload result 9', by stopload 9.1; this version reads 'stopload result 1' only"),
        (lambda out: (out / "result.json").write_text("[]"), "is no result"),
        (lambda out: (out / "result.json").write_text('{"format": "stopload result 1"}'), "does not fit"),
    ],
)  # fmt: skip
def test_what_is_no_result_is_refused_in_words(tmp_path: Path, spoil, told: str) -> None:
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    spoil(out)
    with pytest.raises(FolderError, match=told):
        read_kept(out)


def test_a_table_outside_the_folder_is_not_read(tmp_path: Path) -> None:
    (tmp_path / "secret.csv").write_text("time_s,a\n1,2\n")
    out = write_result(tmp_path / "out", made_up_result(), INPUTS)
    text = (out / "result.json").read_text().replace("traces/planned move.csv", "../secret.csv", 1)
    (out / "result.json").write_text(text)
    kept = read_kept(out)
    assert "planned move" not in kept.traces
    assert "outside" in kept.unread["../secret.csv"]


_KEYS = st.sampled_from(
    ["cases", "elements", "findings", "peaks", "audit", "events", "static_N", "limit", "of", "what", "found", "unit",
     "time_s", "peak_change", "lines", "drawing", "b/c", ""]
)  # fmt: skip
_LEAVES = st.none() | st.booleans() | st.integers(-5, 5) | st.floats() | st.text(max_size=4)
_PLAIN = st.dictionaries(
    _KEYS,
    st.recursive(_LEAVES, lambda x: st.lists(x, max_size=4) | st.dictionaries(_KEYS, x, max_size=5), max_leaves=25),
    max_size=6,
)


@settings(max_examples=200, deadline=None)
@given(_PLAIN, _PLAIN)
def test_whatever_stands_in_a_file_is_compared(first: dict[str, Any], second: dict[str, Any]) -> None:
    """Anything JSON can hold is the same as itself, and differs from another as often both ways."""
    assert compare_plain(first, first).differences == []
    one, other = compare_plain(first, second), compare_plain(second, first)
    assert len(one.differences) == len(other.differences)
    assert one.counts == other.counts


def test_every_difference_is_frozen() -> None:
    difference = Difference(Kind.FIGURE, (), "", 1.0, 2.0, Level.DIFFERENT)
    with pytest.raises(AttributeError):
        difference.first = 3.0  # type: ignore[misc]
