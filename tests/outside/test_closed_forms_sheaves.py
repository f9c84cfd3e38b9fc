"""Sheaves, bars and tackles against closed forms. Tolerances: 0.1 %, tackles 0.5 %."""

import numpy as np
import pytest

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form, table
from tests.outside.rigs import G

HEAD_M = 20.0
DAMPED_S = 20e-3
"""Damping time that lets the bounce of a start die down within a run; loses nothing at steady speed."""


def late_mean(run: rigs.Run, column: str, last_s: float = 1.0) -> float:
    times = run.trace.time_s
    return float(run.trace.columns[column][times > times[-1] - last_s].mean())


LINE_KG_M = 5e-3
"""Light, but not so light that a bar, which has no inertia, costs millions of steps; own weight is reckoned with."""


# --- bars -------------------------------------------------------------------------------------------------------

CAPSTAN = [
    # friction, T1/T2 at 90 and at 180 degrees: e^(mu phi), encyclopedia article on the capstan equation
    (0.05, 1.0817, 1.1701),
    (0.10, 1.1701, 1.3691),
    (0.15, 1.2657, 1.6020),
    (0.20, 1.3691, 1.8745),
    (0.25, 1.4810, 2.1933),
    (0.30, 1.6020, 2.5663),
    (0.40, 1.8745, 3.5136),
]


@pytest.mark.parametrize("way", [-1, 1], ids=["taking in", "paying out"])
@pytest.mark.parametrize("wrap_deg", [90, 180])
@pytest.mark.parametrize(("friction", "quarter", "half"), CAPSTAN)
def test_line_sliding_over_a_bar(friction: float, quarter: float, half: float, wrap_deg: int, way: int, agrees: Agrees):
    ratio = float(np.exp(friction * np.radians(wrap_deg)))
    assert ratio == pytest.approx(quarter if wrap_deg == 90 else half, rel=5e-5)
    drive = rigs.at(0, 0, 0) if wrap_deg == 180 else rigs.at(-10, 0, HEAD_M)
    text = rigs.scenario(
        performers={"weight": rigs.performer(100.0, rigs.at(0, 0, 10))},
        lines={"line": rigs.line(200e3, ["winch", "bar", "weight"], damping_s=0.1, mass_kg_m=LINE_KG_M)},
        sheaves={"bar": rigs.bar(rigs.at(0, 0, HEAD_M), friction)},
        drives={"winch": rigs.winch(drive)},
        moves=[rigs.move(way * 20.0, 0.5, 0.5, 0.5)],
        duration_s=7.0,
    )
    run = rigs.run(text)
    assert late_mean(run, "force_N:weight harness") == pytest.approx(100.0 * G, rel=1e-3)
    source = closed_form("capstan equation, encyclopedia article")
    own = LINE_KG_M * G
    at_bar = 100.0 * G + own * (HEAD_M - late_mean(run, "height_m:weight"))
    behind = late_mean(run, "force_N:winch") + own * (HEAD_M if wrap_deg == 180 else 0.0)
    moving = "taking in" if way < 0 else "paying out"
    case = f"bar, {wrap_deg} degrees, friction {friction}, {moving}: ratio of tensions"
    agrees(case, source, behind / at_bar, ratio**-way, 1e-3)


@pytest.mark.parametrize("surplus", [0.99, 1.01])
def test_bar_holds_up_to_the_capstan_ratio(surplus: float):
    """A weight hung gently on the tail slides away only above e^(mu phi) times the counterweight on the other side."""
    friction, tail_kg = 0.2, 50.0
    ratio = float(np.exp(friction * np.pi))
    # The drive lowers the weight onto the line's tail until its own line is slack; only the bar then holds it.
    text = rigs.scenario(
        performers={"weight": rigs.performer(tail_kg * ratio * surplus, rigs.at(0, 0, 10))},
        lines={
            "line": rigs.line(
                400e3,
                ["counterweight", "bar", "weight"],
                damping_s=DAMPED_S,
                start_tension_N=tail_kg * G,
                mass_kg_m=1e-3,
            ),
            "lift": rigs.line(100e3, ["winch", "weight"], damping_s=DAMPED_S),
        },
        sheaves={"bar": rigs.bar(rigs.at(0, 0, HEAD_M), friction)},
        counterweights={"counterweight": {"mass": rigs.of(tail_kg, "kg"), "at": rigs.at(0, 0, 5)}},
        drives={"winch": rigs.winch(rigs.at(0, 0, HEAD_M))},
        moves=[rigs.move(0.5, 0.05, 0.1, 0.1)],
        duration_s=14.0,
    )
    run = rigs.run(text)
    fallen = float(run.trace.columns["height_m:weight"][0] - run.trace.columns["height_m:weight"][-1])
    if surplus > 1:
        assert fallen > 0.4
    else:
        assert fallen < 0.05
        assert late_mean(run, "force_N:winch") < 1.0


# --- two masses over one sheave ---------------------------------------------------------------------------------

ATWOOD = [
    # inertia kg m2, journal friction * pin / tread; a m/s2, both tensions, force on the axle N: any mechanics textbook
    (0.0, 0.0, 0.466983, 1027.363, 1027.363, 2054.727),
    (0.05, 0.0, 0.462093, 1027.901, 1026.874, 2054.776),
    (0.0, 0.01, 0.369093, 1038.131, 1017.574, 2055.706),
    (0.05, 0.01, 0.365226, 1038.557, 1017.188, 2055.744),
]


@pytest.mark.parametrize(("inertia", "journal", "acceleration", "heavy_N", "light_N", "axle_N"), ATWOOD)
def test_two_masses_over_a_sheave(
    inertia: float,
    journal: float,
    acceleration: float,
    heavy_N: float,
    light_N: float,
    axle_N: float,
    agrees: Agrees,
):
    heavy, light, radius = 110.0, 100.0, 0.15
    formula = G * (heavy * (1 - journal) - light * (1 + journal))
    formula /= heavy * (1 - journal) + light * (1 + journal) + inertia / radius**2
    assert formula == pytest.approx(acceleration, rel=2e-6)
    text = rigs.scenario(
        performers={"heavy": rigs.performer(heavy, rigs.at(0, 0, 14), release_s=0.1)},
        lines={
            "line": rigs.line(
                400e3, ["light", "sheave", "heavy"], damping_s=DAMPED_S, start_tension_N=0.5 * axle_N, mass_kg_m=1e-3
            )
        },
        sheaves={
            "sheave": rigs.sheave(rigs.at(0, 0, HEAD_M), tread_m=2 * radius, inertia_kg_m2=inertia, journal=journal)
        },
        counterweights={
            "light": {"mass": rigs.of(light, "kg"), "at": rigs.at(0, 0, 12), "start": "held", "release": "0.1 s"}
        },
        duration_s=3.1,
    )
    run = rigs.run(text)
    times, columns = run.trace.time_s, run.trace.columns
    late = times > 1.6
    fall = -np.polyfit(times[late], columns["speed_m_s:heavy"][late], 1)[0]
    case = f"two masses over a sheave of {inertia} kg m2, journal {journal}"
    source = closed_form("two masses over a pulley, mechanics textbooks")
    agrees(f"{case}: acceleration", source, fall, formula, 1e-3, "m/s2")
    for column, force_N, what in (
        ("tension_N:line:sheave -> heavy", heavy_N, "tension at the heavy one"),
        ("tension_N:line:light -> sheave", light_N, "tension at the light one"),
        ("force_N:sheave", axle_N, "force on the axle"),
    ):
        agrees(f"{case}: {what}", source, columns[column][late].mean(), force_N, 1e-3, "N")


# --- pin loads --------------------------------------------------------------------------------------------------

RESULTANTS = {
    0: 2.00, 10: 1.99, 20: 1.97, 30: 1.93, 40: 1.87, 45: 1.84, 50: 1.81, 60: 1.73, 70: 1.64, 80: 1.53, 90: 1.41,
    100: 1.29, 110: 1.15, 120: 1.00, 130: 0.84, 135: 0.76, 140: 0.68, 150: 0.52, 160: 0.35, 170: 0.17, 180: 0.0,
}  # fmt: skip
"""Angle between the legs -> published factor on the line's tension (block angle-factor table of rigging handbooks;
cut off, not rounded, at 40, 45, 130 and 135 degrees, so it holds to 0.01)."""


@pytest.mark.parametrize(("angle_deg", "published"), RESULTANTS.items())
def test_force_on_a_sheave(angle_deg: int, published: float, agrees: Agrees):
    angle = np.radians(angle_deg)
    exact = 2 * np.cos(angle / 2)
    assert exact == pytest.approx(published, abs=0.0101)
    text = rigs.scenario(
        performers={"weight": rigs.performer(84.0, rigs.at(0, 0, HEAD_M - 3))},
        lines={"line": rigs.line(400e3, ["anchor", "sheave", "weight"])},
        sheaves={"sheave": rigs.sheave(rigs.at(0, 0, HEAD_M))},
        anchors={"anchor": {"at": rigs.at(5 * np.sin(angle), 0, HEAD_M - 5 * np.cos(angle))}},
        duration_s=0.1,
    )
    case = rigs.run(text).case
    found = case.static_N["sheave"] / (84.0 * G)
    legs = f"sheave, {angle_deg} degrees between the legs: force over tension"
    agrees(legs, closed_form("2 cos(angle / 2), statics"), found, exact, allowed_abs=max(1e-3 * exact, 1e-6))
    source = table("block angle-factor table of rigging handbooks, cut off to two places")
    agrees(f"{legs}, as printed", source, found, published, allowed_abs=0.0101)
    assert case.static_N["anchor"] == pytest.approx(84.0 * G, rel=1e-3)


# --- tackles ----------------------------------------------------------------------------------------------------

MANUAL = "Wire Rope Users Manual, 4th ed. (Wire Rope Technical Board)"
PUBLISHED = {(1.09, 4): 0.309}
"""Loss and parts -> what the handbook prints; the rest follows from its formula."""
TACKLES = {
    # loss ratio per sheave -> force at the hauling end over load, by parts 1 to 8 (as many sheaves as parts).
    # Wire Rope Users Manual, 4th ed. (Wire Rope Technical Board): 1.09 plain, 1.04 anti-friction bearings.
    1.09: (1.0900, 0.5685, 0.3951, 0.3087, 0.2571, 0.2229, 0.1987, 0.1807),
    1.04: (1.0400, 0.5302, 0.3603, 0.2755, 0.2246, 0.1908, 0.1666, 0.1485),
    1.02: (1.0200, 0.5150, 0.3468, 0.2626, 0.2122, 0.1785, 0.1545, 0.1365),
    1.10: (1.1000, 0.5762, 0.4021, 0.3155, 0.2638, 0.2296, 0.2054, 0.1874),
}


def tackle(parts: int, loss: float, way: int, by: str, extra_sheaves: int = 0) -> rigs.Run:
    """Fixed sheaves at one place, moving ones on the performer straight below; the line hauled down by the winch."""
    share = (loss - 1) / (loss + 1)
    kind = (share, 0.0) if by == "journal" else (0.0, 2 * share)
    sheaves: dict[str, object] = {}
    route = ["anchor"] if parts % 2 == 0 else ["weight"]
    for i in range(parts):
        moving = (i + parts) % 2 == 0
        name = f"{'moving' if moving else 'fixed'} {i}"
        place, carrier = (None, "weight") if moving else (rigs.at(0, 0, HEAD_M), None)
        sheaves[name] = rigs.sheave(place, carried_by=carrier, inertia_kg_m2=0.002, journal=kind[0], bending=kind[1])
        route.append(name)
    for i in range(extra_sheaves):
        sheaves[f"lead {i}"] = rigs.sheave(
            rigs.at(0, 0, 0 if i % 2 == 0 else HEAD_M), inertia_kg_m2=0.002, journal=kind[0], bending=kind[1]
        )
        route.append(f"lead {i}")
    down = extra_sheaves % 2 == 0
    text = rigs.scenario(
        performers={"weight": rigs.performer(100.0, rigs.at(0, 0, 10))},
        lines={"line": rigs.line(400e3, [*route, "winch"], damping_s=DAMPED_S)},
        sheaves=sheaves,
        anchors={"anchor": {"at": rigs.at(0, 0, HEAD_M)}} if parts % 2 == 0 else {},
        drives={"winch": rigs.winch(rigs.at(0, 0, 0 if down else HEAD_M))},
        moves=[rigs.move(way * 40.0, 0.3 * parts, 0.3 * parts, 0.3 * parts)],
        duration_s=6.0,
    )
    return rigs.run(text)


@pytest.mark.parametrize("by", ["journal", "bending"])
@pytest.mark.parametrize("parts", range(1, 9))
@pytest.mark.parametrize("loss", TACKLES)
def test_hauling_a_tackle(loss: float, parts: int, by: str, agrees: Agrees):
    formula = loss**parts * (loss - 1) / (loss**parts - 1)
    assert formula == pytest.approx(TACKLES[loss][parts - 1], rel=3e-4)
    found = late_mean(tackle(parts, loss, -1, by), "force_N:winch") / (100.0 * G)
    case = f"hauling, parts: {parts}, {loss} a sheave, {by}: lead over load"
    agrees(case, closed_form(f"lead-line factor, formula of {MANUAL}"), found, formula, 5e-3)
    if (loss, parts) in PUBLISHED:
        agrees(f"{case}, as printed", table(MANUAL), found, PUBLISHED[loss, parts], 5e-3)


@pytest.mark.parametrize("parts", [1, 2, 3, 4])
def test_lowering_a_tackle(parts: int, agrees: Agrees):
    """Lowering, the losses help: the same formula with 1 / K."""
    formula = 1.04**-parts * (1.04**-1 - 1) / (1.04**-parts - 1)
    found = late_mean(tackle(parts, 1.04, 1, "journal"), "force_N:winch") / (100.0 * G)
    source = closed_form("the lead-line formula with 1 / K, mechanics textbooks")
    agrees(f"lowering, parts: {parts}, 1.04 a sheave: lead over load", source, found, formula, 5e-3)


def test_tackle_with_two_lead_sheaves(agrees: Agrees):
    """Wire Rope Users Manual, 4th ed.: four parts on plain bearings and two lead sheaves, 0.309 * 1.09^2 = 0.367."""
    run = tackle(4, 1.09, -1, "journal", extra_sheaves=2)
    found = late_mean(run, "force_N:winch") / (100.0 * G)
    agrees("hauling, parts: 4, two lead sheaves, 1.09 a sheave: lead over load", table(MANUAL), found, 0.367, 5e-3)
