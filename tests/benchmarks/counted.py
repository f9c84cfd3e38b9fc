"""What runs cost, counted: evaluations of the right-hand side, steps and events of every demo and a few rigs more.

Times differ from machine to machine, counts do not. They stand in `evaluations.csv`, the one place where the test and
the performance page read them; `python -m tests.benchmarks.counted` counts anew and writes it.
"""

from __future__ import annotations

import csv
from dataclasses import asdict, dataclass, fields
from functools import cache
from pathlib import Path

import sim
from sim.dynamics.run import Raw, Ready, ready, run
from tests.benchmarks.waves import WAVES

FILE = Path(__file__).with_name("evaluations.csv")
DEMOS = Path(__file__).parents[2] / "scenarios"
TOLERANCE = 1e-6
# Other processors fuse or reorder sums, as the compiler sees fit; the last bits then differ, and with them where steps
# end. The same is done here on purpose, by a tolerance that differs in its last bits, and told as `scatter`.
NUDGES = tuple(1.0 + k * 1e-13 for k in range(1, 8))


@dataclass(frozen=True)
class Count:
    """Of one run. scatter: by how many evaluations the nudged runs differ from it at most."""

    case: str
    evaluations: int
    steps: int
    events: int
    scatter: int


@dataclass(frozen=True)
class Asked:
    """A run to count: a scenario's planned move, or one of its stops at an instant. demo: '' is the line with waves."""

    demo: str
    stop: str = ""
    at_s: float = 0.0

    @property
    def name(self) -> str:
        of = self.demo or "line of 100 elements"
        return f"{of}: {self.stop} at {self.at_s:g} s" if self.stop else f"{of}: planned move"

    def raw(self, tolerance: float) -> Raw:
        of = _ready(self.demo)
        if not self.stop:
            return run(of, sim.planned_case(of.rig), tolerance, None)
        order = next(stop for stop in of.rig.stops if stop.name == self.stop)
        return run(of, sim.stop_case(of.rig, order, self.at_s), tolerance, None)


@cache
def _ready(demo: str) -> Ready:
    asked = sim.read_file(DEMOS / f"{demo}.yaml") if demo else sim.read_text(WAVES, "waves")
    return ready(sim.build_rig(asked))


STOPS = (
    Asked("beekeepers-descent", "hold", 3.0),
    Asked("cathedral-run-fibre", "power loss", 2.0),
    Asked("cathedral-run-wire", "power loss", 2.0),
    Asked("chandlers-flight", "hold", 2.0),
    Asked("chimney-sweeps-rise", "power loss going up", 1.8),
    Asked("ferrymans-crossing", "one winch loses power", 2.0),
    Asked("lamplighters-drop", "power loss", 2.0),
    Asked("lamplighters-drop-hard-brake", "power loss", 2.0),
    Asked("lamplighters-five-lines", "power loss", 2.0),
    Asked("moths-flight", "power loss", 2.0),
    Asked("swallows-path", "stop along the path", 2.5),
    Asked("swallows-path", "east winch stops alone", 2.0),
    Asked("weathercocks-bridle", "power loss", 2.0),
)
CASES = (*(Asked(path.stem) for path in sorted(DEMOS.glob("*.yaml"))), *STOPS, Asked(""))


def counted(asked: Asked, nudges: tuple[float, ...] = ()) -> Count:
    """Run and count."""
    raw = asked.raw(TOLERANCE)
    others = [asked.raw(TOLERANCE * nudge).evaluations for nudge in nudges]
    scatter = max((abs(other - raw.evaluations) for other in others), default=0)
    return Count(asked.name, raw.evaluations, raw.steps, raw.events, scatter)


def written() -> list[Count]:
    """What the file holds."""
    with FILE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [Count(row["case"], *(int(row[f.name]) for f in fields(Count)[1:])) for row in rows]


def main() -> None:
    """Count anew and write the file."""
    with FILE.open("w", encoding="utf-8", newline="") as file:
        to = csv.DictWriter(file, [f.name for f in fields(Count)], lineterminator="\n")
        to.writeheader()
        to.writerows(asdict(counted(asked, NUDGES)) for asked in CASES)


if __name__ == "__main__":
    main()
