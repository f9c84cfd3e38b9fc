"""Compiling the solver in a process of its own, once on a machine, so that the run itself stays small.

The compiler makes many small objects that live long: with Python's collector looking through them less often it takes a
quarter less time, and in a process that has loaded nothing else it needs less memory than a run does. The compiled code
is found on disk by whoever runs next; a process that does not find it compiles for itself. Of several starts at once
one has it compiled and the others wait for that.
"""

from __future__ import annotations

import gc
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from sim.dynamics.integrate import integrate
from sim.dynamics.jit import CACHE_FOLDER
from sim.dynamics.run import ready, run
from sim.rig.case import Case
from sim.rig.line import Line, Material, Place
from sim.rig.point import Point
from sim.rig.rig import Rig

try:
    import fcntl
except ImportError:  # a system without such locks: there each start has it compiled
    fcntl = None


def is_compiled() -> bool:
    """Whether this solver's compiled code is already on disk (then a first run starts at once)."""
    stats = getattr(integrate, "stats", None)
    folder = Path(stats.cache_path) if stats is not None else CACHE_FOLDER
    # The loop is what is compiled last, and of it the code, which its index names before it is there.
    return any(folder.glob(f"integrate.integrate-*.py{sys.version_info.major}{sys.version_info.minor}*.nbc"))


def compile_solver() -> None:
    """Compile the solver in another process, unless it is on disk already. Changes nothing here."""
    if is_compiled():
        return
    with _one_at_a_time():
        if not is_compiled():
            _compile_in_another_process()


@contextmanager
def _one_at_a_time() -> Iterator[None]:
    """Wait until no other start is compiling. One that is killed no longer hinders anybody."""
    with ExitStack() as held:
        with suppress(OSError):  # nothing can be kept there, or on a disk without locks: each for itself
            file = held.enter_context((CACHE_FOLDER / "compiling").open("ab"))
            if fcntl is not None:
                fcntl.flock(file, fcntl.LOCK_EX)
        yield


def _compile_in_another_process() -> None:
    here = {**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
    quiet = subprocess.DEVNULL
    # Not with -m: a module that is the main one makes the compiler ask the disk for it, which took five seconds.
    code = f"from {__name__} import compile_here; compile_here()"
    subprocess.run([sys.executable, "-c", code], env=here, stdin=quiet, stdout=quiet, stderr=quiet, check=False)


def _weight_on_a_line() -> Rig:
    """The least rig there is. The compiled code is the same for every rig."""
    line = Line(
        name="line",
        material=Material(stretch=((1000.0, 0.01),), mass_kg_per_m=0.0, damping_time_s=0.0),
        route=(Place("anchor", "anchor", "tied"), Place("weight", "weight", "tied")),
    )
    points = (Point("anchor", (0.0, 0.0, 0.0)), Point("weight", (0.0, 0.0, -1.0), "moving", mass_kg=1.0))
    return Rig(points=points, lines=(line,), anchors={"anchor": "anchor"})


def compile_here() -> None:
    """Compile the solver in this process, which should do nothing else: its collector is set for compiling."""
    gc.freeze()
    gc.set_threshold(50_000, 10, 10)
    still = Case(name="still", kind="working", motions={})
    run(ready(_weight_on_a_line()), still, 1e-4, 1000.0, end_s=0.01)
