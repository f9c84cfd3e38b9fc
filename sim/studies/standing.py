"""What a line does while the performer just hangs on it: it creeps, and laid wire turns."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from sim.dynamics.run import Ready
from sim.results.lines import Basis, Creep, Spin
from sim.results.model import Trace
from sim.rig.line import Line
from sim.rig.rig import Rig
from sim.strength.asked import basis_of, told
from sim.strength.catalogue import LineData
from sim.strength.creep import crept
from sim.strength.laws import source_text
from sim.strength.spin import lay_of
from sim.studies.at_rest import spans_at_rest
from sim.studies.bends import position_m

HOUR_S, DAY_S = 3600.0, 86_400.0
LAW = Basis(
    "creep over time", "in proportion to the logarithm of time, from a minute after the load came on", "computed"
)
TORQUE = Basis(
    "torque", "torque factor times diameter times load, wire-rope textbooks, value from memory", "from memory"
)


def creep(of: Ready, line: Line, data: LineData, strength_N: float | None) -> Creep | None:
    """The creep of one line under what it bears at rest. None for one that is slack, or of unknown material."""
    spans = spans_at_rest(of)[line.name]
    tension_N = max(span.tension_N for span in spans)
    if data.material is None or tension_N <= 0.0:
        return None
    out_m, known, said = (
        sum(span.length_m for span in spans),
        data.material.creep_per_decade_percent,
        data.material.creep,
    )
    percent = 100.0 * tension_N / strength_N if strength_N else None
    holds = known is not None and percent is not None and percent <= known.up_to_percent
    rate = known.value if known is not None and holds else None
    basis = [basis_of("creep", said)]
    if known is not None and holds:
        to = f"at loads up to {known.up_to_percent:g} % of the strength, not scaled to lighter ones"
        basis += [Basis("creep per tenfold time", f"{source_text(known.source)}; {to}", known.status), LAW]
    return Creep(
        tension_N=tension_N,
        load_percent=percent,
        per_decade_percent=rate,
        first_hour_m=None if rate is None else out_m * crept(0.01 * rate, HOUR_S),
        first_day_m=None if rate is None else out_m * crept(0.01 * rate, DAY_S),
        says=said.says,
        basis=tuple(basis),
    )


def spin(
    of: Ready, line: Line, data: LineData, construction: str, strength_N: float | None, planned: Trace
) -> Spin | None:
    """How a line turns what it ends on; None for one that ends on no performer and no bridle."""
    found = _hangs_on(of.rig, line)
    if found is None:
        return None
    on, free, k = found
    span = spans_at_rest(of)[line.name][k]
    lay = lay_of(construction) if not data.textile and data.diameter_m else None
    single = data.material is not None and data.material.single_wire
    said = told("spin single wire" if single else "spin braid" if data.textile else "spin wire")
    hang_m, basis = _longest_m(of.rig, line, k, planned) or math.dist(*span.ends_m), [basis_of("how it turns", said)]
    turns = None
    if lay is not None:
        factor, rate = lay.torque_factor.sourced(), lay.turns_on_a_diameter.sourced()
        basis += [
            TORQUE,
            Basis("torque factor", factor.source, factor.status),
            Basis("turns", rate.source, rate.status),
        ]
        turns = lay.turns(span.tension_N / strength_N, hang_m, data.diameter_m) if strength_N and free else None
    return Spin(
        on=on,
        free=free,
        hang_m=hang_m,
        tension_N=span.tension_N,
        torque_Nm=lay.torque_Nm(span.tension_N, data.diameter_m) if lay is not None else None,
        turns=turns,
        says=said.says,
        basis=tuple(basis),
    )


def _hangs_on(rig: Rig, line: Line) -> tuple[str, bool, int] | None:
    """What hangs at a line's end, whether that line alone holds it, and in which of its spans."""
    for end, k in ((-1, len(line.route) - 2), (0, 0)):
        place = line.route[end]
        who = next((p for p in rig.performers if p.suspension == place.point), None)
        if place.kind == "tied" and who is not None:
            return who.name, _spans_on(rig, place.point) == 1, k
        if place.point in rig.junctions and _bears(rig, line, place.point):
            return place.point, _bears_alone(rig, line, place.point), k
    return None


def _spans_on(rig: Rig, point: str) -> int:
    """How many spans of line pull on a point."""
    count = 0
    for line in rig.lines:
        if not line.strap:
            there = [place.point == point for place in line.route]
            count += sum(a + b for a, b in pairwise(there))
    return count


def _bears(rig: Rig, line: Line, junction: str) -> bool:
    """Whether a line on a bridle's junction leads away from the performers."""
    ends = {line.route[0].point, line.route[-1].point} - {junction}
    return not any(p.suspension in ends for p in rig.performers)


def _bears_alone(rig: Rig, line: Line, junction: str) -> bool:
    """Whether all other lines on the junction lead to performers."""
    others = [x for x in rig.lines if x is not line and any(place.point == junction for place in x.route)]
    return not any(_bears(rig, other, junction) for other in others)


def _longest_m(rig: Rig, line: Line, k: int, planned: Trace) -> float | None:
    """The longest straight way of a span in the planned move; None where it cannot be followed."""
    a, b = (position_m(rig, planned, place) for place in line.route[k : k + 2])
    if a is None or b is None or not len(planned.time_s):
        return None
    return float(np.max(np.linalg.norm(b - a, axis=-1)))
