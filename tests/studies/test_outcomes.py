"""A run that fails says why in a sentence for a rigger, fails its audit, and ends the whole in status 3."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

import pytest

import sim
from sim.dynamics import orders as od
from sim.dynamics.moments import moments
from sim.dynamics.run import ready, run
from sim.results.model import Outcome, Result
from sim.studies import one_stop
from sim.studies.figures import audit, case_result
from sim.studies.outcomes import FAILURES
from tests.studies.hoist import hoist, hoist_text

JARGON = ("step became", "progress", "tolerance", "integrat", "residual", "event", "nan", "exception")


@pytest.mark.parametrize("status", FAILURES)
def test_a_failed_run_says_why_and_never_passes_its_audit(status: int) -> None:
    rig = hoist()
    good = run(ready(rig), sim.planned_case(rig), 1e-6, None)
    failed = dataclasses.replace(good, status=status, end_s=0.184)
    case = case_result(failed, good, {}, 0.0)
    assert case.outcome is Outcome.FAILED
    assert case.reason.startswith("At 0.184 s into the run ")
    assert case.reason.endswith(".")
    assert len(case.reason.split()) > 12
    assert not any(word in case.reason.lower() for word in JARGON)
    assert case.remedy
    assert case.audit is not None
    assert not case.audit.passed
    assert case.audit.remark
    assert audit(good, good).passed


def test_every_way_of_failing_has_its_words() -> None:
    assert set(FAILURES) == {od.STEP_TOO_SMALL, od.NO_PROGRESS, od.TOO_MANY_STEPS}


def test_a_repeat_that_fails_fails_the_audit() -> None:
    rig = hoist()
    good = run(ready(rig), sim.planned_case(rig), 1e-6, None)
    finer = dataclasses.replace(good, status=od.TOO_MANY_STEPS)
    found = audit(good, finer)
    assert not found.passed
    assert found.peak_change is None
    assert "repeat" in found.remark


@pytest.fixture
def given_up(monkeypatch: pytest.MonkeyPatch) -> Iterator[Result]:
    """Runs are given up after 60 steps; what was remembered of such runs is forgotten before and after."""
    monkeypatch.setattr("sim.dynamics.run.MOST_STEPS", 60)
    _forget()
    yield sim.run_scenario(sim.read_text(hoist_text(), "hoist"))
    _forget()


def _forget() -> None:
    moments.cache_clear()
    one_stop.last_instant_s.cache_clear()


def test_a_scenario_whose_runs_are_given_up_ends_in_status_3(given_up: Result) -> None:
    assert given_up.exit_status == 3
    assert given_up.verdict == "not finished"
    planned = given_up.cases["planned move"]
    assert planned.outcome is Outcome.FAILED
    assert "vibrates" in planned.reason
    assert planned.audit is not None
    assert not planned.audit.passed
    assert all("vibrates" in cause for cause in given_up.sweeps["power loss"].causes)
