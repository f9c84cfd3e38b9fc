"""A run in slices makes the same steps as one in a piece, to the last bit, and hears a word to stop between two."""

from __future__ import annotations

import threading

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import sim
from sim.dynamics import slices
from sim.dynamics.orders import AT_REST, END_OF_TIME
from sim.dynamics.run import Raw, ready, run
from tests.properties.random_rigs import KINDS, scenarios
from tests.properties.runs import PLANNED, SAMPLE_RATE_HZ, built, case_of
from tests.studies.hoist import hoist

TRIED = settings(max_examples=8, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def in_slices(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """From here on slices are of a few steps; the list gets the steps each may take."""
    monkeypatch.setattr(slices, "FIRST_SLICE", 20_000)
    monkeypatch.setattr(slices, "MOST_GROWTH", 1.0)
    made: list[int] = []
    whole = slices.integrate

    def counted(y, scale, allowed, orders, *more):
        made.append(orders.most_steps)
        whole(y, scale, allowed, orders, *more)

    monkeypatch.setattr(slices, "integrate", counted)
    return made


def same(a: Raw, b: Raw) -> None:
    for field in ("time_s", "samples", "peak", "peak_s", "log", "work_J", "state"):
        assert np.array_equal(getattr(a, field), getattr(b, field)), field
    for field in ("status", "end_s", "evaluations", "steps", "restarts", "events", "residual", "log_total"):
        assert getattr(a, field) == getattr(b, field), field


@TRIED
@given(scenarios(KINDS), st.integers(0, PLANNED))
def test_slices_change_nothing(text: str, number: int) -> None:
    rig = built(text)
    of, case = ready(rig), case_of(rig, number)
    whole = run(of, case, 1e-6, SAMPLE_RATE_HZ, 3.0)
    with pytest.MonkeyPatch.context() as monkeypatch:
        made = in_slices(monkeypatch)
        cut = run(of, case, 1e-6, SAMPLE_RATE_HZ, 3.0)
    assert whole.status in (END_OF_TIME, AT_REST)
    assert len(made) > 10
    same(whole, cut)


def test_a_thread_that_listens_ends_its_run(monkeypatch: pytest.MonkeyPatch) -> None:
    made = in_slices(monkeypatch)
    rig, word, ended = hoist(), threading.Event(), []
    of = ready(rig)
    word.set()

    def work() -> None:
        slices.listen_to(word)
        try:
            run(of, sim.planned_case(rig), 1e-6, None)
        except KeyboardInterrupt:
            ended.append(len(made))

    thread = threading.Thread(target=work)
    thread.start()
    thread.join(timeout=600.0)
    assert ended == [1]
    made.clear()
    run(of, sim.planned_case(rig), 1e-6, None)  # whoever does not listen hears nothing
    assert len(made) == 2


def test_a_run_of_too_many_steps_still_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    in_slices(monkeypatch)
    monkeypatch.setattr("sim.dynamics.run.MOST_STEPS", 250)
    rig = hoist()
    raw = run(ready(rig), sim.planned_case(rig), 1e-6, None)
    assert raw.steps == 250
    assert raw.status not in (END_OF_TIME, AT_REST)
