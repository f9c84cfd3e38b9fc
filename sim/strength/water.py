"""Line and water: what a soaked line weighs, and what a line weighs in water (Archimedes)."""

from __future__ import annotations

from sim.results.lines import Basis, InWater
from sim.scenario.model import Scenario
from sim.scenario.water import is_wet, places_under, surface_m
from sim.strength.asked import basis_of, told
from sim.strength.catalogue import LineData
from sim.strength.fibres import WATER_DENSITY_KG_M3


def soaked_kg_per_m(data: LineData) -> float | None:
    """Mass per length (kg/m) of the line with all water it holds; None where the material is unknown."""
    if data.material is None:
        return None
    return data.mass_kg_per_m * (1.0 + 0.01 * data.material.water_percent.value)


def weight_in_water_N_per_m(data: LineData, gravity_m_s2: float) -> float | None:
    """What a metre of the line weighs in fresh water (N/m); less than nothing where it floats.

    It is lifted by the weight of the water it displaces; what water it holds weighs nothing there. None where the
    material is unknown.
    """
    if data.material is None:
        return None
    return data.mass_kg_per_m * gravity_m_s2 * (1.0 - WATER_DENSITY_KG_M3 / data.material.density_kg_m3)


def as_run_kg_per_m(scenario: Scenario, name: str, data: LineData) -> float:
    """Mass per length (kg/m) a line is run with: soaked where it counts as wet, dry where nobody knows its material."""
    soaked = soaked_kg_per_m(data)
    return soaked if soaked is not None and is_wet(scenario, name) else data.mass_kg_per_m


def in_water(scenario: Scenario, name: str, data: LineData) -> InWater | None:
    """What water does to a line; None where there is neither open water nor spray."""
    wet = is_wet(scenario, name)
    if surface_m(scenario) is None and not wet:
        return None
    material, left_out = data.material, told("water")
    basis = [basis_of("left out", left_out)]
    if material is not None:
        density, water, strength = (
            number.sourced() for number in (material.relative_density, material.water_percent, material.wet_strength)
        )
        basis += [
            Basis("weight in water", f"Archimedes, fresh water; density: {density.source}", density.status),
            Basis("water it holds", water.source, water.status),
            Basis("strength left wet", strength.source, strength.status),
            basis_of("wet", material.wet),
        ]
    return InWater(
        floats=material.floats if material is not None else None,
        soaked_kg_per_m=soaked_kg_per_m(data),
        weight_in_water_N_per_m=weight_in_water_N_per_m(data, scenario.environment.gravity.m_s2),
        wet=wet,
        wet_strength=material.wet_strength.value if material is not None else None,
        under=places_under(scenario, name),
        says=f"{material.wet.says if material is not None else ''} {left_out.says}".strip(),
        basis=tuple(basis),
    )
