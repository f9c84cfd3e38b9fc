"""The machine a performance page was measured on, and how fast it was that day."""

from __future__ import annotations

import os
import platform
import time
from dataclasses import dataclass
from importlib import import_module
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

ADDS = 5_000_000
PACKAGES = ("numpy", "scipy", "numba", "mujoco", "scikit-sundae")


def processor() -> str:
    """Its name as the system tells it."""
    told = Path("/proc/cpuinfo")
    if told.exists():
        names = [
            line.split(":", 1)[1].strip() for line in told.read_text().splitlines() if line.startswith("model name")
        ]
        if names:
            return names[0]
    return platform.processor() or platform.machine()


def adds_s() -> float:
    """Seconds that plain Python needs for five million additions in a loop: the least of three."""
    best = float("inf")
    for _ in range(3):
        start, total = time.perf_counter(), 0
        for i in range(ADDS):
            total += i
        best = min(best, time.perf_counter() - start)
    return best


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return "not installed"


@dataclass(frozen=True)
class Machine:
    """load: of the last minute, before anything was measured; how many wanted a processor."""

    processor: str
    processors: int
    system: str
    python: str
    packages: dict[str, str]
    load: float
    adds_s: float


def machine() -> Machine:
    """This one, now."""
    packages = {package: _version(package) for package in PACKAGES}
    if packages["scikit-sundae"] != "not installed":
        packages["SUNDIALS"] = str(import_module("sksundae").SUNDIALS_VERSION)
    system = f"{platform.system()} {platform.machine()}"
    load = os.getloadavg()[0]
    return Machine(processor(), os.cpu_count() or 1, system, platform.python_version(), packages, load, adds_s())
