"""How fast a sweep of stops is, against LSODA doing the same. Not part of the suite: pytest -m benchmark -s."""

import pytest

from tests.benchmarks.measures import sweeps

pytestmark = pytest.mark.benchmark
WITHIN = 1e-4


def test_a_thousand_stops_against_lsoda(capsys):
    """A thousand instants of the lamplighter's power loss; LSODA on a few of them, at the same 0.01 %."""
    found = sweeps()
    assert found.error < WITHIN
    each, on_all = found.one_s / found.stops, found.all_s / found.stops
    with capsys.disabled():
        print(
            f"\nLSODA: {1e3 * found.lsoda_s:.0f} ms a stop; peaks of ours within {100 * found.error:.4f} %\n"
            f"{found.stops} stops on one thread: {1e3 * each:.2f} ms each, {found.lsoda_s / each:.0f} times LSODA; on "
            f"{found.threads}: {1e3 * on_all:.2f} ms each, {found.lsoda_s / on_all:.0f} times"
        )
