"""A performer flown by two winches: where lines hardly stretch it stays on the path, and only a stop along it does."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import fsolve

import sim
from profiles import Path as FlownPath
from sim.dynamics.run import ready, run
from sim.rig.rig import Rig
from sim.studies.one_stop import row_of, run_stops

TEXT = """
title: flown
performers:
  flyer: {mass: 60 kg, hook_mass: 1 kg, at: [-3 m, 0 m, 4 m], harness: rigid}
lines:
  west:
    type: {stiffness_EA: 3000 kN, mass_per_length: 1 g/m, damping_ratio: 10 %}
    route: [west winch, west head, flyer]
  east: {like: west, route: [east winch, east head, flyer]}
sheaves:
  west head: {at: [-9 m, 0 m, 13 m], tread_diameter: 120 mm, mass: 0.5 kg, bearing: ball, bending_loss: 0 %}
  east head: {like: west head, at: [9 m, 0 m, 13 m]}
drives:
  west winch: {kind: winch, at: [-9 m, 0 m, 1 m], moving_mass: 50 kg}
  east winch: {kind: winch, at: [9 m, 0 m, 1 m], moving_mass: 50 kg}
moves:
  - fly: flyer
    drives: [west winch, east winch]
    through: [[0 m, 0 m, 6 m], [3 m, 0 m, 5.5 m]]
    start: 0.2 s
    speed: 1 m/s
    acceleration: 0.5 m/s^2
    jerk: 2 m/s^3
stops:
  - {name: along, category: 2, when: 3 s, deceleration: 0.3 m/s^2, along: path}
  - {name: each, category: 2, when: 3 s, deceleration: 0.3 m/s^2}
  - {name: one, category: 2, when: 3 s, deceleration: 0.3 m/s^2, drives: [east winch], along: path}
limits: none
"""
SLOW = "control: driven, force: 3 kN, power: 4 kW, top_speed: 0.5 m/s, bandwidth: 4 Hz,"
THROUGH = "    through: [[0 m, 0 m, 6 m], [3 m, 0 m, 5.5 m]]"
PLACES = ((-3.0, 0.0, 4.0), (0.0, 0.0, 6.0), (3.0, 0.0, 5.5))


def rig() -> Rig:
    """The rig."""
    return sim.build_rig(sim.read_text(TEXT, "flown"))


def off_path_m(run) -> float:
    """The greatest distance of the performer from the path."""
    way = FlownPath(PLACES)
    on = way.position_m(np.linspace(0.0, way.length_m, 2001))
    here = np.column_stack([run.trace.columns[f"{c}:flyer"] for c in ("x_m", "y_m", "height_m")])[::20]
    return float(np.min(np.linalg.norm(here[:, None] - on[None], axis=2), axis=1).max())


def run_of(name: str):
    """The planned move or a stop."""
    made = rig()
    if name == "planned":
        return sim.simulate(made, sim.planned_case(made))
    order = next(s for s in made.stops if s.name == name)
    assert order.time_s is not None
    return sim.simulate(made, sim.stop_case(made, order, order.time_s))


def test_the_flown_performer_stays_on_the_path_and_ends_at_its_last_place():
    run = run_of("planned")
    assert off_path_m(run) < 0.02
    ends = [run.trace.columns[f"{c}:flyer"][-1] for c in ("x_m", "y_m", "height_m")]
    assert ends == pytest.approx(PLACES[-1], abs=0.01)
    assert any(e.what == "passes place 1" for e in run.case.events)


def test_started_again_along_the_path_it_stays_on_it_and_ends_where_it_would_have():
    text = TEXT.replace("{name: along, category: 2,", "{name: along, category: 2, restart_after: 1 s,")
    made = sim.build_rig(sim.read_text(text, "flown"))
    run = sim.simulate(made, sim.stop_case(made, made.stops[0], 3.0))
    assert off_path_m(run) < 0.03
    ends = [run.trace.columns[f"{c}:flyer"][-1] for c in ("x_m", "y_m", "height_m")]
    assert ends == pytest.approx(PLACES[-1], abs=0.01)


def test_a_stop_along_the_path_stays_on_it_and_drives_for_themselves_leave_it():
    assert off_path_m(run_of("along")) < 0.03
    assert off_path_m(run_of("each")) > 0.03
    along, one = run_of("along"), run_of("one")
    assert one.trace.columns["paid_out_m:west winch"][-1] == pytest.approx(
        rig().drive("west winch").motion.end_position_m, abs=1e-6
    )
    for drive in ("west winch", "east winch"):
        stops = along.case.drives[drive]
        assert stops.stopping_time_s == pytest.approx(1.0 / 0.3, abs=0.02)


@pytest.mark.parametrize(
    ("through", "says"),
    [
        ("[[0 m, 0 m, 13.5 m]]", r"its lines cannot hold it: .* at place 1"),
        ("[[0 m, 2 m, 6 m]]", r"its lines cannot hold it: 2\d % of its weight .* at place 1"),
        ("[[-3 m, 0 m, 4 m]]", "is the same place as the one before"),
    ],
)
def test_paths_that_cannot_be_flown_say_why(through: str, says: str):
    text = TEXT.replace("[[0 m, 0 m, 6 m], [3 m, 0 m, 5.5 m]]", through)
    with pytest.raises(sim.RigError, match=says):
        sim.build_rig(sim.read_text(text, "flown"))


def test_a_path_after_another_move_starts_where_that_leaves_the_performer():
    """West pays out and east takes in 1 m: a triangle over the level heads, by hand."""
    move = (
        "moves:\n  - {drive: west winch, pay_out: 1 m, speed: 1 m/s, acceleration: 1 m/s^2, deceleration: 1 m/s^2}"
        "\n  - {drive: east winch, take_in: 1 m, speed: 1 m/s, acceleration: 1 m/s^2, deceleration: 1 m/s^2}"
    )
    text = TEXT.replace("moves:", move).replace("start: 0.2 s", "start: 5 s")
    made = sim.build_rig(sim.read_text(text, "flown"))
    west, east = np.hypot(6.0, 9.0) + 1.0, np.hypot(12.0, 9.0) - 1.0
    x = (west**2 - east**2 + 18.0**2) / (2 * 18.0)
    assert made.flights[0].path.places[0] == pytest.approx((x - 9.0, 0.0, 13.0 - np.sqrt(west**2 - x**2)), abs=1e-4)
    last = made.drive("west winch").motion.end_position_m
    assert last == pytest.approx(np.hypot(12.0, 7.5) - np.hypot(6.0, 9.0), abs=1e-4)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("[3 m, 0 m, 5.5 m]", "[9 m, 0 m, 6 m]", "west would be slack at place 2"),
        ("[3 m, 0 m, 5.5 m]", "[9 m, 0 m, 12.95 m]", "it runs into east head at place 2"),
        ("at: [-9 m, 0 m, 1 m],", f"at: [-9 m, 0 m, 1 m], {SLOW}", r"line speed of 0\.\d+ m/s, and its top speed"),
        (f"drives: [west winch, east winch]\n{THROUGH}", "drives: [west winch]\n    through: [[-5 m, 0 m, 4 m]]",
         "east, which is not flown, is .* too short at"),
        ("hook_mass: 1 kg,", "hook_mass: 1 kg, start: held, release: 1 s,", "held until 1 s"),
        ("route: [east winch, east head", "slack: 0.1 m, route: [east winch, east head", "cut to hold"),
    ],
)  # fmt: skip
def test_what_lines_and_drives_cannot_do_is_refused(old: str, new: str, says: str):
    assert old in TEXT
    with pytest.raises(sim.RigError, match=says):
        sim.build_rig(sim.read_text(TEXT.replace(old, new), "flown"))


def test_a_stopped_drive_does_as_planned_up_to_the_stop():
    made = rig()
    case = sim.stop_case(made, made.stops[0], 3.0)
    for drive in made.drives:
        before = np.linspace(0.0, 3.0, 300, endpoint=False)
        assert np.array_equal(case.motions[drive.name].position_m(before), drive.motion.position_m(before))


ELASTIC = TEXT.replace("stiffness_EA: 3000 kN", "stiffness_EA: 150 kN").replace("speed: 1 m/s", "speed: 0.3 m/s")


def _hanging(at: tuple[float, float, float]) -> np.ndarray:
    """Tensions of two lines, heads at x = -9 and 9 and z = 13, on 61 kg: two equations, by hand."""
    ways = np.array([[x - at[0], 13.0 - at[2]] for x in (-9.0, 9.0)])
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    return np.linalg.solve(ways.T, [0.0, 61.0 * 9.80665])


def _where_it_hangs(asked: tuple[float, float, float]) -> np.ndarray:
    """Where a performer led by unstretched geometry hangs: lines, whole from the winch, stretch as their tension asks.

    Unstretched length from the winch is what stood there at the start and what was paid out since.
    """

    def whole(at) -> np.ndarray:
        return np.array([12.0 + np.hypot(at[0] - x, 13.0 - at[2]) for x in (-9.0, 9.0)])

    start = PLACES[0]
    slack = whole(start) / (1.0 + _hanging(start) / 150e3)
    unstretched = slack + (whole(asked) - whole(start)) / (1.0 + _hanging(start) / 150e3)

    def off(p: np.ndarray) -> np.ndarray:
        at = (p[0], 0.0, p[1])
        return whole(at) - unstretched * (1.0 + _hanging(at) / 150e3)

    return np.asarray(fsolve(off, [asked[0], asked[2]], xtol=1e-12))


def test_a_slow_flight_leaves_its_path_by_the_stretch_of_its_lines_only():
    """At rest after the flight, and while flying slowly, against statics of two elastic lines without mass."""
    made = sim.build_rig(sim.read_text(ELASTIC, "flown"))
    run = sim.simulate(made, sim.planned_case(made))
    trace, flight = run.trace, made.flights[0]
    ends = np.array([trace.columns[f"{c}:flyer"][-1] for c in ("x_m", "height_m")])
    hangs = _where_it_hangs(PLACES[-1])
    assert np.linalg.norm(hangs - np.array(PLACES[-1])[[0, 2]]) > 5e-3
    assert ends == pytest.approx(hangs, abs=1e-3)
    for time_s in np.linspace(flight.progress.start_s + 2.0, flight.progress.end_s - 2.0, 9):
        asked = flight.path.position_m(float(flight.progress.position_m(float(time_s))))
        here = [np.interp(time_s, trace.time_s, trace.columns[f"{c}:flyer"]) for c in ("x_m", "height_m")]
        assert here == pytest.approx(_where_it_hangs(tuple(asked)), abs=5e-3)


def test_a_sweep_of_stops_along_the_path_gives_what_whole_runs_give():
    made = sim.build_rig(sim.read_text(TEXT.replace("when: 3 s", "when: every instant"), "flown"))
    of, order = ready(made), made.stops[0]
    times = [1.0, 2.5, 4.2]
    swept = [row_of(raw, order) for raw in run_stops(of, order, times, 1e-6)]
    for time_s, row in zip(times, swept, strict=True):
        whole = row_of(run(of, sim.stop_case(made, order, time_s), 1e-6, None), order)
        for figure in ("peak_g:flyer", "lowest_height_m:flyer", "force_N:west"):
            assert row.values[figure] == pytest.approx(whole.values[figure], rel=1e-4)


def _room(points: str, ends: tuple[str, str, str]) -> str:
    """Three winches over a room; ends: where each line ends on the performer."""
    heads = ((-6, -5), (6, -5), (0, 7))
    line = "{type: {stiffness_EA: 3000 kN, mass_per_length: 1 g/m, damping_ratio: 10 %%}, route: [w%d, h%d, %s]}"
    sheave = "{at: [%d m, %d m, 12 m], tread_diameter: 120 mm, mass: 0.5 kg, bearing: ball, bending_loss: 0 %%}"
    return "\n".join(
        [
            "title: room\nperformers:",
            f"  flyer: {{mass: 60 kg, hook_mass: 1 kg, at: [0 m, 0 m, 4 m], harness: {{stiffness: 45 kN/m{points}}}}}",
            "lines:",
            *(f"  l{i}: {line % (i, i, end)}" for i, end in enumerate(ends)),
            "sheaves:",
            *(f"  h{i}: {sheave % xy}" for i, xy in enumerate(heads)),
            "drives:",
            *(
                f"  w{i}: {{kind: winch, at: [{x} m, {y} m, 1 m], moving_mass: 50 kg}}"
                for i, (x, y) in enumerate(heads)
            ),
            "moves:\n  - fly: flyer\n    drives: [w0, w1, w2]\n    through: [[2 m, 1 m, 6 m], [-1 m, 2 m, 7 m]]",
            "    start: 0.5 s\n    speed: 1.5 m/s\n    acceleration: 1 m/s^2\n    jerk: 4 m/s^3",
            "stops: none\nlimits: none\n",
        ]
    )


@pytest.mark.parametrize("points", [False, True])
def test_three_winches_fly_in_space(points: bool):
    """No freedom is left, so all along the performer is where the path has it; harness points count as they sit."""
    at_points = ", points: {left: {offset: [-0.2 m, 0 m, 0 m]}, right: {offset: [0.2 m, 0 m, 0 m]}}"
    ends = ("left", "right", "flyer") if points else ("flyer", "flyer", "flyer")
    made = sim.build_rig(sim.read_text(_room(at_points if points else "", ends), "room"))
    flight = made.flights[0]
    offsets = (-0.2, 0.2, 0.0) if points else (0.0, 0.0, 0.0)
    for drive, (x, y), dx in zip(made.drives, ((-6, -5), (6, -5), (0, 7)), offsets, strict=True):
        paid_out_m = math.dist((-1.0 + dx, 2.0, 7.0), (x, y, 12.0)) - math.dist((dx, 0.0, 4.0), (x, y, 12.0))
        assert drive.motion.end_position_m == pytest.approx(paid_out_m, abs=1e-4)
    assert not any("only weight holds" in text for text in made.assumptions)
    run = sim.simulate(made, sim.planned_case(made), audited=False)
    asked = flight.path.position_m(np.asarray(flight.progress.position_m(run.trace.time_s)))
    here = np.column_stack([run.trace.columns[f"{c}:flyer"] for c in ("x_m", "y_m", "height_m")])
    assert np.linalg.norm(here - asked, axis=1).max() < 0.01
