"""What is said of performers and hardly can be: most often a unit, or a digit, that is not the one meant."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scenario.kinds import STANDARD_GRAVITY_M_S2
from sim.scenario.model import Scenario
from sim.strength.plausible import Doubt

LIGHTEST_KG, HEAVIEST_KG = 15.0, 250.0
"""A child and a large person with costume and harness (common practice, no source)."""
MOST_HARNESS_STRETCH_M = 0.3
"""No harness and its straps give so much under the wearer's weight alone (common practice, no source)."""


def unlikely(scenario: Scenario) -> Iterator[Doubt]:
    """Masses that no performer has, and harnesses that stretch by far more than any."""
    for name, performer in scenario.performers.items():
        mass_kg, stiffness = performer.mass.kg, performer.harness.stiffness
        if not LIGHTEST_KG <= mass_kg <= HEAVIEST_KG:
            yield Doubt(
                name,
                False,
                f"a mass of {performer.mass.text} is none of a person in costume and harness ({LIGHTEST_KG:g} to "
                f"{HEAVIEST_KG:g} kg): is the unit right?",
            )
        if isinstance(stiffness, str):  # rigid
            continue
        stretch_m = mass_kg * STANDARD_GRAVITY_M_S2 / stiffness.N_per_m
        if stretch_m > MOST_HARNESS_STRETCH_M:
            yield Doubt(
                name,
                False,
                f"on a harness of {stiffness.text} the body hangs {stretch_m:.2g} m lower than unstretched by its "
                "weight alone: is the unit right?",
            )
