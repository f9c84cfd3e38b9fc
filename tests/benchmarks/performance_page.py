"""The performance page: machine, method, ratios to SciPy, SUNDIALS and a physics engine, and what else is measured.

`python -m tests.benchmarks.performance_page` writes it; some minutes on a machine that does nothing else. With the word
`counts` behind, only its last section, from `evaluations.csv`.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from tests.benchmarks.contest import held
from tests.benchmarks.counted import written
from tests.benchmarks.machine import adds_s, machine
from tests.benchmarks.measures import starts, sweeps
from tests.benchmarks.performance_text import counts, page
from tests.benchmarks.timed_rigs import ALL

PAGE = Path(__file__).with_name("PERFORMANCE.md")
ROUNDS = 5


def main(rounds: int = ROUNDS) -> None:
    """Measure everything and write the page."""
    before, began, contests = machine(), time.perf_counter(), []
    for make in ALL:
        contests.append(held(make(), rounds))
        print(f"{contests[-1].rig.name}: done after {time.perf_counter() - began:.0f} s", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        start = starts(Path(folder))
    print(f"started cold and warm: done after {time.perf_counter() - began:.0f} s", flush=True)
    text = page(before, adds_s(), contests, start, sweeps(), written())
    PAGE.write_text(text, encoding="utf-8")


def counts_only() -> None:
    """Write the page's counts anew and leave what was timed."""
    last = "\n".join(counts(written())).rstrip() + "\n"
    before, _, _ = PAGE.read_text(encoding="utf-8").partition(last.splitlines()[0])
    PAGE.write_text(before + last, encoding="utf-8")


if __name__ == "__main__":
    if sys.argv[1:] == ["counts"]:
        counts_only()
    else:
        main(*(int(word) for word in sys.argv[1:]))
