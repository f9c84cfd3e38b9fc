"""The motions and brakes of one case, in the solver's tables."""

from __future__ import annotations

import numpy as np

from sim.dynamics import tables as tb
from sim.rig.brake import at_most
from sim.rig.case import Case
from sim.rig.rig import Rig


def with_case(model: tb.Model, rig: Rig, case: Case) -> tb.Model:
    """The tables with the motions and brakes of one case."""
    drives = model.drives.copy()
    motions: list[tuple[float, ...]] = []
    brakes: list[tuple[float, float, float]] = []
    for row, drive in zip(drives, rig.drives, strict=True):
        motion = case.motions[drive.name]
        row["motion_first"] = len(motions)
        motions.append((motion.start_s - 1e6, motion.start_position_m, 0.0, 0.0, 0.0, 1))
        rest = [*motion.coefficients, [motion.end_position_m, 0.0, 0.0, 0.0]]
        for at, piece, corner in zip(motion.time_s, rest, motion.corner, strict=True):
            motions.append((float(at), *(float(c) for c in piece), int(corner)))
        row["motion_last"] = len(motions)
        row["brake_first"] = len(brakes)
        off = case.power_off.get(drive.name)
        brakes += [(motion.start_s - 1e6, float(row["hands"]), 0.0)]
        brakes += list(at_most(off.brake, drive.brake_most_N)) if off else []
        row["brake_last"] = len(brakes)
    if not motions:
        return model._replace(drives=drives)
    return model._replace(drives=drives, motions=np.array(motions, tb.MOTION), brakes=np.array(brakes, tb.BRAKE))
