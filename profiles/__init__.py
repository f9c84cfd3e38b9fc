"""Motions of drives: every one is a piecewise cubic of line paid out against time."""

from profiles.flown import Limits, even_speed, flown, flown_stopped, greatest, is_straight, progress_along
from profiles.motion import Motion
from profiles.overspeed import hurried
from profiles.path import Path
from profiles.point_to_point import ImpossibleMove, point_to_point
from profiles.recording import Recording, TraceFaults, read_recording, recording_from_text
from profiles.restart import restarted
from profiles.sequence import MotionsOverlap, joined
from profiles.stop import stopped
from profiles.top_speed import held_at
from profiles.trace import follow_trace, motion_of_recording, smoothing_note, smoothing_share

__all__ = [
    "ImpossibleMove",
    "Limits",
    "Motion",
    "MotionsOverlap",
    "Path",
    "Recording",
    "TraceFaults",
    "even_speed",
    "flown",
    "flown_stopped",
    "follow_trace",
    "greatest",
    "held_at",
    "hurried",
    "is_straight",
    "joined",
    "motion_of_recording",
    "point_to_point",
    "progress_along",
    "read_recording",
    "recording_from_text",
    "restarted",
    "smoothing_note",
    "smoothing_share",
    "stopped",
]
