"""Facts of the trade about stops (common practice, no source), through the program."""

from __future__ import annotations

from tests.outside.accuracy.rows import Agrees, closed_form, practice
from tests.outside.rigs import G, at, line, move, performer, run, scenario, winch


def test_dropped_ten_metres_and_slowed_over_the_last_metre_and_a_half_is_six_point_seven_times_the_weight(
    agrees: Agrees,
):
    """On a rigid line force over weight is 1 + 8.5/1.5 = 6.67: what falls 8.5 m gives its energy back over 1.5 m."""
    drop = move(10.0, 20.0, G) | {"slow_down_in": "1.5 m"}
    del drop["deceleration"]
    text = scenario(
        performers={"p": performer(100.0, at(0, 0, 15))},
        lines={"line": line(20e6, ["winch", "p"], damping_s=5e-3)},
        drives={"winch": winch(at(0, 0, 17))},
        moves=[drop],
        duration_s=3.0,
    )
    found = run(text)
    start = next(e.time_s for e in found.case.events if e.what == "slow-down starts")
    end = next(e.time_s for e in found.case.events if e.what == "move ends")
    times, g = found.trace.time_s, found.trace.columns["g:p"]
    late = (times > 0.5 * (start + end)) & (times < end)  # the line's own ring at the start of the stop is over
    held = "dropped 10 m, slowed down over the last 1.5 m: force over weight"
    agrees(held, practice(), g[late].mean(), 6.7, 0.01)
    agrees(f"{held} on a rigid line", closed_form("1 + 8.5/1.5, energy"), g[late].mean(), 1.0 + 8.5 / 1.5, 0.01)
    assert found.case.peaks["line"].force_N > 6.6 * 100.0 * G
