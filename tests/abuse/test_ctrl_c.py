"""Ctrl-C while one long run is under way, in the main thread and in a sweep's: heard within a second, nothing left."""

from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.abuse.extremes import Extreme
from tests.command.met_on_the_way import HEARS_CTRL_C

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="needs signals and proc(5)")

WATCHED = f"""
{HEARS_CTRL_C}
import sys
from sim.studies import expected, scenario
expected.PROBE_STEPS = (1, 100)
def watched(name):
    whole = getattr(scenario._Made, name)
    def told(self, *given):
        print("under way", flush=True)
        return whole(self, *given)
    setattr(scenario._Made, name, told)
if sys.argv[1] == "swept":
    scenario._Made.planned = lambda self: None
watched(sys.argv[1])
from sim.command.main import main
sys.exit(main(sys.argv[2:]))
"""
"""The program, saying when its planned move or its sweep begins; it looks less long at how long all will take."""
# Minutes for a tenth of a second of the rig: no run of it ends before the word comes.
LONG = Extreme(elements=40, line_g_per_m=60.0, EA_kN=1e5, when="every instant")
# A second is what a person waits. The machine that runs the tests may be busy with others, so what counts is the time
# that the program itself was at work, on each core that it may use; the machine may be slow, too. A run in one piece
# would take minutes.
AT_ONCE_S, SLOW_MACHINE, LONGEST_S = 1.0, 5.0, 600.0


def at_work_s(pid: int) -> float:
    """Processor time of a process so far, proc(5): fields 14 and 15."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def of_ended_s() -> float:
    """Processor time of all ended children."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


@pytest.mark.parametrize("part", ["planned", "swept"])
def test_a_long_run_hears_it_within_a_second(part: str, tmp_path: Path) -> None:
    file = tmp_path / "rig.yaml"
    file.write_text(LONG.text(), encoding="utf-8")
    command = [
        sys.executable,
        "-c",
        WATCHED,
        part,
        "run",
        str(file),
        "--out",
        str(tmp_path / "out"),
        "--quiet",
        "--yes",
    ]
    before_s = of_ended_s()
    running = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert running.stdout is not None
    try:
        assert running.stdout.readline() == "under way\n"
        time.sleep(2.0)
        assert running.poll() is None
        until_then_s = at_work_s(running.pid)
        running.send_signal(signal.SIGINT)
        _, told = running.communicate(timeout=LONGEST_S)
    finally:
        running.kill()
    assert running.returncode == 3, told
    assert "Stopped on your word. Nothing half-written is left." in told
    assert "Traceback" not in told
    took_s = of_ended_s() - before_s - until_then_s
    cores = (os.cpu_count() or 1) if part == "swept" else 1
    assert took_s < AT_ONCE_S * SLOW_MACHINE * cores
    assert [entry.name for entry in tmp_path.iterdir()] == ["rig.yaml"]
    print(f"{part}: answered after {took_s:.2f} s of work on {cores}")
