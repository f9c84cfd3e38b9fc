"""How hot a line is said to be, against what its material takes; no credit near lamps and flame without a test."""

from __future__ import annotations

from sim.results.lines import Basis, Heat
from sim.scenario.model import Line, Scenario
from sim.strength.asked import basis_of, told
from sim.strength.catalogue import LineData
from sim.strength.surroundings import heat


def hottest(scenario: Scenario, line: Line, data: LineData) -> Heat:
    """The hottest stated place of a line (the high end of its spread) and what is left of the strength there."""
    around, said, material = scenario.environment.temperature, told("heat"), data.material
    stated = {at: degree.high_si for at, degree in line.temperature_at.items()}
    if around.origin != "default":
        stated.setdefault("all along it", around.high_si)
    at = max(stated, key=lambda place: stated[place], default="")
    found = heat(material, stated[at], at).reduction if at else None
    basis = [basis_of("near lamps and flame", said)]
    if material is not None:
        limit = material.limit_degC.sourced()
        basis.append(Basis("highest temperature in use", limit.source, limit.status))
    if found is not None and material is not None:
        basis.append(Basis("strength left hot", found.source, material.strength_left.status))
    limit_degC = material.limit_degC.value if material is not None else None
    return Heat(
        hottest_degC=stated.get(at),
        at=at,
        limit_degC=limit_degC,
        margin_degC=limit_degC - stated[at] if limit_degC is not None and at else None,
        strength_left=found.factor if found is not None else None,
        says=said.says,
        basis=tuple(basis),
    )
