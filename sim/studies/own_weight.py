"""What each line weighs and how it hangs, at rest; and how long it gets in the planned move."""

from __future__ import annotations

import math

import numpy as np

from sim.dynamics.run import Ready
from sim.results.lines import Basis, OwnWeight, SpanAtRest
from sim.results.model import Trace
from sim.rig.line import Line
from sim.rig.performer import Performer
from sim.strength.line_data import LineData
from sim.strength.sag import line_in_sag_m, sag_m
from sim.studies.at_rest import Span, spans_at_rest

# A span that carries less than this part of its own weight is called slack: the catenary of it says nothing of use.
SLACK_SHARE = 0.1
LAW = Basis(
    "sag", "catenary through the span's ends with the tension at rest of its middle, any text on cables", "computed"
)
SHARE = Basis("what the performer bears", "half the weight of each span that ends there, as in the run", "computed")


def own_weight(of: Ready, line: Line, data: LineData, planned: Trace) -> OwnWeight:
    """Weight, sag and length of one line of the rig."""
    mass, g = line.material.mass_kg_per_m, of.rig.gravity_m_s2
    spans = spans_at_rest(of)[line.name]
    out_m = sum(span.length_m for span in spans)
    who, borne_N = _borne(of, line, spans, mass * g)
    return OwnWeight(
        mass_kg_per_m=mass,
        out_m=out_m,
        longest_out_m=out_m + paid_out_most_m(of, line, planned),
        out_kg=mass * out_m,
        performer=who.name if who else None,
        on_performer_N=borne_N if who else None,
        on_performer_share=borne_N / who.weight_N if who else None,
        out_share=mass * out_m * g / who.weight_N if who else None,
        spans=tuple(_hanging(span, mass * g) for span in spans),
        basis=(mass_basis(data), LAW, *((SHARE,) if who else ())),
    )


def mass_basis(data: LineData) -> Basis:
    """Where the mass per length comes from."""
    known = data.sources["mass_kg_per_m"]
    return Basis("mass per length", known.source, known.status)


def paid_out_most_m(of: Ready, line: Line, planned: Trace) -> float:
    """The most line (m, unstretched, 0 or more) that its drives have paid out at any time of the planned move."""
    paid = np.zeros(len(planned.time_s))
    for place, gate in zip(line.route, of.start.layout.line_gates[line.name], strict=True):
        if place.kind == "drive":
            paid = paid + planned.columns[f"paid_out_m:{place.name}"] * float(of.start.model.gates[gate]["wound"])
    return float(paid.max(initial=0.0))


def _borne(of: Ready, line: Line, spans: tuple[Span, ...], weight_N_per_m: float) -> tuple[Performer | None, float]:
    """Whom the line ends on (or runs over a block of), and half the weight of the spans there."""
    who = next((p for p in of.rig.performers if any(place.point == p.suspension for place in line.route)), None)
    if who is None:
        return None, 0.0
    there = [place.point == who.suspension for place in line.route]
    halves = sum(span.length_m * (there[k] + there[k + 1]) / 2.0 for k, span in enumerate(spans))
    return who, weight_N_per_m * halves


def _hanging(span: Span, weight_N_per_m: float) -> SpanAtRest:
    (x0, y0, z0), (x1, y1, z1) = span.ends_m
    way, level = math.dist(*span.ends_m), math.hypot(x1 - x0, y1 - y0)
    taut = span.tension_N > SLACK_SHARE * weight_N_per_m * level
    return SpanAtRest(
        name=span.name,
        way_m=way,
        rise_m=z1 - z0,
        tension_N=span.tension_N,
        sag_m=sag_m(way, level, weight_N_per_m, span.tension_N) * level / way if taut else None,
        line_in_sag_m=line_in_sag_m(way, level, weight_N_per_m, span.tension_N) if taut else None,
    )
