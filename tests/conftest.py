"""What holds for all tests: a run in CI tries the same random examples each time, a contributor's new ones, and what
the outside suite compares becomes its accuracy page.
"""

import os

from hypothesis import settings

pytest_plugins = ["tests.outside.accuracy.plugin"]

settings.register_profile("ci", derandomize=True, deadline=None)
if os.environ.get("CI"):
    settings.load_profile("ci")
