"""The program in another process, met when it has finished some of its runs and not all: on a machine of any speed,
with any number of cores, busy or not.
"""

from __future__ import annotations

import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
LONGEST_S = 600.0
"""What hangs is given up after this. It is no limit on how fast anything is: the solver may be compiled first."""

HEARS_CTRL_C = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)"
"""What is begun in the background of a shell without a terminal is deaf to Ctrl-C, and so are its children."""

_HELD = f"""
{HEARS_CTRL_C}
import itertools, os, sys, time
from sim.studies import one_stop
real, begun, go = one_stop.run_stops, itertools.count(1), sys.argv[1]
def held(of, stop, times_s, tolerance):
    if [next(begun) for _ in times_s][-1] > 60:
        while not os.path.exists(go):
            time.sleep(0.02)
        time.sleep(0.05)
    return real(of, stop, times_s, tolerance)
one_stop.run_stops = held
from sim.command.main import main
sys.exit(main(sys.argv[2:]))
"""
"""The program, whose first stops of a sweep are run as ever, the others not before a file says so, and slowly then."""


@dataclass(frozen=True)
class Held:
    """The program, some of its runs finished and the others not begun."""

    running: subprocess.Popen[str]
    go: Path

    def ended_by(self, word: int) -> tuple[int, str, str]:
        """Send it a word to stop and let it go on: its exit status, what it printed and what it told."""
        self.running.send_signal(word)
        self.go.touch()
        page, told = self.running.communicate(timeout=LONGEST_S)
        self.go.unlink()
        return self.running.returncode, page, told


def met_on_the_way(journal: Path, go: Path, *arguments: str) -> Held:
    """Start the program; it keeps finished runs in this journal, and goes on when there is a file `go`."""
    command = [sys.executable, "-c", _HELD, str(go), *arguments]
    running = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    until = time.monotonic() + LONGEST_S
    while not _some_are_kept(journal):
        assert running.poll() is None, running.communicate()
        assert time.monotonic() < until
        time.sleep(0.02)
    return Held(running, go)


def _some_are_kept(journal: Path) -> bool:
    return journal.exists() and journal.read_bytes().count(b"\n") > 20
