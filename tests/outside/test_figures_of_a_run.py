"""Figures that are read off a run beside its forces: slack, a drum without power, a harness on hips, the floor's push.

Each rig is so plain that free fall or a balance of momentum has its answer (any mechanics
textbook). Slack is how long all lines together pull by less than a twentieth of the weight: line that hangs loose
behind a sheave still pulls by what the sheave weighs, a few newtons, and bears nobody.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form
from tests.outside.rigs import G, at, of

FREE_FALL = closed_form("free fall, mechanics textbooks")
MOMENTUM = closed_form("momentum gained, mechanics textbooks")
LET_GO_S = 0.1
BITES_AT_ONCE = [{"force": "3 kN", "delay": "0 s", "rise": "0 s"}]


@pytest.mark.parametrize(
    ("winch", "elements"), [((5, 0, 1), 1), ((5, 0, 1), 3), ((0, 0, 1), 3), ((0, 0, 12), 3), ((2, 0, 6), 3)]
)
def test_slack_ends_where_free_fall_has_taken_it_up(winch: tuple[float, float, float], elements: int, agrees: Agrees):
    """Wherever the slack hangs: at the performer or behind the sheave, straight down, aslant or level."""
    slack_m, end_s = 1.0, LET_GO_S + np.sqrt(2.0 / G) + 0.02
    text = rigs.scenario(
        performers={"flyer": rigs.performer(80.0, at(5, 0, 10), release_s=LET_GO_S)},
        lines={
            "line": {
                **rigs.line(400e3, ["winch", "head", "flyer"], damping_s=1e-4, mass_kg_m=0.02, elements=elements),
                "slack": of(slack_m, "m"),
            }
        },
        sheaves={"head": rigs.sheave(at(5, 0, 12), journal=3e-4, inertia_kg_m2=1e-4)},
        drives={"winch": rigs.winch(at(*winch))},
        duration_s=end_s,
        tolerance=1e-6,
    )
    found = rigs.run(text).case.performers["flyer"]
    what = f"fall onto 1 m of slack, winch at {winch[0]:g}, {winch[2]:g} m, {elements} a span: until a line bears"
    agrees(what, FREE_FALL, found.slack_s, LET_GO_S + np.sqrt(2.0 * slack_m / G), 0.01, "s")


def hanging(mass_kg: float = 80.0, **more: object) -> dict[str, object]:
    """The parts of a performer hanging 20 m below a sheave, on a winch beside it."""
    return {
        "performers": {"flyer": rigs.performer(mass_kg, at(5, 0, 30))},
        "lines": {"line": rigs.line(400e3, ["winch", "head", "flyer"], damping_s=1e-5, mass_kg_m=1e-3)},
        "sheaves": {"head": rigs.sheave(at(5, 0, 50), inertia_kg_m2=1e-4)},
        "tolerance": 1e-7,
        **more,
    }


def test_a_line_that_parts_bears_nobody(agrees: Agrees):
    parts_s, end_s = 0.3, 1.0
    text = rigs.scenario(
        **hanging(drives={"winch": rigs.winch(at(0, 0, 50))}),  # pyright: ignore[reportArgumentType]
        faults=[{"parted line": "line", "when": of(parts_s, "s")}],
        duration_s=end_s,
    )
    found = rigs.run_stop(text, "parted line, line").case.performers["flyer"]
    agrees("parted line: slack until the end", FREE_FALL, found.slack_s, end_s - parts_s, 1e-3, "s")


def test_a_drum_without_power_or_brake_is_pulled_faster(agrees: Agrees):
    """Nothing but its line acts on it from then on, so its momentum is what that pull gives it."""
    drum_kg, speed, off_s = 60.0, 2.0, 1.0
    text = rigs.scenario(
        **hanging(drives={"winch": rigs.winch(at(0, 0, 50), drum_kg)}),  # pyright: ignore[reportArgumentType]
        moves=[rigs.move(12.0, speed, 4.0, 4.0)],
        stops=[{"name": "off", "category": "0", "when": of(off_s, "s")}],
        duration_s=1.4,
        sample_rate_Hz=10000.0,
    )
    found = rigs.run_stop(text, "off")
    seen, pull = found.trace.time_s, found.trace.columns["tension_N:line:winch -> head"]
    free = seen >= off_s - 1e-9
    gained = np.cumsum(0.5 * np.diff(seen[free]) * (pull[free][1:] + pull[free][:-1])) / drum_kg
    top = speed + float(gained.max())
    agrees("drum without power: its top speed", MOMENTUM, found.case.drives["winch"].top_speed_m_s, top, 1e-3, "m/s")


def test_a_drum_that_never_moved_stands_at_once(agrees: Agrees):
    """Power off before the move, with brakes that bite at once."""
    text = rigs.scenario(
        **hanging(drives={"winch": rigs.winch(at(0, 0, 50), brakes=BITES_AT_ONCE)}),  # pyright: ignore[reportArgumentType]
        moves=[rigs.move(5.0, 2.0, 4.0, 4.0, start_s=0.5)],
        stops=[{"name": "off", "category": "0", "when": "0.2 s"}],
        duration_s=1.0,
    )
    did = rigs.run_stop(text, "off").case.drives["winch"]
    standing = closed_form("what stands stays")
    assert did.stopping_time_s is not None
    agrees("power off before the move: stopping time", standing, did.stopping_time_s, 0.0, unit="s", allowed_abs=1e-6)
    agrees("power off before the move: top speed", standing, did.top_speed_m_s, 0.0, unit="m/s", allowed_abs=1e-6)


def test_a_drum_that_runs_away_has_no_stopping_time():
    """It stands for an instant where it turns round, which is not where it stops."""
    text = rigs.scenario(
        **hanging(  # pyright: ignore[reportArgumentType]
            drives={"winch": rigs.winch(at(0, 0, 50), brakes=[{"force": "0.3 kN", "delay": "0.1 s", "rise": "0 s"}])}
        ),
        moves=[rigs.move(-3.0, 2.0, 8.0, 8.0)],
        stops=[{"name": "off", "category": "0", "when": "0.6 s"}],
        duration_s=2.0,
    )
    case = rigs.run_stop(text, "off").case
    assert any(event.what == "drum stands" for event in case.events)
    assert case.drives["winch"].runs_on


def fallen(body: str = "rigid") -> rigs.Run:
    """A performer on two hip points whose lines part: falls 2 m to the floor."""
    performer = {
        **rigs.performer(75.0, at(0, 0, 3)),
        "hook_mass": "1 kg",
        "mass": "75 kg",
        "body_below": "1 m",
        "body": {"lagging_mass": "30 %", "frequency": "5 Hz", "damping_ratio": "0.3"} if body != "rigid" else body,
        "harness": {"stiffness": "rigid", "points": {"hip": {"offset": at(0, 0, 0)}}},
    }
    text = rigs.scenario(
        performers={"flyer": performer},
        lines={"line": rigs.line(150e3, ["anchor", "hip"], damping_s=1e-3, mass_kg_m=1e-6)},
        anchors={"anchor": rigs.anchor(0, 0, 9)},
        faults=[{"parted line": "line", "when": "0.1 s"}],
        duration_s=1.6,
        sample_rate_Hz=10000.0,
        tolerance=1e-7,
    )
    return rigs.run_stop(f"floor: 0 m\n{text}", "parted line, line")


@pytest.mark.parametrize("body", ["rigid", "lagging"])
def test_a_harness_bears_nothing_of_what_the_floor_pushes(body: str, agrees: Agrees):
    """No line pulls from the parting on, so the most a harness bore is the body's weight at rest."""
    found = fallen(body)
    weight = closed_form("weight of the body")
    agrees(
        f"fallen, {body}: most on the harness", weight, found.case.peaks["flyer harness"].force_N, 75.0 * G, 1e-4, "N"
    )
    speed = found.case.performers["flyer"].landing_speed_m_s
    assert speed is not None
    agrees(f"fallen, {body}: landing speed", FREE_FALL, speed, np.sqrt(2.0 * G * 2.0), 1e-3, "m/s")


def test_the_floor_pushes_what_momentum_asks(agrees: Agrees):
    found = fallen()
    seen = found.trace.columns
    push = seen["floor_force_N:flyer"]
    gained = 76.0 * (
        seen["speed_m_s:flyer"][-1] - seen["speed_m_s:flyer"][1001] + G * (found.trace.time_s[-1] - 0.1001)
    )
    impulse = float(np.trapezoid(push, found.trace.time_s))
    agrees(
        "fallen: impulse of the floor",
        closed_form("momentum gained, mechanics textbooks"),
        impulse,
        gained,
        1e-3,
        "N s",
    )
    told = [event.where for event in found.case.events if "damping" in event.what and event.time_s > 0.1]
    assert told
    assert set(told) == {"flyer"}
