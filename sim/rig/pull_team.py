"""A pull team: people who walk away with a line, by the one law of drives; what people give.

Usual ranges, each with where it comes from:

- `force_each`: 267 N (60 lb) hauled horizontally for a while by a person of average weight (US Army field manual on
  rigging); up to 445 N (100 lb) downwards (US Army manuals, value from memory); trained pullers for seconds, standing,
  1042 +- 124 N, moving three quarters of it (review of tug of war, Int. J. Environ. Res. Public Health 19:3, 2022).
- `team_loss`: 9 % for two pullers, 20 % for eight (the same review).
- `top_speed`: hand over hand 1 to 1.5 m/s, walking 1.5 to 2 m/s, running 3 to 5 m/s (common practice, no source).
- `reaction`: 0.2 s ready for it, 0.75 s for a call, 1.5 s surprised (human-factors handbooks, values from memory).
- `grip_each`: 200 N of squeeze in each hand at the fifth percentile (FAA Human Factors Design Standard 2003); what
  holds on thin slick line is 0.3 to 0.6 of the squeeze (value from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

from sim.rig.motor import Most

# Force falls with speed in nearly a straight line in efforts of many joints at once, a pull against a weight among them
# (J. Hum. Kinet. 56, 2017; J. Appl. Physiol. 112, 2012). Single muscles follow Hill's hyperbola with a = 0.25 of the
# force at rest (1938), which would leave people two fifths of that power. Written as that hyperbola, with an a so large
# that it is within 1.2 % of the force at rest of a straight line.
HILL_A = 20.0
# People correct a speed at about this natural frequency: a crossover of 3 to 5 rad/s (manual control, McRuer and Jex,
# IEEE Trans. Human Factors Electron. 8, 1967; value from memory).
PEOPLE_RAD_S = 4.0
# What moves with the line: the whole person who walks with it (assumed), and the line in hand.
PERSON_KG = 75.0
LINE_IN_HAND_KG = 1.0
# A walking person stops within a step or two (assumed).
STOPS_AT_M_S2 = 4.0


@dataclass(frozen=True)
class Team:
    """force_N: all of them at rest, team loss taken off; falls to nothing at top_speed_m_s as they take in."""

    force_N: float
    top_speed_m_s: float

    @property
    def most(self) -> Most:
        """(F + a)(v + b) = (F0 + a) b, with a = HILL_A F0 and b = HILL_A top speed: nearly F0 (1 - v/top speed)."""
        a, b = HILL_A * self.force_N, HILL_A * self.top_speed_m_s
        return Most(self.force_N, 0.0, (self.force_N + a) * b, b, a, pulls_only=True)

    @property
    def loop_rad_s(self) -> float:
        """Natural frequency of the loop by which they keep to their move."""
        return PEOPLE_RAD_S

    def gain_N_s_per_m(self, moving_mass_kg: float) -> float:
        """As of a motor: critically damped on their own moving mass, 2 m w."""
        return 2.0 * moving_mass_kg * PEOPLE_RAD_S


def team_force_N(people: float, force_each_N: float, loss: float) -> float:
    """Force of a team at rest: its people's singly, less what is lost between them."""
    return people * force_each_N * (1.0 - loss)
