"""Every change of mode is a lawful one, no line ever pushes, and a run that cannot go on says why."""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

import sim
from sim.dynamics import modes as md
from sim.dynamics import run as running
from sim.dynamics import tables as tb
from sim.dynamics.run import Raw, Ready, ready, run
from sim.dynamics.watch import Watched, table
from sim.results.model import Outcome
from sim.rig.line import Damping
from tests.dynamics.rigs import DEMOS, built, demo_cases

LINE_WORDS = (md.EV_SLACK, md.EV_TAUT, md.EV_LIMIT, md.EV_UNLIMIT)
FRICTION_WORDS = (md.EV_STICK, md.EV_SLIDE)

BOUNCE = """
title: a weight that bounces on a line
floor: 0 m
performers:
  weight: {mass: 80 kg, hook_mass: 1 kg, at: [0 m, 0 m, 5.2 m], start: held, release: 0.1 s, body_below: 1.2 m}
lines:
  line:
    type: {stiffness_EA: 300 kN, mass_per_length: 30 g/m, damping_time: TAU}
    slack: 0.8 m
    route: [anchor, weight]
anchors:
  anchor: {at: [0 m, 0 m, 8 m]}
stops: none
limits: none
run: {duration: 3 s}
"""


def watching_elements(of: Ready) -> Ready:
    """The same rig, watched at every element's own tension, unclipped, its lowest value kept."""
    columns = tuple(Watched(f"element {e}", tb.OBS_ELEMENT, e, peak=-1) for e in range(len(of.start.model.elements)))
    start = dataclasses.replace(of.start, model=of.start.model._replace(observables=table(columns)))
    return dataclasses.replace(of, start=start, columns=columns)


def least_N(of: Ready, tolerance: float) -> float:
    """How far below nothing a tension may be found where a mode has just ended: ten times the run's tolerance.

    Events are located on the interpolant, whose own error is of the tolerance's order but not held to it. At 1e-6 the
    demos reach 1.4e-6 of the weight, 1 mN; it falls with the tolerance.
    """
    return -10.0 * tolerance * of.start.reference_N


def by_part(raw: Raw, words: tuple[int, ...]) -> dict[int, list[int]]:
    """The words of each part, in order of time."""
    out: dict[int, list[int]] = defaultdict(list)
    for _, word, index, _ in raw.log:
        if word in words:
            out[int(index)].append(int(word))
    return out


def lawful(raw: Raw) -> None:
    """slack -> taut (at the limit of damping) -> below it -> at it ... -> slack; stick and slide in turn."""
    may_follow = {
        md.EV_SLACK: {md.EV_TAUT},
        md.EV_TAUT: {md.EV_UNLIMIT, md.EV_SLACK, md.EV_LIMIT},
        md.EV_UNLIMIT: {md.EV_LIMIT, md.EV_SLACK},
        md.EV_LIMIT: {md.EV_UNLIMIT, md.EV_SLACK},
        md.EV_STICK: {md.EV_SLIDE},
        md.EV_SLIDE: {md.EV_STICK},
    }
    for words in (LINE_WORDS, FRICTION_WORDS):
        for part, said in by_part(raw, words).items():
            for one, then in pairwise(said):
                assert then in may_follow[one], (part, one, then)
    assert (np.diff(raw.log[:, 0]) >= 0.0).all()
    assert md.EV_GUARD not in raw.log[:, 1]


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_demos_change_lawfully_and_never_push(path: Path):
    rig = sim.build_rig(sim.read_file(path))
    of = ready(rig)
    for case in demo_cases(rig):
        raw = run(of, case, 1e-6, 500.0, 4.0)
        lawful(raw)
        assert np.isfinite(raw.samples).all()
        assert np.isfinite(raw.state).all()
        tensions = [i for i, c in enumerate(of.columns) if c.column.startswith("tension_N")]
        assert raw.samples[:, tensions].min() >= 0.0
        for tolerance in (1e-6, 1e-8):
            elements = run(watching_elements(of), case, tolerance, 5000.0, 4.0)
            assert elements.peak.min() >= least_N(of, tolerance)
            assert elements.samples.min() >= least_N(of, tolerance)
            assert elements.samples.max() > 100.0


@pytest.mark.parametrize("tau", ["0 s", "0.5 ms", "5 ms", "50 ms"])
@pytest.mark.parametrize(("law", "limit"), [("limited", 1.0), ("limited", 0.3), ("pure", 1.0)])
def test_a_bouncing_weight_changes_lawfully_and_never_is_pushed(tau: str, law: Damping, limit: float):
    rig = built(BOUNCE.replace("TAU", tau))
    lines = tuple(
        x
        if x.strap
        else dataclasses.replace(x, material=dataclasses.replace(x.material, damping=law, damping_limit=limit))
        for x in rig.lines
    )
    of = ready(dataclasses.replace(rig, lines=lines))
    case = sim.planned_case(of.rig)
    raw = run(of, case, 1e-6, 2000.0)
    lawful(raw)
    said = [word for part in by_part(raw, LINE_WORDS).values() for word in part]
    assert md.EV_TAUT in said
    # Textbook damping of 50 ms is over 0.9 of critical here, so the line is not left again.
    assert (md.EV_SLACK in said) == ((law, tau) != ("pure", "50 ms"))
    if tau == "0 s":
        assert set(said) == {md.EV_TAUT, md.EV_SLACK}
    elif law == "limited":
        assert set(said) == set(LINE_WORDS)
    elements = run(watching_elements(of), case, 1e-6, 20_000.0)
    assert elements.peak.min() >= least_N(of, 1e-6)
    assert np.isfinite(elements.samples).all()
    assert raw.residual < 1e-5


@pytest.mark.parametrize("limit", [1.0, 0.5])
def test_the_limit_binds_where_the_rate_part_would_exceed_its_part_of_the_elastic_one(limit: float):
    """At the events T is 1 + limit of the elastic force, or 1 - limit: both sides of |tau f' rate| = limit f."""
    text = BOUNCE.replace("TAU", f"5 ms, damping_limit: {100 * limit:g} %")
    of = ready(built(text))
    raw = run(of, sim.planned_case(of.rig), 1e-7, None)
    taut_s = [t for t, word, _, _ in raw.log if word == md.EV_TAUT]
    below_s = [t for t, word, _, _ in raw.log if word == md.EV_UNLIMIT]
    # Taken up at speed v, strain grows as v t / s while rate x tau stays v tau / s: tau / limit later the limit ends.
    assert below_s[0] - taut_s[0] == pytest.approx(5e-3 / limit, rel=0.1)


EXTREME = """
title: an extreme
performers:
  weight: {mass: MASS, hook_mass: HOOK, at: [4 m, 0 m, 2 m], harness: HARNESS}
lines:
  line: {type: {stiffness_EA: STIFF, mass_per_length: LINE, damping_time: TAU}, route: [winch, sheave, weight]}
sheaves:
  sheave: {at: [4 m, 0 m, 12 m], tread_diameter: 120 mm, mass: SHEAVE, bearing: plain, bending_loss: 1 %}
drives:
  winch: {kind: winch, at: [0 m, 0 m, 1 m], moving_mass: DRUM, brakes: [{force: 3 kN, delay: 50 ms, rise: 20 ms}]}
moves:
  - {drive: winch, start: 0.1 s, pay_out: 2 m, speed: 4 m/s, acceleration: 8 m/s^2, deceleration: 8 m/s^2}
stops:
  - {name: power loss, category: 0, when: 0.4 s}
limits: none
run: {duration: 1 s}
"""
USUAL = {
    "MASS": "80 kg",
    "HOOK": "1 kg",
    "STIFF": "400 kN",
    "LINE": "20 g/m",
    "TAU": "1 ms",
    "SHEAVE": "1 kg",
    "DRUM": "50 kg",
    "HARNESS": "rigid",
}
SPRUNG = "{stiffness: 45 kN/m, damping_ratio: 0.15}"


def extreme(**changed: str) -> str:
    text = EXTREME
    for key, value in (USUAL | changed).items():
        text = text.replace(key, value)
    return text


@pytest.mark.parametrize(
    "changed",
    [
        {"STIFF": "1e6 kN"},
        {"SHEAVE": "1e-9 kg"},
        {"HOOK": "1e-7 kg", "HARNESS": SPRUNG},
        {"DRUM": "0.01 kg"},
        {"LINE": "1e-12 kg/m"},
        {"TAU": "1 s"},
        {"MASS": "0.01 kg"},
        {"MASS": "1e6 kg", "STIFF": "1e6 kN"},
    ],
    ids=lambda c: ", ".join(f"{k.lower()} {v}" for k, v in c.items() if k != "HARNESS"),
)
def test_stiff_and_light_parts_run_or_say_why_not(changed: dict[str, str]):
    """Both cases come to an end whose books close, or to one with a sentence; nothing is ever not a number."""
    rig = built(extreme(**changed))
    for case in demo_cases(rig):
        found = sim.simulate(rig, case, 500.0, 1e-6, audited=False)
        assert all(np.isfinite(values).all() for values in found.trace.columns.values())
        assert found.case.reason
        if found.case.outcome == Outcome.FINISHED:
            assert found.case.audit is not None
            assert found.case.audit.energy_residual < 1e-5
            assert all(np.isfinite(p.force_N) for p in found.case.peaks.values())
        else:
            assert found.case.remedy


def test_a_run_of_too_many_steps_fails_with_a_reason(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(running, "MOST_STEPS", 50)
    rig = built(extreme())
    found = sim.simulate(rig, sim.planned_case(rig), 500.0, 1e-6, audited=False)
    assert found.case.outcome == Outcome.FAILED
    assert "too many steps" in found.case.reason
    assert found.case.remedy
    assert all(np.isfinite(values).all() for values in found.trace.columns.values())


@pytest.mark.parametrize("rate_Hz", [7.0, 333.0, 1000.0, 4000.0])
def test_the_figure_of_an_event_is_of_its_instant(rate_Hz: float):
    """Speed at the floor after 4 m of free fall, sqrt(2 g h) of any mechanics textbook, however often is sampled."""
    rig = built(BOUNCE.replace("TAU", "1 ms").replace("slack: 0.8 m", "slack: 10 m"))
    raw = run(ready(rig), sim.planned_case(rig), 1e-9, rate_Hz)
    speeds = [value for _, word, _, value in raw.log if word == md.EV_CONTACT]
    assert speeds[0] == pytest.approx(-np.sqrt(2.0 * 9.80665 * 4.0), rel=1e-6)
