"""Who gets into the water in which case, and how near the others come to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from sim.results.model import Run, SweepTable
from sim.rig.rig import Rig
from sim.scenario.pending import IN_WATER


def in_the_water(rig: Rig, runs: Mapping[str, Run], sweeps: Mapping[str, SweepTable]) -> tuple[str, ...]:
    """One sentence for everybody and every counterweight that any run takes under the surface: it is run as in air."""
    return () if rig.water_m is None else tuple(_wet(rig, rig.water_m, runs, sweeps))


def _wet(rig: Rig, level_m: float, runs: Mapping[str, Run], sweeps: Mapping[str, SweepTable]) -> Iterator[str]:
    for who in rig.performers:
        depths = {name: level_m - _least(run, f"body_height_m:{who.name}") for name, run in runs.items()}
        for name, table in sweeps.items():
            # the suspension point's height; the harness's stretch is left out here, and is in the cases above
            lowest = table.columns.get(f"lowest_height_m:{who.name}", np.array([np.inf]))
            depths[f"{name}, sweep"] = level_m - (float(np.nanmin(lowest)) - who.body_below_m)
        yield from _said(who.name, depths, "lifts, drags and slams of a body")
    for weight in rig.counterweights:
        depths = {name: level_m - _least(run, f"height_m:{weight}") for name, run in runs.items()}
        yield from _said(weight, depths, "lifts and drags of it")


def _said(who: str, depths: Mapping[str, float], what: str) -> Iterator[str]:
    deepest = max(depths, key=lambda name: depths[name])
    if depths[deepest] > 0.0:
        yield (
            f"{IN_WATER}: {who} gets {depths[deepest]:.2f} m under the surface ({deepest}); what the water {what} is "
            "not simulated."
        )


def _least(run: Run, column: str) -> float:
    values = run.trace.columns.get(column, np.array([np.inf]))
    return float(np.min(values, initial=np.inf))
