"""Checks between the parts of a file: names, what refers to what, order in time, impossible geometry.

They work on the written text, so that they find what they can whatever else is wrong in the file.
"""

from __future__ import annotations

from pathlib import Path

from sim.scenario.checks.floor import check_floor
from sim.scenario.checks.geometry import check_geometry
from sim.scenario.checks.names import Names, check_names
from sim.scenario.checks.orders import check_moves, check_stops_and_faults
from sim.scenario.checks.references import check_ends, check_hardware, check_lines, check_places
from sim.scenario.copying import Complaints
from sim.scenario.tree import Table


def cross_check(root: Table, path: Path | None) -> Complaints:
    """Everything refused between the parts of a file. `path`: the scenario file, for the files it names."""
    names = Names.of(root)
    return [
        *check_names(root),
        *check_lines(root, names),
        *check_ends(root, names),
        *check_places(root, names),
        *check_hardware(root, names),
        *check_moves(root, names, path),
        *check_stops_and_faults(root, names),
        *check_geometry(root, names),
        *check_floor(root),
    ]
