"""What holds for all tests: a run in CI tries the same random examples each time, a contributor's new ones."""

import os

from hypothesis import settings

settings.register_profile("ci", derandomize=True, deadline=None)
if os.environ.get("CI"):
    settings.load_profile("ci")
