"""Ctrl-C while one long run is under way, in the main thread and in a sweep's: heard within a second, nothing left."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.abuse.extremes import Extreme

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(os.name != "posix", reason="needs signals")

WATCHED = """
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
# A second is what a person waits. The machine that runs the tests may be busy with others and slow to end a process:
# it is given nine more. A run in one piece would take minutes.
AT_ONCE_S, BUSY_S = 1.0, 9.0


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
    running = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert running.stdout is not None
    try:
        assert running.stdout.readline() == "under way\n"
        time.sleep(2.0)
        assert running.poll() is None
        begun = time.monotonic()
        running.send_signal(signal.SIGINT)
        _, told = running.communicate(timeout=60.0)
        took_s = time.monotonic() - begun
    finally:
        running.kill()
    assert running.returncode == 3, told
    assert "Stopped on your word. Nothing half-written is left." in told
    assert "Traceback" not in told
    assert took_s < AT_ONCE_S + BUSY_S
    assert [entry.name for entry in tmp_path.iterdir()] == ["rig.yaml"]
    print(f"{part}: answered after {took_s:.2f} s")
