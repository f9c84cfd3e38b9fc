"""Bends of a line against its bending life, from the planned move."""

from __future__ import annotations

from sim.results.lines import Basis, Bends, BendsAt
from sim.results.model import Trace
from sim.rig.line import Line
from sim.rig.rig import Rig
from sim.scenario.model import Scenario, Sheave, Winch
from sim.strength.asked import basis_of, retirement, told
from sim.strength.bends import wire_life
from sim.strength.catalogue import LineData, find
from sim.strength.laws import source_text
from sim.studies.bends import count_bends

PER = 1000
FOLLOWED = Basis(
    "bends",
    "counted from where everything is in the planned move, stretch and slack left out; to and fro of less than the "
    "line's diameter not counted (assumed)",
    "computed",
)


def bends(scenario: Scenario, rig: Rig, line: Line, data: LineData, planned: Trace) -> Bends | None:
    """How often a line is bent. None for one that passes nothing it could be bent over."""
    found = count_bends(rig, line, planned, data.diameter_m)
    worst = found.worst()
    names = dict.fromkeys(each.at for each in found.bent)
    if not names and not found.unknown:
        return None
    spec, season = scenario.lines[line.name], scenario.moves_per_season
    per_move, life = sum(worst.values()), spec.bending_life
    said = retirement(find(spec.type)) if isinstance(spec.type, str) else None
    basis = [FOLLOWED, basis_of("what a bend is", told("bends counted"))]
    places = tuple(_at(scenario, data, name, worst.get(name, 0), found.run_over_m(name)) for name in names)
    if any(place.relative_life is not None for place in places):
        basis.append(Basis("life at this D:d", source_text(wire_life().source), wire_life().status))
    if life is not None:
        basis.append(Basis("bending life", "as the scenario states it", "stated"))
    if said is not None:
        basis.append(basis_of("when to take it out of use", said))
    moves = life / per_move if life is not None and per_move else None
    return Bends(
        per_move=per_move,
        per_thousand_moves=PER * per_move,
        places=places,
        not_counted=found.unknown,
        moves_per_season=season,
        per_season=per_move * season if season is not None else None,
        life_bends=life,
        moves_in_life=moves,
        seasons_in_life=moves / season if moves is not None and season is not None else None,
        retire=said.says if said else "",
        basis=tuple(basis),
    )


def _at(scenario: Scenario, data: LineData, name: str, count: int, run_over_m: float) -> BendsAt:
    part = scenario.sheaves.get(name) or scenario.drives.get(name)
    tread = part.tread_diameter if isinstance(part, Sheave) else None
    tread = part.drum_diameter if isinstance(part, Winch) else tread
    ratio = tread.m / data.diameter_m if tread is not None and data.diameter_m else None
    return BendsAt(name, count, run_over_m, ratio, _relative_life(data, ratio))


def _relative_life(data: LineData, D_to_d: float | None) -> float | None:
    """Bends that wire rope lasts at a D:d over those at the D:d it wants; None outside the table and for fibre."""
    if D_to_d is None or data.textile or data.D_to_d_life is None:
        return None
    if data.material is not None and data.material.single_wire:
        return None
    here, there = wire_life().at(D_to_d), wire_life().at(data.D_to_d_life)
    return here / there if here is not None and there is not None else None
