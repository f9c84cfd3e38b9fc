"""Texts nobody means to write: refused at once, with a fault, never with a traceback."""

import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.scenario import Scenario, ScenarioErrors, read_file, read_text
from sim.scenario.tree import DEEPEST, MOST_VALUES

WHOLE = Path(__file__).with_name("whole")
SMALL = (WHOLE / "nothing-judged.yaml").read_text(encoding="utf-8")


def faults(text: str) -> list[str]:
    """What a text is told; empty where it is a scenario. Anything but those two fails the test that calls."""
    try:
        scenario = read_text(text)
    except ScenarioErrors as errors:
        told = [str(fault).removeprefix("scenario:") for fault in errors.faults]
        return told or ["an error without a fault"]
    assert isinstance(scenario, Scenario)
    return []


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no endless file here")
def test_an_endless_file_is_not_read_to_its_end() -> None:
    with pytest.raises(ScenarioErrors, match="a pipe or a device"):
        read_file("/dev/zero")


@pytest.mark.parametrize(
    "text",
    [
        "[" * 10**5,
        "{" * 10**5,
        "[" * (DEEPEST + 1) + "]" * (DEEPEST + 1),
        "- " * 10**5,
        "a: " * 10**5,
        "? " * 10**5,
        "a: 1\n" * 10**5,
        "- x\n" * 10**5,
        "title: " + "x" * 10**6,
        "a: &a [x]\nb: &b [*a, *a]\nc: [*b, *b]",
        "a\x00b",
        "\ud800",
        "%YAML 1.1\n%TAG ! !\n---\na: 1",
        "? [1, 2]\n: 3\n? {a: 1}\n: 4",
        ": 1",
        "'': 1",
        "a: |\n\tx",
        "a: 'x",
        "\x85\u2028",
        "...",
        "--- a\n--- b",
    ],
)
def test_strange_texts_are_refused_at_once(text: str) -> None:
    begun = time.thread_time()
    assert faults(text)
    assert time.thread_time() - begun < 3.0


def test_a_file_of_many_wrong_names_is_refused_in_time() -> None:
    line = "  line{0}: {{type: x, diameter: 1 mm, route: [aa{0}, bb{0}, cc{0}]}}\n"
    lines = "".join(line.format(i) for i in range(MOST_VALUES // 10))
    begun = time.thread_time()
    assert len(faults(SMALL.replace("lines:\n", f"lines:\n{lines}", 1))) > 1000
    assert time.thread_time() - begun < 20.0


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_refused_without_a_traceback(text: str) -> None:
    assert faults(text)


_SNIPPETS = ["none", "[]", "{}", "like: x", "\n", ": ", "-", "0 m"]


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_any_damage_to_a_scenario_is_a_scenario_or_refused(data: st.DataObject) -> None:
    text = (WHOLE / "two-of-everything.yaml").read_text(encoding="utf-8")
    start = data.draw(st.integers(0, len(text)))
    length = data.draw(st.integers(0, 40))
    put = data.draw(
        st.one_of(st.text(max_size=8), st.sampled_from(["none", "[]", "{}", "like: x", "\n", ": ", "-", "0 m"]))
    )
    faults(text[:start] + put + text[start + length :])


_WORDS = [
    "none",
    "{}",
    "[]",
    "[[]]",
    "-1",
    "1e99 m",
    "''",
    "x",
    "{x: y}",
    "[a, b]",
    "0 m",
    "0 kg",
    "no",
    "winch",
    "~",
    "5 %",
]


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_any_value_in_any_place_is_a_scenario_or_refused(data: st.DataObject) -> None:
    lines = (WHOLE / "two-of-everything.yaml").read_text(encoding="utf-8").splitlines()
    number = data.draw(st.sampled_from([i for i, line in enumerate(lines) if ": " in line]))
    head, _, tail = lines[number].rpartition(": ")
    closing = "".join(c for c in tail if c in "]}")[tail.count("[") + tail.count("{") :]
    lines[number] = f"{head}: {data.draw(st.sampled_from(_WORDS))}{closing}"
    faults("\n".join(lines))
