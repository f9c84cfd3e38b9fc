"""Lines with mass against closed forms: waves, sag, own weight. Tolerances: waves 2 %, hanging at rest 0.1 %."""

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.outside import rigs
from tests.outside.accuracy.rows import Agrees, closed_form
from tests.outside.reference import statics
from tests.outside.rigs import G

STIFFNESS_N, MASS_KG_M, LENGTH_M = 1985.8e3, 0.1637, 30.0
"""1/4 in 7x19 galvanised aircraft cable."""
WAVE_M_S = float(np.sqrt(STIFFNESS_N / MASS_KG_M))
IMPEDANCE = float(np.sqrt(STIFFNESS_N * MASS_KG_M))
BARS = closed_form("waves in bars, theory-of-elasticity textbooks")
IMPACTS = closed_form("mass hitting a bar, Timoshenko and Goodier, chapter on waves (from memory)")

# Something has to be a performer; this one hangs aside on its own line and does nothing.
ASIDE = {"idle": rigs.performer(80.0, rigs.at(100, 0, 10))}
ASIDE_LINE = {"idle line": rigs.line(400e3, ["idle anchor", "idle"])}
ASIDE_ANCHOR = {"idle anchor": {"at": rigs.at(100, 0, 20)}}


# --- waves ------------------------------------------------------------------------------------------------------


def test_stopped_end_sends_a_front(agrees: Agrees):
    """A speed step v at one end adds v sqrt(EA rho) there, travels at sqrt(EA/rho) and doubles at a fixed end: waves in
    bars, theory-of-elasticity textbooks. The discrete line rings about the front, so plateaus are compared."""
    assert pytest.approx(3483.0, rel=1e-4) == WAVE_M_S
    assert pytest.approx(1710.5, rel=1e-4) == 3.0 * IMPEDANCE
    transit, start = LENGTH_M / WAVE_M_S, 0.001
    text = rigs.scenario(
        performers=ASIDE,
        lines=ASIDE_LINE | {"line": rigs.line(STIFFNESS_N, ["winch", "anchor"], damping_s=1e-5, mass_kg_m=MASS_KG_M,
                                              elements=100, start_tension_N=5000.0)},
        anchors=ASIDE_ANCHOR | {"anchor": {"at": rigs.at(0, 0, 0)}},
        drives={"winch": rigs.winch(rigs.at(0, 0, LENGTH_M))},
        moves=[rigs.move(-0.3, 3.0, start_s=start)],
        duration_s=start + 3 * transit,
        sample_rate_Hz=50_000,
        tolerance=1e-6,
    )  # fmt: skip
    run = rigs.run(text)
    times, columns = run.trace.time_s - start, run.trace.columns

    def plateau(column: str, from_transit: float, to_transit: float) -> float:
        within = (times > from_transit * transit) & (times < to_transit * transit)
        return float(columns[column][within].mean() - columns[column][0])

    agrees("speed step at one end: force there", BARS, plateau("force_N:winch", 0.2, 1.8), 3.0 * IMPEDANCE, 0.02, "N")
    far = plateau("force_N:anchor", 1.2, 2.8)
    agrees("speed step at one end: force at the fixed one", BARS, far, 6.0 * IMPEDANCE, 0.02, "N")
    half = np.flatnonzero(columns["force_N:anchor"] - columns["force_N:anchor"][0] > 3.0 * IMPEDANCE)[0]
    agrees("speed step at one end: time to the other", BARS, times[half], transit, 0.02, "s")


IMPACT = [(10, 4.323), (20, 5.586), (40, 7.333), (100, 11.02)]
"""Mass over line mass -> peak at the far end over v sqrt(EA rho): a mass hitting the end of a bar (Timoshenko and
Goodier, Theory of Elasticity, chapter on waves, citation from memory; solved by characteristics)."""


def hanging_weight_started_at_once(ratio: int, speed: float, transits: float, start: float = 0.001):
    """A weight of so many times the line's mass, whose other end starts with a speed step. Small v: own weight and sag
    of tension play no part. By reciprocity the weight feels the force at the fixed end of a bar it hits."""
    mass = ratio * MASS_KG_M * LENGTH_M
    text = rigs.scenario(
        performers={"weight": rigs.performer(mass, rigs.at(0, 0, 10))},
        lines={"line": rigs.line(STIFFNESS_N, ["winch", "weight"], damping_s=1e-6, mass_kg_m=MASS_KG_M, elements=200)},
        drives={"winch": rigs.winch(rigs.at(0, 0, 10 + LENGTH_M))},
        moves=[rigs.move(-2.0, speed, start_s=start)],
        duration_s=start + LENGTH_M / WAVE_M_S * transits,
        sample_rate_Hz=20_000,
        tolerance=1e-6,
    )
    return rigs.run(text), mass


@pytest.mark.parametrize(("ratio", "peak"), IMPACT)
def test_drive_started_at_once_under_a_heavy_line(ratio: int, peak: float, agrees: Agrees):
    run, mass = hanging_weight_started_at_once(ratio, 0.05, 3.5 + 2.0 * np.sqrt(ratio))
    added = run.case.peaks["weight harness"].force_N - mass * G
    agrees(
        f"mass of {ratio} times the line's: peak over v sqrt(EA rho)", IMPACTS, added / (0.05 * IMPEDANCE), peak, 0.02
    )


@pytest.mark.parametrize("ratio", [1, 2, 4])
def test_drive_started_at_once_over_a_light_weight(ratio: int, agrees: Agrees):
    """A light weight's force jumps to 2 v Z and decays as exp(-Z t / M) until the next front (the same textbook). Its
    peaks are edges, which a line of 200 lumps rounds by up to 4 %, so the decay between two fronts is compared."""
    run, mass = hanging_weight_started_at_once(ratio, 0.05, 3.5)
    passed = (run.trace.time_s - 0.001) / (LENGTH_M / WAVE_M_S)
    between = (passed > 1.2) & (passed < 2.8)
    added = (run.trace.columns["force_N:weight harness"] - mass * G) / (0.05 * IMPEDANCE)
    decays = 2.0 * np.exp(-(passed[between] - 1.0) / ratio).mean()
    agrees(f"mass of {ratio} times the line's: mean between two fronts", IMPACTS, added[between].mean(), decays, 0.02)


@pytest.mark.parametrize(("part", "root"), [(0.1, 0.311053), (0.5, 0.653271), (1.0, 0.860334)])
def test_bounce_on_a_heavy_line(part: float, root: float, agrees: Agrees):
    """beta tan beta = line mass / mass, omega = beta c / L: fixed-free bar with end mass, vibration textbooks. Tighter
    than the waves (0.2 %), so that line mass lumped as a third of itself would not pass at 1."""
    assert brentq(lambda b: b * np.tan(b) - part, 1e-6, 1.5) == pytest.approx(root, rel=2e-6)
    mass = MASS_KG_M * LENGTH_M / part
    period = 2 * np.pi / (root * WAVE_M_S / LENGTH_M)
    text = rigs.scenario(
        performers={"weight": rigs.performer(mass, rigs.at(0, 0, 10))},
        lines={"line": rigs.line(STIFFNESS_N, ["winch", "weight"], damping_s=1e-5, mass_kg_m=MASS_KG_M, elements=40)},
        drives={"winch": rigs.winch(rigs.at(0, 0, 10 + LENGTH_M))},
        moves=[rigs.move(-1e-5, 1.0, 1e-4 / period**2, 1e-4 / period**2)],
        duration_s=13 * period,
        sample_rate_Hz=200 / period,
        tolerance=1e-9,
    )
    run = rigs.run(text)
    late = run.trace.time_s > 2 * period
    times, height = run.trace.time_s[late], run.trace.columns["height_m:weight"][late]
    height = height - 0.5 * (height.max() + height.min())
    rising = np.flatnonzero((height[:-1] < 0) & (height[1:] >= 0))
    crossings = times[rising] - height[rising] * (times[1] - times[0]) / (height[rising + 1] - height[rising])
    found = (crossings[-1] - crossings[0]) / (len(crossings) - 1)
    assert len(crossings) >= 9
    source = closed_form("fixed-free bar with end mass, vibration textbooks")
    agrees(f"bounce, line mass {part} of the mass: period", source, found, period, 2e-3, "s")


# --- at rest ----------------------------------------------------------------------------------------------------


def anchored(span_m: float, weight_N_m: float, stiffness_N: float, length_m: float) -> rigs.Run:
    """A line between two level anchors."""
    line = rigs.line(stiffness_N, ["left", "right"], mass_kg_m=weight_N_m / G, length_m=length_m)
    text = rigs.scenario(
        performers=ASIDE,
        lines=ASIDE_LINE | {"line": line},
        anchors=ASIDE_ANCHOR | {"left": {"at": rigs.at(0, 0, 20)}, "right": {"at": rigs.at(span_m, 0, 20)}},
        duration_s=0.1,
    )
    return rigs.run(text)


CATENARIES = [
    # span m, weight N/m, EA N, unstretched m; horizontal pull N, tension at the end N: elastic catenary, Irvine, Cable
    # Structures, section 1.3; the same expressions in a finite-element code's verification manual
    (30.0, 1.605, 1.986e6, 30.10, 168.172, 169.898),
    (30.0, 1.605, 1.986e6, 30.01, 420.800, 421.488),
    (30.0, 1.605, 1.986e6, 29.99, 899.239, 899.561),
]


@pytest.mark.parametrize(("span_m", "weight", "stiffness", "length_m", "pull_N", "end_N"), CATENARIES)
def test_sagging_line(
    span_m: float, weight: float, stiffness: float, length_m: float, pull_N: float, end_N: float, agrees: Agrees
):
    half = 0.5 * weight * length_m
    assert 2 * pull_N / weight * np.arcsinh(half / pull_N) + pull_N * length_m / stiffness == pytest.approx(
        span_m, rel=1e-6
    )
    assert np.hypot(pull_N, half) == pytest.approx(end_N, rel=1e-5)
    case = anchored(span_m, weight, stiffness, length_m).case
    source = closed_form("elastic catenary, Irvine, Cable Structures, section 1.3")
    for end in ("left", "right"):
        agrees(f"{length_m} m of line over {span_m} m: {end} end", source, case.static_N[end], end_N, 1e-3, "N")


@pytest.mark.parametrize("tension_N", [600.0, 1500.0])
def test_level_span_gives_as_its_sag_and_stretch_say(tension_N: float, agrees: Agrees):
    """Ernst's equivalent stiffness EA / (1 + (w l)^2 EA / (12 T^3)), cable-stayed-bridge textbooks (from memory), for
    a small, slow pull on a level 30 m span; over the step the parabola's own law is integrated."""
    weight, step = 1.605, 0.2e-3
    text = rigs.scenario(
        performers=ASIDE,
        lines=ASIDE_LINE | {"line": rigs.line(1985.8e3, ["winch", "right"], mass_kg_m=weight / G, damping_s=1e-3,
                                              start_tension_N=tension_N)},
        anchors=ASIDE_ANCHOR | {"right": {"at": rigs.at(30, 0, 20)}},
        drives={"winch": rigs.winch(rigs.at(0, 0, 20))},
        moves=[rigs.move(-step, 1.0, 2 * step, 2 * step, jerk_m_s3=step)],
        duration_s=10.0,
    )  # fmt: skip
    run = rigs.run(text)
    force = run.trace.columns["force_N:right"]
    added = float(force[run.trace.time_s > 8.0].mean() - force[0])
    middle = tension_N + 0.5 * added
    part = 1 / (1 + (weight * 30) ** 2 * 1985.8e3 / (12 * middle**3))
    assert part == pytest.approx(0.360 if tension_N == 600.0 else 0.898, rel=0.02)
    source = closed_form("equivalent stiffness of a sagging span, Ernst, cable-stayed-bridge textbooks (from memory)")
    formula = step * part * 1985.8e3 / 30
    agrees(f"level span at {tension_N:.0f} N, a small pull: force added", source, added, formula, 5e-3, "N")


def test_own_weight_stretches_a_hanging_line(agrees: Agrees):
    """w L^2 / (2 EA) more than the load alone stretches it: 0.3637 mm of 30 m of 1/4 in cable."""
    weight = MASS_KG_M * G
    assert weight * LENGTH_M**2 / (2 * STIFFNESS_N) == pytest.approx(0.3637e-3, rel=1e-3)

    def hangs_at(elements: int) -> float:
        line = rigs.line(STIFFNESS_N, ["anchor", "weight"], mass_kg_m=MASS_KG_M, length_m=LENGTH_M, elements=elements)
        text = rigs.scenario(
            performers={"weight": rigs.performer(84.0, rigs.at(0, 0, 50.0 - LENGTH_M - stretched))},
            lines={"line": line}, anchors={"anchor": {"at": rigs.at(0, 0, 50)}}, duration_s=1.0,
        )  # fmt: skip
        height = rigs.run(text).trace.columns["height_m:weight"]
        return float(50.0 - LENGTH_M - 0.5 * (height.max() + height.min()))

    stretched = LENGTH_M * 84.0 * G / STIFFNESS_N + weight * LENGTH_M**2 / (2 * STIFFNESS_N)
    along, up = statics.span_pulls(0.0, -LENGTH_M - stretched, LENGTH_M, weight, STIFFNESS_N)
    assert (along, -up) == pytest.approx((0.0, 84.0 * G + weight * LENGTH_M), rel=1e-6, abs=1e-6)
    for elements in (1, 4):
        case = f"line under its own weight and a load, elements: {elements}: stretch"
        agrees(
            case,
            closed_form("w L^2 / (2 EA), strength-of-materials textbooks"),
            hangs_at(elements),
            stretched,
            1e-3,
            "m",
        )
