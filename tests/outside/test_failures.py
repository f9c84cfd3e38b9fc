"""Single failures against equations written here, from Newton's second law, and against closed forms.

Parted line and lost sheave: point masses on linear springs that only pull, integrated by SciPy (DOP853), every equation
below. Snag: the closed form of a mass on a spring whose end stops, T = m g + v sqrt(k m) (any textbook on vibrations).
"""

from __future__ import annotations

import math

import numpy as np
from scipy.integrate import solve_ivp

from sim.studies.failures import LOST_WITH_AN_ANCHOR_KG
from tests.outside.accuracy.rows import Agrees, apart, closed_form
from tests.outside.rigs import G, anchor, at, line, move, of, performer, run_stop, scenario, sheave, winch

LIBRARY = apart("SciPy solve_ivp (DOP853), point masses on springs that only pull")


def pull(here: np.ndarray, there: np.ndarray, stiffness_N: float, length_m: float) -> np.ndarray:
    """Force on the point here of a spring of line to the point there: only when longer than its length."""
    way = there - here
    distance = float(np.linalg.norm(way))
    return max(stiffness_N * (distance / length_m - 1.0), 0.0) * way / distance


def integrated(slope, start: list[float], end_s: float):
    """The states at 20 kHz."""
    times = np.arange(0.0, end_s, 5e-5)
    found = solve_ivp(slope, (0.0, end_s), start, method="DOP853", rtol=1e-10, atol=1e-10, max_step=1e-3, t_eval=times)
    assert found.success
    return found.t, found.y


def test_a_performer_on_two_lines_swings_on_the_one_that_is_left(agrees: Agrees):
    mass, ea, parts_s, end_s = 80.0, 300e3, 0.3, 3.0
    left, right, start = np.array([-4.0, 0.0, 10.0]), np.array([4.0, 0.0, 10.0]), np.array([-1.0, 0.0, 5.0])
    text = scenario(
        performers={"p": performer(mass, at(*start))},
        lines={"left": line(ea, ["left beam", "p"]), "right": line(ea, ["right beam", "p"])},
        anchors={"left beam": anchor(*left), "right beam": anchor(*right)},
        faults=[{"parted line": "left", "when": of(parts_s, "s")}],
        duration_s=end_s,
    )
    found = run_stop(text, "parted line, left")
    # lengths from rest: both tensions balance the weight
    ways = [(x - start) / np.linalg.norm(x - start) for x in (left, right)]
    tension = np.linalg.solve(np.array([[w[0] for w in ways], [w[2] for w in ways]]), [0.0, mass * G])
    length = np.linalg.norm(right - start) / (1.0 + tension[1] / ea)

    def slope(t: float, y: np.ndarray) -> np.ndarray:
        force = pull(y[:3], right, ea, length)
        return np.concatenate([y[3:], force / mass - [0.0, 0.0, G]])

    _, y = integrated(slope, [*start, 0.0, 0.0, 0.0], end_s - parts_s)
    tensions = [np.linalg.norm(pull(x, right, ea, length)) for x in y[:3].T]
    agrees("parted line: peak in the other", LIBRARY, found.case.peaks["right"].force_N, max(tensions), 1e-3, "N")
    lowest = found.case.performers["p"].lowest_height_m
    agrees("parted line: lowest height", LIBRARY, lowest, y[2].min(), unit="m", allowed_abs=1e-3)
    ours = np.interp(1.5, found.trace.time_s, found.trace.columns["x_m:p"])
    theirs = np.interp(1.5 - parts_s, _, y[0])
    agrees("parted line: swung aside after 1.2 s", LIBRARY, ours, theirs, unit="m", allowed_abs=2e-3)
    after = found.trace.time_s > parts_s + 1e-3
    assert found.trace.columns["tension_N:left:left beam -> p"][after].max() < 1e-3  # its own weight is left


def test_a_line_that_loses_its_sheave_drops_to_the_next_place(agrees: Agrees):
    mass, bead, ea, lost_s, end_s = 80.0, 1.0, 300e3, 0.2, 2.5
    beam, head, start = np.array([-3.0, 0.0, 8.0]), np.array([0.0, 0.0, 8.0]), np.array([0.0, 0.0, 6.0])
    text = scenario(
        performers={"p": performer(mass, at(*start))},
        lines={"line": line(ea, ["beam", "head", "p"], mass_kg_m=1e-6)},
        anchors={"beam": anchor(*beam)},
        sheaves={"head": sheave(at(*head), mass_kg=bead)},
        faults=[{"lost point": "head", "when": of(lost_s, "s")}],
        duration_s=end_s,
    )
    found = run_stop(text, "lost point, head")
    stretched = 1.0 + mass * G / ea
    first, second = 3.0 / stretched, 2.0 / stretched

    def slope(t: float, y: np.ndarray) -> np.ndarray:
        sheave_at, person = y[:3], y[3:6]
        up, down = pull(sheave_at, beam, ea, first), pull(sheave_at, person, ea, second)
        weight = np.array([0.0, 0.0, -G])
        return np.concatenate([y[6:], (up + down) / bead + weight, pull(person, sheave_at, ea, second) / mass + weight])

    _, y = integrated(slope, [*head, *start, *np.zeros(6)], end_s - lost_s)
    last = [np.linalg.norm(pull(b, a, ea, second)) for a, b in zip(y[:3].T, y[3:6].T, strict=True)]
    falling = found.trace.columns["height_m:p"]
    lowest = found.case.performers["p"].lowest_height_m
    agrees("lost sheave: lowest height", LIBRARY, lowest, y[5].min(), unit="m", allowed_abs=0.01)
    agrees(
        "lost sheave: peak at the performer", LIBRARY, found.case.peaks["line:head -> p"].force_N, max(last), 0.01, "N"
    )
    assert max(last) > 5 * mass * G, "no slam: the check would say nothing"
    quarter = lost_s + 0.2
    assert np.interp(quarter, found.trace.time_s, falling) < start[2] - 0.05


def test_a_snag_stops_the_performer_as_a_locked_winch_would(agrees: Agrees):
    mass, ea, speed, snag_s = 80.0, 200e3, 2.0, 0.5
    text = scenario(
        performers={"p": performer(mass, at(0, 0, 4))},
        lines={"line": line(ea, ["winch", "head", "p"])},
        sheaves={"head": sheave(at(0, 0, 10), inertia_kg_m2=1e-9)},
        drives={"winch": winch(at(-5, 0, 10))},
        moves=[move(3.0, speed)],
        faults=[{"snag": {"line": "line", "sheave": "head"}, "when": of(snag_s, "s")}],
        duration_s=1.0,
    )
    found = run_stop(text, "snag, line")
    case = found.case
    # what hangs below the sheave when it catches: 6 m and what was paid out, and the start bounced it, undamped
    start_bounce = found.trace.columns["speed_m_s:p"]
    speed_then = float(np.interp(snag_s, found.trace.time_s, start_bounce))
    tension_then = float(np.interp(snag_s, found.trace.time_s, found.trace.columns["tension_N:line:head -> p"]))
    unstretched = (10.0 - np.interp(snag_s, found.trace.time_s, found.trace.columns["height_m:p"])) / (
        1.0 + tension_then / ea
    )
    k = ea / unstretched
    expected = mass * G + math.hypot(speed_then * math.sqrt(k * mass), tension_then - mass * G)
    after = found.trace.time_s > snag_s
    source = closed_form("m g + v sqrt(k m) with the bounce there is, vibration textbooks")
    peak = found.trace.columns["tension_N:line:head -> p"][after].max()
    agrees("snag at a sheave: peak", source, peak, expected, 1e-3, "N")
    behind = found.trace.columns["tension_N:line:winch -> head"][found.trace.time_s > snag_s + 0.05]
    assert behind.max() < 1e-3, "the winch pays out slack"
    assert any(e.what == "line catches" and e.where == "line at head" for e in case.events)


def test_a_lost_anchor_lets_the_performer_fall_freely(agrees: Agrees):
    lost_s, end_s = 0.1, 0.9
    text = scenario(
        performers={"p": performer(80.0, at(0, 0, 8))},
        lines={"line": line(300e3, ["beam", "p"])},
        anchors={"beam": anchor(0, 0, 10)},
        faults=[{"lost point": "beam", "when": of(lost_s, "s")}],
        duration_s=end_s,
    )
    found = run_stop(text, "lost point, beam")
    # two masses on a spring let go: the line's stretch throws the light end after the performer, who gets the recoil
    person, end, length = 80.0, LOST_WITH_AN_ANCHOR_KG, 2.0 / (1.0 + 80.0 * G / 300e3)
    apart_m_s = person * G / math.sqrt(300e3 / length * person * end / (person + end))
    recoil_m_s = end / (person + end) * apart_m_s
    falls_s = end_s - lost_s
    expected = 8.0 - 0.5 * G * falls_s**2 + recoil_m_s * falls_s
    source = closed_form("free fall and the line's recoil on its end, mechanics textbooks")
    height = found.trace.columns["height_m:p"][-1]
    agrees("lost anchor: height after 0.8 s", source, height, expected, unit="m", allowed_abs=1e-3)
    assert recoil_m_s * falls_s > 5e-3, "nothing to see"
