"""What a line stores when it is loaded, and how fast its end flies back when it parts.

The energy is the area under the load-stretch curve: for a line that stretches evenly half the force times the stretch
(any text on strength of materials). A parted end is let go from its tension all at once: the wave that runs back along
the line gives it v = integral of c d(strain), c^2 = df/d(strain) / mass per length, which for an even stretch is the
tension over the impedance sqrt(EA m) (longitudinal waves in a bar, any text on vibration).
"""

from __future__ import annotations

import math
from itertools import pairwise

from scipy.integrate import quad

from sim.rig.curve import curve_pieces, slope_at, strain_at
from sim.strength.fibres import Fibre
from sim.strength.line_data import Curve


def energy_J_per_m(curve: Curve, force_N: float) -> float:
    """Energy stored per unstretched metre up to a force (N): the area under the curve that is run.

    >>> round(energy_J_per_m(((0.0, 0.0), (1000.0, 0.01)), 500.0), 6)  # half the force times the stretch
    1.25
    """
    x, c = _pieces(curve)
    strain = strain_at(x, c, force_N)
    k = max(k for k, at in enumerate(x) if at <= strain)
    h = strain - x[k]
    return float(c[k, 4] + h * (c[k, 0] + h * (c[k, 1] / 2 + h * (c[k, 2] / 3 + h * c[k, 3] / 4))))


def snap_back_m_s(curve: Curve, mass_kg_per_m: float, force_N: float) -> float:
    """Speed (m/s) of the end of a line that parts at a force (N), without air, friction and what hangs on the end.

    >>> round(snap_back_m_s(((0.0, 0.0), (1e4, 0.01)), 0.01, 2e3), 6)  # 2000 N over sqrt(1 MN x 0.01 kg/m)
    20.0
    """
    x, c = _pieces(curve)
    strain = strain_at(x, c, force_N)
    edges = [*(float(at) for at in x if at < strain), strain]
    return sum(
        quad(lambda at: math.sqrt(max(slope_at(x, c, at), 0.0) / mass_kg_per_m), low, high)[0]
        for low, high in pairwise(edges)
    )


def beyond_its_fibre(curve: Curve, force_N: float, material: Fibre | None) -> str:
    """Why nothing is claimed of a curve up to a force (N), in words; empty where something is.

    Straight on beyond its last point a curve may come to a stretch that its fibre cannot reach; what is stored there is
    then not known.
    """
    strain = strain_at(*_pieces(curve), force_N)
    if material is None or 100.0 * strain <= material.stretch_at_break_percent.range[1]:
        return ""
    most = material.stretch_at_break_percent.range[1]
    return f"no figure, its curve led on to the break stretches {100.0 * strain:.0f} %, its fibre {most:g} % at most"


def _pieces(curve: Curve):
    points = [(force, strain) for force, strain in curve if force > 0.0]
    return curve_pieces([strain for _, strain in points], [force for force, _ in points])
