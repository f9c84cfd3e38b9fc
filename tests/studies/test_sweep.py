"""A stop at every instant: its instants, its table, its worst, and the same wherever its runs are made."""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import pytest

import sim
from sim.dynamics.run import ready, run
from sim.results.journal import Journal
from sim.rig.rig import Rig
from sim.studies import one_stop
from sim.studies.curves import CLEARLY_MORE, WATCHED, worst_of
from sim.studies.instants import CLOSER_S, GRID_S
from sim.studies.many import BROKE_DOWN, Workers
from sim.studies.sweep import How, Sweep, sweep
from tests.studies.hoist import hoist, hoist_text

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def rig() -> Rig:
    return hoist()


@pytest.fixture(scope="module")
def found(rig: Rig) -> Sweep:
    return sweep(rig, rig.stops[0])


def _swept(rig: Rig, workers: Workers = None) -> Sweep:
    return sweep(rig, rig.stops[0], (), How(workers=workers))


def _the_same(one: Sweep, other: Sweep) -> bool:
    """To the last bit, in every column."""
    a, b = one.table, other.table
    return (
        a.stop_time_s.tobytes() == b.stop_time_s.tobytes()
        and list(a.columns) == list(b.columns)
        and all(a.columns[c].tobytes() == b.columns[c].tobytes() for c in a.columns)
        and a.causes == b.causes
        and one.worst == other.worst
    )


def test_every_20_ms_and_every_corner_from_the_first_move_until_all_is_still(rig: Rig, found: Sweep) -> None:
    times = found.table.stop_time_s
    assert times[0] == pytest.approx(0.2)
    assert times[-1] > rig.drives[0].motion.end_s
    assert np.diff(times).max() <= GRID_S + 1e-9
    motion = rig.drives[0].motion
    for t in [*np.arange(times[0], times[-1], GRID_S), *motion.time_s[motion.corner]]:
        assert np.abs(times - t).min() < 1e-6
    assert not any(found.table.causes)


def test_the_worst_rows_of_the_table_are_the_named_instants(found: Sweep) -> None:
    for what, column, worst in (
        ("worst g", "peak_g:weight", max),
        ("worst force", "force_N:line", max),
        ("worst clearance", "clearance_m:weight", min),
        ("worst slack", "slack_s:weight", max),
    ):
        row = int(np.argmin(np.abs(found.table.stop_time_s - found.worst[what].time_s)))
        assert found.table.columns[column][row] == worst(found.table.columns[column])


def test_the_worst_instant_is_bracketed_to_a_millisecond(found: Sweep) -> None:
    times = found.table.stop_time_s
    for what in ("worst g", "worst force", "worst slack"):
        away = np.sort(np.abs(times - found.worst[what].time_s))
        assert away[1:3] == pytest.approx([CLOSER_S[-1]] * 2, abs=1e-9), what


@pytest.mark.parametrize("take_m", [1.5, 2.5])
def test_a_grid_ten_times_finer_finds_nothing_worse(take_m: float) -> None:
    rig = hoist(take_m)
    refined = sweep(rig, rig.stops[0]).curves
    fine = sweep(rig, rig.stops[0], (), How(grid_s=GRID_S / 10, closest=False)).curves
    assert len(refined.times_s) < 0.2 * len(fine.times_s)
    for column in refined.columns(*WATCHED):
        worst, finer = refined.badness(column).max(), fine.badness(column).max()
        assert finer <= worst + 1e-3 * abs(worst), column


@pytest.mark.slow
@pytest.mark.parametrize("name", ["lamplighters-drop", "lamplighters-drop-hard-brake", "moths-flight"])
def test_a_grid_ten_times_finer_finds_nothing_worse_in_the_demos(name: str) -> None:
    rig = sim.build_rig(sim.read_file(ROOT / f"scenarios/{name}.yaml"))
    stop = next(s for s in rig.stops if s.time_s is None)
    refined = sweep(rig, stop).curves
    fine = sweep(rig, stop, (), How(grid_s=GRID_S / 10, closest=False)).curves
    for column in refined.columns(*WATCHED):
        worst, finer = refined.badness(column).max(), fine.badness(column).max()
        assert finer <= worst + 1e-3 * abs(worst), column


def test_the_plain_grid_alone_would_have_missed_some(rig: Rig, found: Sweep) -> None:
    """Else the tests above would hold with no looking closer at all."""
    plain = sweep(rig, rig.stops[0], (), How(closest=False)).curves
    assert found.curves.badness("peak_g:weight").max() > 1.003 * plain.badness("peak_g:weight").max()


def test_a_row_is_the_single_run(rig: Rig, found: Sweep) -> None:
    row = len(found.table.stop_time_s) // 4
    case = sim.stop_case(rig, rig.stops[0], float(found.table.stop_time_s[row]))
    one = sim.simulate(rig, case).case
    assert found.table.columns["force_N:line"][row] == pytest.approx(one.peaks["line"].force_N, rel=1e-5)
    assert found.table.columns["peak_g:weight"][row] == pytest.approx(one.performers["weight"].peak_g, rel=1e-5)


def test_every_element_has_a_named_case_that_is_its_worst(found: Sweep) -> None:
    named = {float(w.time_s) for w in found.worst.values()}
    rows = [i for i, t in enumerate(found.table.stop_time_s) if float(t) in named]
    for column in found.curves.columns("force_N"):
        values = found.table.columns[column]
        assert values.max() <= CLEARLY_MORE * values[rows].max(), column


def test_serial_and_parallel_are_equal_bit_for_bit(rig: Rig, found: Sweep, monkeypatch: pytest.MonkeyPatch) -> None:
    assert _the_same(found, _swept(rig, lambda: ThreadPoolExecutor(4)))
    monkeypatch.setattr("sim.studies.many.cpu_count", lambda: 1)
    assert _the_same(found, _swept(rig))


def test_a_rig_made_ready_can_be_sent_to_another_process(rig: Rig) -> None:
    of = pickle.loads(pickle.dumps(ready(rig)))
    case = sim.planned_case(rig)
    sent, here = run(of, pickle.loads(pickle.dumps(case)), 1e-5, None), run(ready(rig), case, 1e-5, None)
    assert sent.peak.tobytes() == here.peak.tobytes()


def test_a_worker_makes_a_rig_ready_once(rig: Rig, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every task from another process brings a copy of the rig; only the first that came is used."""
    made = []
    monkeypatch.setattr(one_stop, "ready", lambda r: made.append(r) or ready(r))
    work = one_stop.stop_work(rig, rig.stops[0])
    for t in (0.4, 0.6, 0.8):
        one_stop.stop_rows(pickle.loads(pickle.dumps([(work, t)])))
    assert len(set(map(id, made))) == 1


def test_processes_give_the_same_bits(rig: Rig, found: Sweep) -> None:
    with ProcessPoolExecutor(2, get_context("spawn")) as pool:
        assert _the_same(found, _swept(rig, pool))


@pytest.mark.skipif(os.name != "posix", reason="needs a worker that can be forked")
@pytest.mark.parametrize("always", [False, True])
def test_a_worker_that_dies_in_mid_sweep_loses_its_own_run_at_most(
    rig: Rig, found: Sweep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, always: bool
) -> None:
    bad, met, real = float(found.table.stop_time_s[30]), tmp_path / "met", one_stop.run_stops

    def dies(of, stop, times_s, tolerance):
        if bad in times_s and (always or not met.exists()):
            met.touch()
            os._exit(1)
        return real(of, stop, times_s, tolerance)

    monkeypatch.setattr(one_stop, "run_stops", dies)
    there = _swept(rig, lambda: ProcessPoolExecutor(2, get_context("fork")))
    if not always:
        assert _the_same(found, there)
        return
    causes = {float(t): cause for t, cause in zip(there.table.stop_time_s, there.table.causes, strict=True) if cause}
    assert causes == {bad: BROKE_DOWN}
    row = int(np.argmin(np.abs(found.table.stop_time_s - 2.0)))
    assert there.table.columns["force_N:line"][row] == found.table.columns["force_N:line"][row]


def test_a_sweep_goes_on_from_its_journal_and_makes_no_run_twice(
    rig: Rig, found: Sweep, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = Journal(tmp_path / "a.jsonl")
    journal.begin("key")
    told = []

    def stop_after_a_while(what: str, done: int, total: int) -> None:
        told.append(done)
        if len(told) > 10:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        sweep(rig, rig.stops[0], (), How(journal=journal, tell=stop_after_a_while))
    journal.close()
    again = Journal(tmp_path / "a.jsonl")
    again.begin("key")
    assert 0 < again.taken_over < len(found.table.stop_time_s)
    made: list[float] = []
    real = one_stop.run_stops
    monkeypatch.setattr(one_stop, "run_stops", lambda of, stop, t, tol: made.extend(t) or real(of, stop, t, tol))
    assert _the_same(found, sweep(rig, rig.stops[0], (), How(journal=again)))
    assert len(made) == len(set(made)) == len(found.table.stop_time_s) - again.taken_over


def test_one_failed_run_keeps_its_cause_and_stops_no_other(
    rig: Rig, found: Sweep, monkeypatch: pytest.MonkeyPatch
) -> None:
    bad = float(found.table.stop_time_s[30])
    real = one_stop.run_stops

    def breaks(of, stop, times_s, tolerance):
        if bad in times_s:
            raise ArithmeticError("a made-up fault")
        return real(of, stop, times_s, tolerance)

    monkeypatch.setattr(one_stop, "run_stops", breaks)
    table = _swept(rig).table
    causes = {float(t): cause for t, cause in zip(table.stop_time_s, table.causes, strict=True) if cause}
    assert list(causes) == [bad]
    assert "a made-up fault" in causes[bad]
    assert np.isnan(table.columns["peak_g:weight"][30])
    assert table.columns["force_N:line"][29] == found.table.columns["force_N:line"][29]


def test_instants_without_a_result_are_told_and_end_in_status_3() -> None:
    """Two blocks meet in the planned move, unless the stop comes early enough: those rows keep their cause."""
    result = sim.run_scenario(sim.read_text(hoist_text(4), "hoist"))
    causes = result.sweeps["power loss"].causes
    assert any(causes)
    assert not all(causes)
    assert result.exit_status == 3
    assert any("stop instants have no result" in sentence for sentence in result.not_simulated)


def test_worst_of_nothing_but_failures_is_none(found: Sweep) -> None:
    c = found.curves
    failed = tuple(tuple("failed" for _ in row) for row in c.causes)
    assert worst_of(type(c)(c.name, c.times_s, c.ends, c.values, failed)) == {}


_KILLED = """
import os, sys
sys.path.insert(0, {root!r})
from dask.distributed import Client, LocalCluster
from sim.studies.sweep import How, sweep
from tests.studies.hoist import hoist
if __name__ == "__main__":
    rig = hoist()
    here = sweep(rig, rig.stops[0])
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, silence_logs=50) as cluster:
        with Client(cluster) as client:
            killed = []
            def kill_one(what, done, total):
                if done > 20 and not killed:
                    killed.append(next(iter(client.run(os.getpid).values())))
                    os.kill(killed[0], 9)
            there = sweep(rig, rig.stops[0], (), How(workers=client.get_executor(), tell=kill_one))
    assert killed
    assert not any(there.table.causes), there.table.causes
    same = all(here.table.columns[c].tobytes() == there.table.columns[c].tobytes() for c in here.table.columns)
    print("the same" if same else "not the same", len(there.table.stop_time_s))
"""


def test_a_cluster_that_loses_a_worker_in_mid_sweep_loses_no_run(found: Sweep, tmp_path: Path) -> None:
    """dask.distributed on this machine, one of its two workers killed while it works."""
    pytest.importorskip("distributed")
    script = tmp_path / "killed.py"
    script.write_text(_KILLED.format(root=str(ROOT)))
    done = subprocess.run(
        [sys.executable, str(script)], cwd=ROOT, capture_output=True, text=True, timeout=600, check=False
    )
    assert done.stdout.split("\n")[0] == f"the same {len(found.table.stop_time_s)}", done.stderr[-2000:]
