"""What holds for all tests: a run in CI tries the same random examples each time, a contributor's new ones, no example
fails by how long it takes on a busy machine, and what the outside suite compares becomes its accuracy page.
"""

import os

from hypothesis import HealthCheck, settings

pytest_plugins = ["tests.outside.accuracy.plugin"]

# Hypothesis measures by the clock on the wall: no time limit of its own, neither on an example nor on making one.
settings.register_profile("any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("ci", settings.get_profile("any machine"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "any machine")
