"""A run is a function of its rig and case: the same bits again, alone or beside others; its events are all there."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import sim
from sim.dynamics.run import Raw, Ready, ready, run
from sim.rig.case import Case
from tests.dynamics.rigs import DEMOS, demo_cases

FOLDER = DEMOS[0].parent


@cache
def demo(path: Path) -> Ready:
    return ready(sim.build_rig(sim.read_file(path)))


def same(one: Raw, other: Raw) -> bool:
    """Every bit of what a run leaves."""
    pairs = ("samples", "peak", "peak_s", "log", "work_J", "state")
    counts = ("status", "end_s", "evaluations", "steps", "restarts", "events", "residual")
    return all(np.array_equal(getattr(one, x), getattr(other, x)) for x in pairs) and all(
        getattr(one, x) == getattr(other, x) for x in counts
    )


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_again_alone_and_beside_others_gives_the_same_bits(path: Path):
    of = demo(path)
    cases = demo_cases(of.rig)

    def one(case: Case) -> Raw:
        return run(of, case, 1e-6, 1000.0, 3.0)

    alone = [one(case) for case in cases]
    again = [one(case) for case in reversed(cases)][::-1]
    with ThreadPoolExecutor(4) as pool:
        beside = list(pool.map(one, cases * 3))
    assert all(same(a, b) for a, b in zip(alone, again, strict=True))
    assert all(same(a, b) for a, b in zip(alone * 3, beside, strict=True))
    assert len(cases) == 1 or not same(alone[0], alone[1])


def test_a_rig_read_and_built_anew_gives_the_same_bits():
    path = FOLDER / "lamplighters-drop.yaml"
    rigs = [sim.build_rig(sim.read_file(path)) for _ in range(2)]
    one, other = (run(ready(rig), sim.stop_case(rig, rig.stops[1], 2.4), 1e-6, 1000.0, 3.5) for rig in rigs)
    assert same(one, other)


def test_looking_changes_nothing():
    """Samples, seldom, often or none, touch neither steps nor peaks."""
    of = demo(FOLDER / "moths-flight.yaml")
    case = demo_cases(of.rig)[1]
    runs = [run(of, case, 1e-6, rate, 3.0) for rate in (None, 7.0, 5000.0)]
    for other in runs[1:]:
        assert np.array_equal(runs[0].peak, other.peak)
        assert np.array_equal(runs[0].peak_s, other.peak_s)
        assert np.array_equal(runs[0].state, other.state)
        assert runs[0].steps == other.steps


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_what_the_clock_does_is_in_the_events(path: Path):
    """Moves start and end, power goes, brakes touch and close, performers are let go: when the scenario says so."""
    of = demo(path)
    for case in demo_cases(of.rig):
        found = sim.simulate(of.rig, case, 500.0, 1e-6, audited=False).case
        listed = [(e.what, e.where, e.time_s) for e in found.events]
        assert [t for *_, t in listed] == sorted(t for *_, t in listed)
        for drive in of.rig.drives:
            motion = case.motions[drive.name]
            off = case.power_off.get(drive.name)
            if motion.moves and (off is None or motion.start_s < off.time_s):
                assert ("move starts", drive.name, pytest.approx(motion.start_s)) in listed
            if case.stop_time_s is not None and drive.name in case.stopped_drives and off is not None:
                if drive.hands is not None:
                    done = {"hold": "hands close", "lock off": "tail made fast", "let go": "hands let go"}
                    order = next(s.hands for s in of.rig.stops if s.name == case.name)
                    assert ("called to " + str(order), drive.name, case.stop_time_s) in listed
                    assert any(what == done[str(order)] and where == drive.name for what, where, _ in listed)
                elif off.time_s == case.stop_time_s:
                    assert ("power off", drive.name, case.stop_time_s) in listed
                    for brake in drive.brakes:
                        touches, closed = case.stop_time_s + brake.delay_s, case.stop_time_s + brake.closed_s
                        assert ("brake touches", drive.name, pytest.approx(touches)) in listed
                        assert ("brake at full force", drive.name, pytest.approx(closed)) in listed
                else:
                    assert ("brake closed, power off", drive.name, pytest.approx(off.time_s)) in listed
        for who in of.rig.performers:
            release = of.rig.point(who.suspension).release_s
            if who.start == "held" and release is not None:
                assert ("let go", who.name, pytest.approx(release)) in listed


def test_found_events_of_the_first_demo_s_power_loss():
    """The drum runs on, the brake slips and then holds; sheaves turn and stand; all with a place and a figure."""
    of = demo(FOLDER / "lamplighters-drop.yaml")
    stop = next(s for s in of.rig.stops if s.category == 0)
    found = sim.simulate(of.rig, sim.stop_case(of.rig, stop, 2.4), 500.0, 1e-6, audited=False).case
    what = {e.what for e in found.events}
    assert {"power off", "brake touches", "brake at full force", "drum stands", "sheave turns"} <= what
    stands = next(e for e in found.events if e.what == "drum stands")
    assert stands.where == "winch"
    assert stands.time_s > 2.4 + 0.14
    assert all(e.where for e in found.events)
    turns = [e for e in found.events if e.what == "sheave turns"]
    assert all(e.value is not None and e.unit == "N" for e in turns)
    assert {e.where for e in turns} == {"lead sheave", "head sheave"}
