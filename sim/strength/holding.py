"""What holds a drum as elements: its brakes, and the grip of a clutch or rope grab behind it.

They slip, and the simulation lets them: so what slips in a stop is no failure. What they have to do is hold what hangs
at rest, where design factors are asked at all. More is asked where a brake's own `design_factor` says so, of that brake
alone.
"""

from __future__ import annotations

from collections.abc import Iterator

from sim.results.model import Factors
from sim.scenario.drums import brake_force_N, layers_unknown
from sim.scenario.model import Scenario, Winch
from sim.scenario.parts.drives import Brake
from sim.scenario.quantity import Quantity
from sim.strength.elements import Element, Place
from sim.strength.stated import asked_of, origin_of, unproven

_AT_REST = Factors(static=1.0)
_SLIPS = "it has to hold what hangs at rest; beyond its force it slips, as simulated"


def holding_elements(scenario: Scenario, asked: Factors) -> Iterator[Element]:
    """The brakes of each winch together, each brake of which more is asked, and the grip. Forces at the line."""
    required = Factors() if asked == Factors() else _AT_REST
    for name, drive in scenario.drives.items():
        if not isinstance(drive, Winch):
            continue
        if drive.brakes and not layers_unknown(scenario, name):
            yield _brakes(scenario, name, drive.brakes, required)
            for place, brake in enumerate(drive.brakes, 1):
                if brake.design_factor is not None:
                    which = f"{name} brake {place} alone" if len(drive.brakes) > 1 else f"{name} brake alone"
                    yield _alone(scenario, name, which, brake)
        if drive.grip is not None:
            said = origin_of(drive.grip)
            yield _element(name, f"{name} grip", "grip", drive.grip.low_si, said, required, unproven(drive.grip))


def _brakes(scenario: Scenario, name: str, brakes: tuple[Brake, ...], required: Factors) -> Element:
    """All brakes of a winch together, each at the low end of its spread."""
    force_N = sum(brake_force_N(scenario, name, brake, least=True) for brake in brakes)
    origins = ", ".join(dict.fromkeys(origin_of(_stated(brake)) for brake in brakes))
    called = f"{name} brake" if len(brakes) == 1 else f"{name} brakes together"
    unsaid = any(unproven(_stated(brake)) for brake in brakes)
    return _element(name, called, "brake", force_N, origins, required, unsaid)


def _alone(scenario: Scenario, name: str, called: str, brake: Brake) -> Element:
    force_N = brake_force_N(scenario, name, brake, least=True)
    stated, required = _stated(brake), asked_of(brake.design_factor)
    return _element(name, called, "brake", force_N, origin_of(stated), required, unproven(stated))


def _stated(brake: Brake) -> Quantity:
    """The force or the torque that is written."""
    stated = brake.force or brake.torque
    assert stated is not None  # one of them is due
    return stated


def _element(of: str, called: str, kind: str, force_N: float, origin: str, required: Factors, unsaid: bool) -> Element:
    return Element(
        name=called,
        kind=kind,
        places=(Place("", (of,)),),
        fallback=of,
        breaking_strength_N=force_N,
        strength_origin=origin,
        required=required,
        remark=_SLIPS if required == _AT_REST else "",
        unproven=unsaid,
    )
