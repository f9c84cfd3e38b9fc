"""The words and tables of the performance page."""

from __future__ import annotations

from datetime import date

from sim.version import VERSION
from tests.benchmarks.contest import TURN_S, WITHIN, Contest, Contestant
from tests.benchmarks.counted import TOLERANCE, Count
from tests.benchmarks.equations.libraries import HAS_CVODE
from tests.benchmarks.machine import ADDS, Machine
from tests.benchmarks.measures import Starts, Sweeps

INTRO = """# How fast it is

Written by `python -m tests.benchmarks.performance_page` (some minutes; `pip install -e '.[test,benchmark]'`). What
counts are the ratios and the counts; times are of one machine on one day.
"""

METHOD = f"""## How it was measured

The same rigs by this program, by SciPy, by SUNDIALS (CVODE through scikit-sundae) and by a physics engine (MuJoCo).
SciPy and SUNDIALS get equations written from textbooks, apart from this program (`equations/`), each both in numpy, as
one writes them by hand, and compiled by numba; the engine gets its own models of `tests/outside/`.

- **Same accuracy.** Every line's peak within {100 * WITHIN:g} % of a tight solution of the same equations (DOP853,
  allowed errors of 1e-11). From the loosest tolerance or longest step of a ladder of half decades (halves for steps)
  the first that meets this, if the next tighter one meets it too. Ours is held against the textbook equations; where
  these differ from the program's, against its own at 1e-11, and it is said in what and by how much.
- **The best each can do.** Errors are weighed as this program weighs its own (by what the performer's weight does to
  each state), integration starts afresh at every corner of the motion, and of solve_ivp's RK45, DOP853 and LSODA,
  odeint and CVODE's Adams, Adams with gmres, and BDF the one is shown that is fastest with compiled rates (given up: a
  method that took thirty times the fastest other's time in trying tolerances).
- **The same work.** A state every millisecond (every 0.05 ms for the line with waves) and the peaks of all lines. This
  program in its time also looks at every other force, lists its events and keeps the energy audit; nothing of that is
  asked of the others.
- **In turns.** One turn of each a round, repeated for {1e3 * TURN_S:.0f} ms; shown are the least of all rounds and the
  ratio to this program's least, in brackets the lowest and highest ratio within a round.
- *Evaluations*: of the right-hand side, all told; *alone*: what these would take with nothing around them, compiled (of
  the engine: as many steps asked for in one call); not in turns, so on a busy machine only roughly. What a time is
  above that is stepping and Python.
- *Place*: greatest difference of the performer's height from the tight solution, at all samples.
"""

CANNOT = """## What each cannot do

- **SciPy** steps from Python (odeint does not, and finds no events); events are roots of Python functions, what
  follows them is one's own to write; no audit; peaks are read from samples.
- **CVODE** steps and finds roots compiled, but calls Python for every evaluation through this wrapper, and begins every
  leg anew at order one; what follows an event is one's own to write here too.
- **MuJoCo** has tendons: massless lines with one tension all along, linear, free of friction. It has no sheave that
  turns on such a line, no friction of line on sheave, no line with mass that runs over a sheave or off a drum, no
  stretch curve, no damping limited to the elastic force, no events and no error control. So it is compared on the rigs
  without their sheaves, at the same accuracy *of those equations*; the rig itself it misses by what stands there, at
  any step. It has no part in the rig with friction.
- **This program** cannot leave a sheave out: where sheaves do not matter, the least equations are the libraries' gain.
"""


def _row(*cells: str) -> str:
    return f"| {' | '.join(cells)} |"


def _table(head: tuple[str, ...], rows: list[tuple[str, ...]]) -> list[str]:
    return [_row(*head), "|" + "---|" * len(head), *(_row(*row) for row in rows), ""]


def _ms(seconds: float | None) -> str:
    return "" if seconds is None else f"{1e3 * seconds:.3g}" if seconds < 1.0 else f"{1e3 * seconds:,.0f}"


def _times(ratio: float) -> str:
    return f"{ratio:,.0f}" if ratio >= 10.0 else f"{ratio:.2g}"


def _mm(place_m: float) -> str:
    return f"{1e3 * place_m:.2g}" if place_m > 1e-6 else "below 0.001"


def _count(value: int | None) -> str:
    return "" if value is None else f"{value:,}"


def about(before: Machine, after_s: float) -> list[str]:
    """The machine."""
    packages = ", ".join(f"{name} {number}" for name, number in before.packages.items())
    idle = "otherwise idle" if before.load <= 1.0 else "**busy with other work: times are too long, ratios uneven**"
    is_ = f"{before.processor}, {before.processors} processors, {before.system}; Python {before.python}, {packages}; "
    is_ += f"stopload {VERSION}; {date.today().isoformat()}. Load before: {before.load:.1f} ({idle})."
    loop = f"To compare with another day or machine: `for i in range({ADDS}): total += i` took {before.adds_s:.2f} s "
    loop += f"before and {after_s:.2f} s after."
    return ["## Machine", "", is_, "", loop, ""]


def contest(of: Contest) -> list[str]:
    """One rig."""
    own = of.contestants[0]
    ours, theirs, least = of.states
    says = [f"## {of.rig.name[0].upper()}{of.rig.name[1:]}", "", f"{of.rig.what[0].upper()}{of.rig.what[1:]}.", ""]
    states = f"{ours} states here, {theirs} in the equations written for the libraries"
    states += f", {least} without sheaves." if least else "."
    gap = f"Tight solutions of both differ by {100 * of.gap:.2g} % of a peak at most"
    gap += f": {of.rig.apart}." if of.rig.apart else "."
    if of.massless_gap is not None:
        gap += f" Leaving the sheaves out moves a peak at the performer by {100 * of.massless_gap:.2g} %."
    head = (
        "who", "equations", "method", "tolerance or step", "evaluations", "steps", "events, restarts",
        "error of a peak, %", "place, mm", "alone, ms", "ms", "times ours",
    )  # fmt: skip
    return [*says, f"{states} {gap}", "", *_table(head, [_contestant(each, own) for each in of.contestants])]


def _contestant(of: Contestant, own: Contestant) -> tuple[str, ...]:
    ratio = ""
    if of is not own:
        each = of.times_of(own)
        ratio = f"**{_times(of.best_s / own.best_s)}** ({_times(min(each))} to {_times(max(each))})"
    return (
        of.who, of.equations, of.method, of.setting, _count(of.evaluations), _count(of.steps), _count(of.events),
        f"{100 * of.error:.4f}", _mm(of.place_m), _ms(of.alone_s), _ms(of.best_s), ratio,
    )  # fmt: skip


def summary(of: list[Contest]) -> list[str]:
    """The ratios of all rigs in one table."""
    rows: list[tuple[str, ...]] = []
    kinds: dict[tuple[str, str, str], None] = {}
    for each in of:
        kinds |= {_kind(x): None for x in each.contestants[1:]}
    for kind in kinds:
        cells = []
        for each in of:
            own = each.contestants[0].best_s
            found = [x.best_s / own for x in each.contestants[1:] if _kind(x) == kind]
            cells.append(_times(found[0]) if found else "")
        rows.append((", ".join(kind), *cells))
    ours = ("stopload, ms", *(_ms(each.contestants[0].best_s) for each in of))
    head = ("times as long as stopload", *(each.rig.name for each in of))
    return ["## Ratios", "", *_table(head, [ours, *rows]), *([] if HAS_CVODE else [_no_cvode(), ""])]


def _kind(of: Contestant) -> tuple[str, str, str]:
    sheaves = "without sheaves" if of.equations == "no sheave turns" else "the rig itself"
    return of.who, of.method.rsplit(", ", 1)[-1], sheaves


def _no_cvode() -> str:
    return "**SUNDIALS was not measured: scikit-sundae is not installed (`pip install -e '.[benchmark]'`).**"


def others(start: Starts, sweep: Sweeps) -> list[str]:
    """Starting, compiling, memory, sweeps."""
    lsoda = f"{sweep.stops} instants of that demo's power loss, peaks within {100 * sweep.error:.4f} %. LSODA over the "
    lsoda += f"same compiled equations, its loop in Python: {_ms(sweep.lsoda_s)} ms a stop."
    each, on_all = sweep.one_s / sweep.stops, sweep.all_s / sweep.stops
    return [
        "## Starting, compiling, memory",
        "",
        "The command in processes of its own on `scenarios/lamplighters-drop.yaml`: cold with nothing kept, then warm.",
        "",
        *_table(
            ("", "cold, s", "warm, s", "memory cold, MB", "memory warm, MB"),
            [
                ("`stopload check`", f"{start.check_cold_s:.1f}", f"{start.check_s:.1f}", "", ""),
                (
                    "`stopload run`, all its cases and figures", f"{start.run_cold_s:.1f}", f"{start.run_s:.1f}",
                    f"{start.run_cold_MB:.0f}", f"{start.run_MB:.0f}",
                ),
            ],
        ),
        f"The first run compiles for {start.run_cold_s - start.run_s:.0f} s.",
        "",
        "## A sweep of stops",
        "",
        lsoda,
        "",
        *_table(
            ("threads", "s", "ms a stop", "LSODA takes times as long"),
            [
                ("1", f"{sweep.one_s:.2f}", _ms(each), f"{sweep.lsoda_s / each:.0f}"),
                (f"{sweep.threads}", f"{sweep.all_s:.2f}", _ms(on_all), f"{sweep.lsoda_s / on_all:.0f}"),
            ],
        ),
    ]  # fmt: skip


def counts(of: list[Count]) -> list[str]:
    """What stands in evaluations.csv, which the tests hold every run to."""
    rows = [(x.case, f"{x.evaluations:,}", f"{x.steps:,}", f"{x.events:,}", f"{x.scatter}") for x in of]
    says = (
        f"Of single runs at tolerance {TOLERANCE:g}, without samples, from `evaluations.csv`; the tests hold them to "
    )
    says += "half a percent (`test_counted.py`). *Scatter*: by how many evaluations they differ when the last bits do."
    return [
        "## Counts",
        "",
        says,
        "",
        *_table(("run", "evaluations", "steps", "events", "scatter"), rows),
    ]


def page(
    before: Machine, after_s: float, contests: list[Contest], start: Starts, sweep: Sweeps, counted: list[Count]
) -> str:
    """The page."""
    rigs = [line for each in contests for line in contest(each)]
    parts = [INTRO, *about(before, after_s), METHOD, *summary(contests), *rigs, CANNOT, *others(start, sweep)]
    return "\n".join([*parts, *counts(counted)]).rstrip() + "\n"
