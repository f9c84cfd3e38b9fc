"""The outside models held against closed forms and each other, so that a disagreement means something."""

import dataclasses

import numpy as np
import pytest

from tests.outside.packages import BOTH, MUJOCO, Package
from tests.outside.reference import scenes, statics, two_span_ode
from tests.outside.reference.line_with_mass import HangingLine
from tests.outside.reference.motion import STANDING, PaidOut, trapezoid
from tests.outside.reference.scene import STEP_S, Scene

G = 9.80665
DROP = trapezoid(0.5, 8.4, 6.0, 5.0, 8.0)


def test_motion_agrees_with_kinematics():
    assert DROP.position_m(10.0) == pytest.approx(8.4, rel=1e-12)
    assert DROP.position_m(0.5 + 1.2) == pytest.approx(0.5 * 5.0 * 1.2**2, rel=1e-12)
    assert DROP.stopped(1.8, 12.0).position_m(10.0) == pytest.approx(DROP.position_m(1.8) + 36.0 / 24.0, rel=1e-12)


def _drop(motion: PaidOut, duration_s: float, step_s: float = STEP_S) -> Scene:
    return scenes.straight_drop(
        mass_kg=84.0, stretch_stiffness_N=4e5, hang_m=1.6, route_m=26.2, motion=motion, duration_s=duration_s,
        step_s=step_s,
    )  # fmt: skip


def _block(step_s: float) -> Scene:
    return scenes.moving_block(
        mass_kg=84.0, stretch_stiffness_N=4e5, performer_at_m=(0.2, 0.0, 8.0),
        fixed={"drive": (-5.0, 0.0, 0.0), "head": (0.0, 0.0, 12.0), "anchor": (0.4, 0.0, 12.0)},
        motion=trapezoid(0.2, 4.0, 3.0, 6.0, 6.0).stopped(1.0), duration_s=1.3, step_s=step_s,
    )  # fmt: skip


def _swing(angle_deg: float, stiffness_N: float, step_s: float = STEP_S) -> Scene:
    angle = np.radians(angle_deg)
    return scenes.swing(
        mass_kg=84.0, stretch_stiffness_N=stiffness_N, start_tension_N=84.0 * G * float(np.cos(angle)), duration_s=2.5,
        performer_from_top_m=(10 * float(np.sin(angle)), 0.0, -10 * float(np.cos(angle))), step_s=step_s,
    )  # fmt: skip


@pytest.mark.parametrize("package", BOTH, ids=lambda package: package.name)
class TestPackages:
    def test_instant_stop(self, package: Package):
        """mg + v sqrt(k m): impact on a spring, strength-of-materials textbooks."""
        mass, stiffness, speed, length = 100.0, 50e3, 2.0, 1000.0
        period = 2 * np.pi * np.sqrt(mass / stiffness)
        travel = speed * (2 * period + 0.2)
        motion = PaidOut((0.0, 4 * period, 4 * period + 0.2, 4 * period + 0.2), (0.0, speed, speed, 0.0))
        found = package.play(
            scenes.straight_drop(
                mass_kg=mass,
                stretch_stiffness_N=stiffness * length,
                hang_m=length - travel,
                motion=motion,
                duration_s=1.6,
            )
        )
        peak, _ = found.first_peak("line", 4 * period + 0.2)
        assert peak == pytest.approx(mass * G + speed * np.sqrt(stiffness * mass), rel=1e-3)

    @pytest.mark.parametrize("case", ["planned", "instant stop", "moving block", "swing"])
    def test_half_the_step_moves_the_first_peak_less_than_a_thousandth(self, case: str, package: Package):
        def peak(step_s: float) -> float:
            if case == "moving block":
                return package.play(_block(step_s)).first_peak("line", 1.0)[0]
            if case == "swing":
                return package.play(_swing(45.0, 4e5, step_s)).largest("line")[0]
            motion, after_s = (DROP, 1.9) if case == "planned" else (DROP.stopped(1.8), 1.8)
            return package.play(_drop(motion, 2.6, step_s)).first_peak("line", after_s)[0]

        assert peak(STEP_S) == pytest.approx(peak(STEP_S / 2), rel=1e-3)

    @pytest.mark.parametrize(("angle_deg", "ratio"), [(30.0, 1.267949), (45.0, 1.585786), (90.0, 3.0)])
    def test_swing_at_the_bottom(self, angle_deg: float, ratio: float, package: Package):
        """3 - 2 cos(angle): energy of a pendulum, any mechanics textbook."""
        found = package.play(_swing(angle_deg, 4e6))
        aside = np.sign(found.place_m["performer"][:, 0])
        lowest = int(np.argmax(np.abs(aside[1:] - aside[:-1])))
        assert found.tension_N["line"][lowest] / (84.0 * G) == pytest.approx(ratio, rel=1e-3)

    def test_counterweight(self, package: Package):
        """Two masses over a sheave with inertia: a = g (m1 - m2) / (m1 + m2 + I/R^2), any mechanics textbook."""
        rig = package.counterweight(
            performer_kg=110.0, counterweight_kg=100.0, inertia_kg_m2=0.05, tread_radius_m=0.15,
            stretch_stiffness_N=4e5, performer_hang_m=5.0, counterweight_hang_m=8.0, start_tension_N=1027.4,
            duration_s=1.0,
        )  # fmt: skip
        assert 2 * np.polyfit(rig.time_s, rig.performer_rise_m, 2)[0] == pytest.approx(-0.462093, rel=1e-3)
        assert rig.performer_tension_N.mean() == pytest.approx(1027.901, rel=2e-4)
        assert rig.counterweight_tension_N.mean() == pytest.approx(1026.874, rel=2e-4)

    def test_line_with_waves(self, package: Package):
        """A stopped end adds v sqrt(EA rho): waves in bars, theory-of-elasticity textbooks."""
        rig = HangingLine(2e6, 0.16, 30.0, 84.0, 1.0, 4e-3, 0.02, 30, 5e-5)
        found = package.hanging_line(rig)
        within = (found.time_s > 5e-3) & (found.time_s < 2 * rig.transit_s - 2e-3)
        assert found.drive_N[within].mean() - found.drive_N[0] == pytest.approx(np.sqrt(2e6 * 0.16), rel=2e-3)


def _two_sheaves(journal: float = 0.01, bending: float = 0.005, inertia: float = 0.00162) -> two_span_ode.TwoSheaves:
    lead, head = (
        two_span_ode.Sheave(at, inertia, 0.06, journal, bending, 0.9 * G) for at in ((0.0, 12.6), (14.0, 12.6))
    )
    return two_span_ode.TwoSheaves((0.0, 0.4), (lead, head), 1.6, 84.0, 4e5, DROP)


class TestTwoSheaves:
    def test_without_friction_and_inertia_is_the_engine_s_drop(self):
        rig = dataclasses.replace(_two_sheaves(0.0, 0.0, 1e-3), motion=DROP.stopped(1.8, 60.0))
        engine = MUJOCO.play(_drop(rig.motion, 2.2))
        found = two_span_ode.solve(rig, 2.2, rtol=1e-7)
        assert found.largest(2, 1.8)[0] == pytest.approx(engine.largest("line", 1.8)[0], rel=2e-3)

    def test_tolerance_does_not_matter(self):
        fine, coarse = (two_span_ode.solve(_two_sheaves(), 2.6, rtol=rtol) for rtol in (1e-9, 1e-7))
        for span in range(3):
            assert coarse.first_peak(span, 1.9)[0] == pytest.approx(fine.first_peak(span, 1.9)[0], rel=2e-5)

    def test_smoothed_friction_agrees_within_its_stated_error(self):
        """Smoothing over 5 mm/s lowers the first peaks by under 1 % here: the two ways to treat friction agree."""
        exact = two_span_ode.solve(_two_sheaves(), 2.6, rtol=1e-8)
        smooth = two_span_ode.solve(dataclasses.replace(_two_sheaves(), smoothing_m_s=5e-3), 2.6, rtol=1e-6)
        for span in range(3):
            assert smooth.first_peak(span, 1.9)[0] == pytest.approx(exact.first_peak(span, 1.9)[0], rel=1e-2)

    def test_paying_out_steadily_holds_the_loss_at_each_sheave(self):
        """At steady speed each sheave takes journal * |pin load| + bending * mean tension (equilibrium of moments)."""
        rig = dataclasses.replace(
            _two_sheaves(), motion=PaidOut((0.0, 4.0, 8.0), (0.0, 0.5, 0.5)), performer_below_m=50.0
        )
        found = two_span_ode.solve(rig, 7.0, rtol=1e-6, sample_s=1e-3)
        late = found.time_s > 5.0
        first, second, third = (float(found.tension_N[i, late].mean()) for i in range(3))
        assert third == pytest.approx(84.0 * G, rel=1e-3)
        for before, after in ((second, third), (first, second)):
            pin = np.hypot(after + 0.9 * G, before) if before == second else np.hypot(before + 0.9 * G, after)
            assert after - before == pytest.approx(0.01 * pin + 0.0025 * (before + after), rel=0.02)

    def test_brake_stops_the_drum_and_holds_it(self):
        off = two_span_ode.PowerOff(1.9, 60.0, 2800.0, 0.08, 0.06)
        found = two_span_ode.solve(dataclasses.replace(_two_sheaves(), power_off=off), 3.0, rtol=1e-8)
        assert found.drum_speed_m_s[-1] == 0.0
        free = (found.time_s > 1.9) & (found.time_s < 1.98)
        speeds, times, pulls = found.drum_speed_m_s[free], found.time_s[free], found.tension_N[0, free]
        gained = np.trapezoid(pulls, times) / 60.0
        assert speeds[-1] - speeds[0] == pytest.approx(gained, rel=2e-3)


class TestStatics:
    @pytest.mark.parametrize(
        ("span_m", "weight", "stiffness", "length", "pull", "end"),
        [
            (30.0, 1.605, 1.986e6, 30.10, 168.172, 169.898),
            (30.0, 1.605, 1.986e6, 30.01, 420.800, 421.488),
            (30.0, 1.605, 1.986e6, 29.99, 899.239, 899.561),
            (100.0, 10.0, 10e6, 102.0, 1442.105, 1529.630),
        ],
    )
    def test_level_catenary(
        self, span_m: float, weight: float, stiffness: float, length: float, pull: float, end: float
    ):
        """Elastic catenary, closed form: Irvine, Cable Structures, section 1.3."""
        along, up = statics.span_pulls(span_m, 0.0, length, weight, stiffness)
        assert along == pytest.approx(pull, rel=1e-5)
        assert np.hypot(along, up) == pytest.approx(end, rel=1e-5)

    def test_two_segment_cable_of_the_literature(self):
        """Cable of 1000 ft span loaded at an inner joint: Michalos and Birnstiel 1962, O'Brien and Francis 1964,
        Jayaraman and Knudson 1981 (citation from memory; the joint moves -18.457 ft and -2.819 ft)."""
        foot, pound = 0.3048, 4.4482216
        stiffness, weight = 19e6 * 0.85 * pound, 3.16 * pound / foot

        def joint(load_lb: float) -> np.ndarray:
            rig = statics.Description(
                fixed={"left": (0.0, 0.0, 0.0), "right": (1000 * foot, 0.0, 0.0)},
                free={"joint": ((400 * foot, 0.0, -100 * foot), load_lb * pound / G)},
                carried={},
                lines={
                    "left": statics.Line(("left", "joint"), stiffness, 412.8837 * foot, weight),
                    "right": statics.Line(("joint", "right"), stiffness, 613.0422 * foot, weight),
                },
            )
            return statics.equilibrium(rig).places_m["joint"] / foot

        moved = joint(8000.0) - joint(0.0)
        assert moved[2] == pytest.approx(-18.457, abs=2e-3)
        assert moved[0] == pytest.approx(-2.819, abs=2e-3)

    def test_moving_block_shares_the_weight(self):
        rig = statics.Description(
            fixed={"drive": (-5.0, 0.0, 0.0), "head": (0.0, 0.0, 12.0), "anchor": (0.4, 0.0, 12.0)},
            free={"performer": ((0.1, 0.0, 7.0), 84.0)},
            carried={"block": ("performer", (0.0, 0.0, 0.2))},
            lines={"line": statics.Line(("drive", "head", "block", "anchor"), lambda e: 4e5 * e * (1 + 5 * e), 21.0)},
        )
        found = statics.equilibrium(rig)
        block = found.places_m["block"]
        lean = np.hypot(0.2, 12.0 - block[2]) / (12.0 - block[2])
        assert block[0] == pytest.approx(0.2, abs=1e-6)
        for start, end in found.tension_N["line"]:
            assert start == pytest.approx(0.5 * 84.0 * G * lean, rel=1e-6)
            assert end == pytest.approx(start, rel=1e-6)

    def test_bridle_of_two_legs(self):
        """Two equal legs under 60 degrees between them: each W / (2 cos 30 degrees)."""
        legs = {side: statics.Line((side, "ring"), 1e9, 2.0) for side in ("left", "right")}
        rig = statics.Description(
            fixed={"left": (-1.0, 0.0, 0.0), "right": (1.0, 0.0, 0.0)},
            free={"ring": ((0.1, 0.0, -1.5), 100.0)}, carried={}, lines=legs,
        )  # fmt: skip
        found = statics.equilibrium(rig)
        assert found.tension_N["left"][0][0] == pytest.approx(100.0 * G / (2 * np.cos(np.pi / 6)), rel=1e-4)


def test_standing_drive_stands():
    assert STANDING.position_m(3.0) == 0.0
