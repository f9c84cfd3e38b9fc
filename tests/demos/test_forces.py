"""Forces and sags of the demos, and of copies with a jib, hips or a ring, against statics and laws done by hand."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

import sim
from sim.dynamics.run import ready, run
from sim.rig.curve import curve_pieces, strain_at
from tests.demos.demos import G, changed, moved, planned, read, result, rig, unit

# Neither drag nor a lagging mass: the harness alone moves the body.
HARNESS_ALONE = [
    "cathedral-run-fibre",
    "cathedral-run-wire",
    "chimney-sweeps-rise",
    "ferrymans-crossing",
    "lamplighters-drop",
    "lamplighters-drop-hard-brake",
    "moths-flight",
]


@pytest.mark.parametrize("name", HARNESS_ALONE)
def test_the_harness_carries_the_weight_and_moves_the_body(name: str):
    """At rest m g; moving, by Newton's second law, m times the acceleration felt, at every instant of every case."""
    ((who, performer),) = read(name).performers.items()
    weight_N = performer.mass.kg * G
    stops = [sim.stop_case(rig(name), stop, stop.time_s or 1.8) for stop in rig(name).stops]
    for order in (sim.planned_case(rig(name)), *stops):
        found = sim.simulate(rig(name), order, audited=False)
        assert found.case.static_N[f"{who} harness"] == pytest.approx(weight_N, rel=1e-6)
        harness, felt = found.trace.columns[f"force_N:{who} harness"], found.trace.columns[f"g:{who}"]
        assert harness == pytest.approx(weight_N * felt, abs=1e-4 * weight_N)
        peak_g = found.case.performers[who].peak_g
        assert found.case.peaks[f"{who} harness"].force_N == pytest.approx(weight_N * peak_g, rel=1e-4)


def test_drag_is_what_the_harness_does_not_take():
    """Swinging in air, |harness - m felt| is at most the drag, 1/2 rho A v^2, with 1.2 kg/m3 (value from memory)."""
    _, trace = planned("bell-ringers-swing")
    mass_kg, area_m2 = 70.0, 0.6
    left = trace.columns["force_N:bell ringer harness"] - mass_kg * G * trace.columns["g:bell ringer"]
    speed = trace.columns["total_speed_m_s:bell ringer"].max() * 1.1  # the body swings lower than the hook
    assert np.abs(left[trace.time_s > 0.5]).max() <= 0.5 * 1.2 * area_m2 * speed**2


def root(of: Callable[[float], float], low: float, high: float) -> float:
    """Where a function is zero between two places."""
    return float(brentq(of, low, high))  # pyright: ignore[reportArgumentType]


def level_sag_m(span_m: float, end_N: float, weight_N_m: float) -> float:
    """Sag of a catenary between level ends where the tension at an end is given: T = H cosh(w l / 2H)."""
    pull = root(lambda h: h * math.cosh(0.5 * weight_N_m * span_m / h) - end_N, 0.9 * end_N, end_N)
    return pull / weight_N_m * (math.cosh(0.5 * weight_N_m * span_m / pull) - 1.0)


@pytest.mark.parametrize("name", ["cathedral-run-wire", "cathedral-run-fibre"])
def test_the_level_run_sags_as_a_catenary(name: str):
    """At rest under the weight of sexton, hook and 6 m of line; after the move under the tension then in it.

    The sag is seen by nobody but the solver, which says it here: the state it starts and ends with.
    """
    of_rig = ready(rig(name))
    line = rig(name).line("nave line")
    span = of_rig.start.layout.line_spans["nave line"][1]
    k = int(of_rig.start.model.spans[span]["sag"])
    weight_N_m = line.material.mass_kg_per_m * G
    end_N = (80.0 + 1.0) * G + 6.0 * weight_N_m
    sag_m = float(of_rig.start.state[k])
    assert sag_m == pytest.approx(level_sag_m(40.0, end_N, weight_N_m), rel=2e-3)
    after = run(of_rig, sim.planned_case(rig(name)), 1e-6, 100.0, 40.0)  # its own swing dies down at 2 % damping
    column = [c.column for c in of_rig.columns].index("tension_N:nave line:west sheave -> crossing sheave")
    later_m = level_sag_m(40.0, float(after.samples[-1, column]), weight_N_m)
    assert float(after.state[k]) == pytest.approx(later_m, rel=5e-3)


def test_the_sag_of_wire_is_told_apart_from_that_of_fibre():
    """In proportion to the weight per metre: seven times."""
    sags = []
    for name in ("cathedral-run-wire", "cathedral-run-fibre"):
        start = ready(rig(name)).start
        sags.append(float(start.state[start.model.spans[start.layout.line_spans["nave line"][1]]["sag"]]))
    ratio = [rig(n).line("nave line").material.mass_kg_per_m for n in ("cathedral-run-wire", "cathedral-run-fibre")]
    assert sags[0] / sags[1] == pytest.approx(ratio[0] / ratio[1], rel=0.05)


def line_weight_N(name: str, line: str, metres: float) -> float:
    """Weight of so much of a demo's line."""
    return metres * rig(name).line(line).material.mass_kg_per_m * G


def test_sheaves_slings_and_shackle_of_the_drop():
    """Tension is the weight and what line hangs below; a sheave bears both legs and itself, a sling its sheave."""
    case, _ = planned("lamplighters-drop")
    below_N = (84.0 + 1.0) * G
    top_N = below_N + line_weight_N("lamplighters-drop", "drop line", 1.6)
    winch_N = top_N - line_weight_N("lamplighters-drop", "drop line", 12.2)
    assert case.static_N["hook shackle"] == pytest.approx(below_N, rel=1e-3)
    assert case.static_N["drop line"] == pytest.approx(top_N, rel=1e-3)
    assert case.static_N["winch"] == pytest.approx(winch_N, rel=1e-3)
    for sheave, down_N in (("head", top_N + 0.9 * G), ("lead", top_N + 0.9 * G)):
        half_span_N = 0.5 * line_weight_N("lamplighters-drop", "drop line", 14.0)
        pin_N = math.hypot(top_N, down_N + half_span_N)
        assert case.static_N[f"{sheave} sheave"] == pytest.approx(pin_N, rel=2e-3)
        assert case.static_N[f"{sheave} sling"] == case.static_N[f"{sheave} sheave"]


def test_the_swing_hangs_by_what_it_was_said_to():
    """Held aside, the anchor bears the stated tension and the line's weight; what holds her bears the rest."""
    case, _ = planned("bell-ringers-swing")
    way = unit((-5.142, 0.0, 5.872), (0.0, 0.0, 12.0))
    line_N = line_weight_N("bell-ringers-swing", "swing line", 8.0)
    assert case.static_N["grid anchor"] == pytest.approx(526.0 + 0.5 * line_N, abs=line_N)
    # the body lies in the line's direction, held by a force that balances its weight and the harness's pull
    pull = case.static_N["bell ringer harness"] * way
    held = case.static_N["what holds bell ringer"]
    assert held == pytest.approx(float(np.linalg.norm(pull - [0.0, 0.0, 70.0 * G])), rel=2e-3)


def test_counterweight_and_block():
    moth, _ = planned("moths-flight")
    line_N = line_weight_N("moths-flight", "balance line", 1.0)
    assert moth.static_N["sand carriage"] == pytest.approx(48.0 * G, rel=1e-3)
    assert moth.static_N["balance sheave"] == pytest.approx(
        math.hypot(48.0 * G + 3 * line_N, 48.0 * G + 3 * line_N + 1.2 * G + 2.5 * line_N), rel=2e-3
    )
    sweep, _ = planned("chimney-sweeps-rise")
    hangs_N = (82.0 + 1.0 + 0.7) * G + line_weight_N("chimney-sweeps-rise", "hoist line", 9.0)
    legs = 2.0 * math.cos(math.atan2(0.1, 9.0))
    assert sweep.static_N["dead end"] == pytest.approx(
        hangs_N / legs + line_weight_N("chimney-sweeps-rise", "hoist line", 4.5), rel=2e-3
    )
    assert sweep.static_N["flying block"] == pytest.approx((82.0 + 1.0) * G, rel=5e-3)


def test_a_jib_bears_the_sheave_on_it():
    """The drop with its head sheave on a jib of 400 kN/m and 25 kg: both legs, sheave and jib, and no less in the move.

    Moving, its mass lags behind: by its own frequency, 20 Hz, far above the bounce, so peaks differ by a few percent.
    """
    jib = (
        "mounts:\n  jib: {at: [14 m, 0 m, 12.6 m], stiffness: 400 kN/m, mass: 25 kg, damping_ratio: 0.05}\nhardware:\n"
    )
    stiff, trace = moved(
        changed(
            "lamplighters-drop",
            ("head sheave: {like: lead sheave, at: [14 m, 0 m, 12.6 m]}", "head sheave: {<mount>}"),
            (
                "{<mount>}",
                "{mount: jib, tread_diameter: 120 mm, mass: 0.9 kg, bearing: ball, breaking_strength: 60 kN}",
            ),
            ("hardware:\n", jib),
        )
    )
    top_N = (84.0 + 1.0) * G + line_weight_N("lamplighters-drop", "drop line", 1.6)
    half_span_N = 0.5 * line_weight_N("lamplighters-drop", "drop line", 14.0)
    still_N = math.hypot(top_N, top_N + half_span_N + (0.9 + 25.0) * G)
    assert stiff.static_N["jib"] == pytest.approx(still_N, rel=2e-3)
    assert trace.columns["force_N:jib"][-1] == pytest.approx(still_N, rel=0.03)  # friction keeps some of it
    fixed, _ = planned("lamplighters-drop")
    assert stiff.peaks["jib"].force_N == pytest.approx(fixed.peaks["head sheave"].force_N + 25.0 * G * 0.75, rel=0.05)


def two_lines_N(points: tuple, towards: tuple, weight_N: float) -> list[float]:
    """Tensions of two lines that balance a weight in the plane y = 0."""
    legs = np.array([unit(a, b) for a, b in zip(points, towards, strict=True)])[:, [0, 2]].T
    return list(np.linalg.solve(legs, [0.0, weight_N]))


HIPS = "{west hip: {offset: [-0.2 m, 0 m, 0 m]}, east hip: {offset: [0.2 m, 0 m, 0 m]}}"


def test_each_hip_bears_its_line():
    """The crossing with a line to each hip: directions run from the hips, the body stays upright."""
    case, _ = moved(
        changed(
            "ferrymans-crossing",
            (
                "damping_ratio: 0.15, breaking_strength: 22 kN}",
                f"damping_ratio: 0.15, points: {HIPS}}}",
            ),
            ("west head, ferryman]", "west head, west hip]"),
            ("east head, ferryman]", "east head, east hip]"),
            ("west winch: wraps on the drum, ferryman:", "west winch: wraps on the drum, west hip:"),
            ("east winch: wraps on the drum, ferryman:", "east winch: wraps on the drum, east hip:"),
        )
    )
    weight_N = 76.0 * G + line_weight_N("ferrymans-crossing", "west line", 10.0)
    hips, heads = ((-2.2, 0.0, 5.0), (-1.8, 0.0, 5.0)), ((-8.0, 0.0, 12.0), (8.0, 0.0, 12.0))
    west, east = two_lines_N(hips, heads, weight_N)
    assert case.static_N["west hip"] == pytest.approx(west, rel=5e-3)
    assert case.static_N["east hip"] == pytest.approx(east, rel=5e-3)
    assert case.static_N["ferryman harness"] == pytest.approx(75.0 * G, rel=1e-4)
    assert case.peaks["west hip"].force_N > case.static_N["west hip"]


PENDANT = "  pendant: {type: aramid copolymer 12-strand, diameter: 6 mm, route: [ring, ferryman]}\n"
MIDDLE = "{at: [-2 m, 0 m, 5 m], mass: 0.6 kg, breaking_strength: 40 kN}"
RING = (
    ("at: [-2 m, 0 m, 5 m]", "at: [-2 m, 0 m, 4 m]"),
    ("head, ferryman]", "head, ring]"),
    (", ferryman: long splice", ", ring: long splice"),
    ("sheaves:\n", f"{PENDANT}junctions:\n  ring: {MIDDLE}\nsheaves:\n"),
)


def test_lines_that_meet_in_a_ring_balance_there():
    case, _ = moved(changed("ferrymans-crossing", *RING))
    pendant_N = 76.0 * G
    weight_N = pendant_N + 0.6 * G + line_weight_N("ferrymans-crossing", "west line", 11.0)
    ring, heads = (-2.0, 0.0, 5.0), ((-8.0, 0.0, 12.0), (8.0, 0.0, 12.0))
    west, east = two_lines_N((ring, ring), heads, weight_N)
    assert case.static_N["pendant"] == pytest.approx(pendant_N, rel=1e-3)
    assert case.static_N["west line"] == pytest.approx(west, rel=5e-3)
    assert case.static_N["east line"] == pytest.approx(east, rel=5e-3)


def test_a_ring_bears_its_largest_leg():
    case, _ = moved(changed("ferrymans-crossing", *RING))
    assert case.static_N["ring"] == pytest.approx(76.0 * G, rel=1e-2)
    assert case.peaks["ring"].force_N == pytest.approx(case.peaks["pendant"].force_N, rel=1e-2)


def test_the_fall_takes_up_no_more_than_its_energy():
    """m g (slack + stretch) = work in the line: an upper bound, and little above what damping and harness leave."""
    case, _ = planned("stonemasons-fall")
    line = rig("stonemasons-fall").line("catch line")
    force, strain = zip(*line.material.stretch, strict=True)
    x, c = curve_pieces(strain, force)
    length_m, weight_N = 3.5 + 1.2, (78.0 + 1.0) * G

    def left_J(peak_N: float) -> float:
        most = strain_at(x, c, peak_N)
        work = length_m * (peak_N * most - quad(lambda f: strain_at(x, c, f), 0.0, peak_N, limit=200)[0])
        return work - weight_N * (1.2 + length_m * most)

    bound_N = root(left_J, 2 * weight_N, 40 * weight_N)
    assert 0.7 * bound_N < case.peaks["catch line"].force_N < bound_N
    assert case.peaks["beam anchor"].force_N == pytest.approx(case.peaks["catch line"].force_N, rel=5e-3)
    assert case.peaks["catch shackle"].force_N == pytest.approx(case.peaks["catch line"].force_N, rel=5e-3)


@pytest.mark.parametrize(
    ("name", "who", "slow_m_s2", "before_m_s2"),
    [
        ("lamplighters-drop", "lamplighter", 12.0, 5.0),
        ("cathedral-run-wire", "sexton", 6.0, 4.0),
        ("cathedral-run-fibre", "sexton", 6.0, 4.0),
    ],
)
def test_a_stop_while_sinking_is_felt_once_to_twice(name: str, who: str, slow_m_s2: float, before_m_s2: float):
    """A deceleration that sets in swings an undamped spring to twice itself; damped, to between once and twice.

    What the move's own acceleration left swinging adds at most as much again of that.
    """
    felt = result(name).cases["operator stop"].performers[who].peak_g
    assert 1.0 + slow_m_s2 / G < felt < 1.0 + 2.0 * (slow_m_s2 + before_m_s2) / G
