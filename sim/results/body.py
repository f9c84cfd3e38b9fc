"""What a body feels in one case, and what has been published beside it. Figures only: nothing here judges."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class AboveLevel:
    """How long the filtered g (CFC 60) was above a level: the longest time at a stretch, and all together (s)."""

    level_g: float
    longest_s: float
    total_s: float


@dataclass(frozen=True)
class BodyFigures:
    """Of the g at the torso, the magnitude of force over weight, 1 at rest on the line.

    peak_g_cfc180: filtered by channel frequency class 180 (SAE J211-1, ISO 6487). peak_g_low_pass_5Hz: by the four-pole
    Butterworth low-pass of 5 Hz, run once, that is used for amusement rides. peak_jerk_g_s: greatest rate of change of
    g filtered by CFC 60. dynamic_response_index: see `sim.studies.body`.
    """

    peak_g_cfc180: float
    peak_g_low_pass_5Hz: float
    peak_jerk_g_s: float
    dynamic_response_index: float
    above: tuple[AboveLevel, ...] = ()


@dataclass(frozen=True)
class Published:
    """A published value that stands beside a figure: what it was published for, where it was read, and how."""

    figure: str
    value: float
    unit: str
    scope: str
    source: str


PUBLISHED = (
    Published(
        "force on a harness",
        6000.0,
        "N",
        "greatest force of an energy absorber arresting a rigid mass of 100 kg, for fall arrest",
        "EN 355 as two equipment catalogues restate it; the standard itself was not read",
    ),
    Published(
        "force on a harness",
        8006.8,
        "N",
        "greatest arresting force on a worker in a body harness, 1800 lbf, for fall arrest",
        "29 CFR 1926.502(d)(16), as a state regulation and an agency's memorandum restate it",
    ),
    Published(
        "force over weight",
        12.0,
        "",
        "quoted as survived in a parachute harness; for how long was not read",
        "a rigging-education page (secondary)",
    ),
    Published(
        "force over weight",
        6.0,
        "",
        "quoted as the most in an industrial harness, behind the 6 kN on 100 kg above, for fall arrest",
        "a rigging-education page (secondary)",
    ),
    Published(
        "dynamic response index",
        17.7,
        "",
        "seated, upright, along the spine; given as a one in ten risk of serious injury",
        "an encyclopedia's article on the index, after Stech and Payne 1969; the standard itself was not read",
    ),
)
"""What a reader will want to see beside the figures, with its scope. None of it was made for flying performers."""
