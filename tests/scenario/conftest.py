"""Shared by the reader's tests."""

import pytest

from sim.scenario import units


@pytest.fixture(scope="session", autouse=True)
def _units_loaded() -> None:
    """pint takes a third of a second to load, once; no single test shall be blamed for it."""
    units.scale("inch", "meter")
